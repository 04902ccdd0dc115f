/* The plan: asks for it, shows it, and leads on: to the field that was refused, to what to measure, to the teeth turned.

   Owns which option is looked at. Where the plan is worked out is model/plan.js's choice; this says so. */

import { askForPlan } from "../model/plan.js";
import { cautions } from "../parts/cautions.js";
import { h, say } from "../parts/dom.js";
import { inHundred, inWords, plain, spread } from "../parts/numbers.js";
import { stopped } from "./conflicts.js";
import { missing } from "./guide.js";
import { doubts } from "./plan-doubts.js";
import { measureNext } from "./plan-next.js";
import { options, titled } from "./plan-options.js";
import { planSide } from "./plan-side.js";
import { placeOf } from "./places.js";
import { alreadyPromised, planFor, promised } from "./promise.js";
import { questionOf } from "./questions.js";
import { nameOf } from "./readings.js";
import { underWay } from "./teardown-steps.js";

const WHERE = { server: "Worked out on the shop's server.", phone: "Worked out on this phone; the shop's server did not answer." };
let last = { text: "", plan: null };

/** The plan of a request; the same request is not asked twice unless it failed. */
function planOf(request) {
  const text = JSON.stringify(request);
  if (last.text !== text) {
    const asked = { text, plan: askForPlan(request) };
    last = asked;
    asked.plan.catch(() => last === asked && (last = { text: "", plan: null }));
  }
  return last.plan;
}

function headline(option) {
  const stopped = option.stopped_by.length > 0;
  return h(
    "section",
    { class: stopped ? "odds stopped" : "odds" },
    h("p", { class: "label", text: titled(option.label) }),
    stopped
      ? [h("p", { class: "big", text: "Cannot be had" }), h("ul", null, option.stopped_by.map((text) => h("li", { text })))]
      : [
          h("p", { class: "big" }, h("strong", { text: inHundred(option.odds) }), " ", h("span", { text: inWords(option.odds) })),
          h("meter", { min: 0, max: 1, value: option.odds, "aria-label": `odds ${inHundred(option.odds)}` }),
          h("p", { class: "finer", text: `that both heights and the lean are right ${option.ends_disturbed ? "after this teardown" : "as the car stands"}.` }),
        ],
    h("p", { class: "finer" }, "Lean ", h("strong", { text: spread(option.lean_mm, "mm") }), `, rides at ${plain(option.ride_hz, 1)} Hz, diagonal load shifts by ${plain(option.cross_weight_kg, 0)} kg.`),
  );
}

function learned({ learned: l, now }) {
  const row = (name, value) => h("div", { class: "row" }, h("dt", { text: name }), h("dd", { text: value }));
  return h(
    "details",
    { class: "learned" },
    h("summary", { text: "What this car has shown so far" }),
    h(
      "dl",
      { class: "facts" },
      row("Bar", spread(l.bar_nm_per_deg, "N·m per degree", 1)),
      row("Arm", spread(l.arm_mm, "mm", 1)),
      row("Height per degree of hanging angle", spread(l.mm_per_deg, "mm", 1)),
      row("Roll support", spread(l.roll_support_n_per_mm, "N/mm", 1)),
      l.tyre_n_per_mm ? row("Tyre", spread(l.tyre_n_per_mm, "N/mm")) : null,
      now.left.load_kg ? row("Load carried, left", spread(now.left.load_kg, "kg")) : null,
      now.right.load_kg ? row("Load carried, right", spread(now.right.load_kg, "kg")) : null,
    ),
  );
}

/** The two ways on from an option: step by step, or straight to what was turned. Either keeps what it promises first. */
function onward(ctx, answer, option, target) {
  const teardown = ctx.sheet.teardowns + 1;
  const query = { li: option.left.inner, lo: option.left.outer, ri: option.right.inner, ro: option.right.outer };
  const keep = async (to) => {
    const body = promised({ option, answer, target, teardown });
    if (!alreadyPromised(planFor(ctx.sheet, teardown), body) && !(await ctx.save([["plan", body]]))) return;
    ctx.go(to);
  };
  const by = (to) => (event) => {
    event.preventDefault();
    keep(to);
  };
  const steps = { words: ["teardown", String(teardown)] };
  const move = { words: ["move"], query };
  return [
    h("a", { class: "key main wide", href: ctx.href(steps), onclick: by(steps) }, "Begin the teardown by this plan"),
    h("a", { class: "key wide", href: ctx.href(move), onclick: by(move) }, "Enter the teeth turned"),
  ];
}

/** The way back into a teardown that was begun. */
function begun(ctx) {
  const number = underWay(ctx.sheet);
  return number ? h("a", { class: "key wide", href: ctx.href({ words: ["teardown", String(number)] }) }, `Carry on with teardown ${number}`) : null;
}

function wish(ctx) {
  const { left_mm: left, right_mm: right, tolerance_mm: off = 5, lean_mm: lean = 5 } = ctx.sheet.target;
  return h(
    "div",
    { class: "wish" },
    h("p", { text: `Wanted: left ${plain(left, 0)}, right ${plain(right, 0)} mm, within ${plain(off, 0)}; lean within ${plain(lean, 0)} mm.` }),
    h("a", { class: "key small", href: ctx.href({ words: ["ask", "target.left_mm"], query: { from: "plan", then: "target.right_mm" } }), "aria-label": "Change the wanted heights" }, "Change"),
  );
}

/** The plan, once it is there. */
function shown(ctx, { answer, where }, ids, redo) {
  const all = answer.options;
  const place = h("div", { class: "chosen" });
  const show = (i) => {
    const option = all[i];
    const bar = ctx.sheet.car.bar;
    const nothing = option.ends_disturbed === 0;
    place.replaceChildren(
      headline(option),
      ...[measureNext(ctx, answer.measure_next, all[0].odds)].filter(Boolean),
      h("div", { class: "corners" }, planSide({ side: "left", option, now: answer.now, bar }), planSide({ side: "right", option, now: answer.now, bar })),
      ...[cautions("Before you turn a tooth", [...option.cautions, ...answer.cautions])].filter(Boolean),
      ...(nothing ? [] : onward(ctx, answer, option, ctx.sheet.target)),
    );
  };
  show(0);
  say(`Plan: ${all[0].label}, ${all[0].stopped_by.length ? "stopped" : inHundred(all[0].odds)}. ${WHERE[where]}`);
  return [
    doubts(ctx, answer.doubts, ids, redo),
    place,
    options(all, 0, (i) => {
      show(i);
      say(`${all[i].label}: ${inHundred(all[i].odds)}`);
    }),
    learned(answer),
    h("p", { class: "source", "data-where": where, text: `${WHERE[where]} ± holds two times in three.` }),
  ].filter(Boolean);
}

/** What is missing for a plan, each a key. */
function gaps(ctx, list) {
  const name = (step) => (step.step ? nameOf(step.step) : questionOf(step.words[1]).title);
  return h(
    "section",
    { class: "gaps" },
    h("p", { text: "The first plan still needs:" }),
    list.map((step) => h("a", { class: "key wide", href: ctx.href(step) }, name(step))),
  );
}

/** The screen. */
export function plan(ctx) {
  const rest = h("div", { class: "plan-rest" });
  const status = h("p", { class: "working", role: "status" });
  const node = h("div", { class: "plan" }, h("h1", { text: ctx.sheet.teardowns ? `Plan after teardown ${ctx.sheet.teardowns}` : "Plan" }), rest, status);
  const stop = stopped(ctx);
  if (stop) {
    rest.append(stop);
    return { title: "Plan", node };
  }
  const lacking = missing(ctx.sheet);
  if (lacking.length) {
    rest.append(gaps(ctx, lacking));
    return { title: "Plan", node };
  }
  const work = async () => {
    const { request, ids } = ctx.request;
    status.textContent = "Working it out";
    try {
      const found = await planOf(request);
      if (!node.isConnected) return undefined;
      rest.replaceChildren(...[begun(ctx)].filter(Boolean), wish(ctx), ...shown(ctx, found, ids, () => ctx.go({ words: ["plan"] }, { replace: true })));
    } catch (problem) {
      if (!node.isConnected) return undefined;
      const place = placeOf(problem.path ?? "$", ids, ctx.sheet);
      if (place) return ctx.refuse({ code: problem.code, detail: problem.detail, path: problem.path, key: place.key }, place.route);
      rest.replaceChildren(
        h("section", { class: "refused", role: "alert" }, h("h2", { text: "No plan yet" }), h("p", { text: problem.detail ?? String(problem.message) })),
        h("a", { class: "key wide", href: ctx.href({ words: ["list"] }) }, "What has been read"),
        h("button", { type: "button", class: "key wide", onclick: work }, "Try again"),
      ); // prettier-ignore
    } finally {
      status.textContent = "";
    }
    return undefined;
  };
  work();
  return { title: "Plan", node };
}
