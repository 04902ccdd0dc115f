/* The plan: asks for it, shows it, and leads on: to the field that was refused, to what to measure, to the teeth turned.

   Owns which option is looked at. Where the plan is worked out is shop/plan.js's choice; this says so. */

import { cautions } from "../parts/cautions.js";
import { h, say } from "../parts/dom.js";
import { inHundred, spread } from "../work/numbers.js";
import { lengthsIn } from "../work/units.js";
import { stopped } from "../parts/conflicts.js";
import { missing, needs, startOf } from "../work/guide.js";
import { doubts } from "./plan-doubts.js";
import { headline, inOneSentence } from "./plan-headline.js";
import { measureNext } from "./plan-next.js";
import { options } from "./plan-options.js";
import { planSide } from "./plan-side.js";
import { planSlider } from "./plan-slider.js";
import { placeOf } from "../work/places.js";
import { alreadyPromised, planFor, promised } from "../work/promise.js";
import { questionOf } from "../work/questions.js";
import { nameOf } from "../work/readings.js";
import { underWay } from "../work/teardown-steps.js";
import { aimWords, formOf, heightsAs, withinWords } from "../work/wish.js";
import { inDegrees } from "../work/sheet.js";
import { WHERE } from "../work/where.js";

const SOURCE = { ...WHERE, trial: "Worked out on this phone, for the height that is tried." };

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

/** What the plan takes for granted, folded. */
function assumptions(list) {
  if (!list.length) return null;
  return h(
    "details",
    { class: "learned" },
    h("summary", { text: `Assumed, not measured: ${list.length}` }),
    h(
      "ul",
      null,
      list.map(({ words }) => h("li", { text: lengthsIn(words) })),
    ),
  );
}

/** The ways on from an option: step by step, or straight to what was turned. Either keeps what it promises first. No tooth is
    turned from a plan in degrees: it leads to the count, not to teeth. */
function onward(ctx, answer, option, target) {
  const teardown = ctx.sheet.teardowns + 1;
  const query = { li: option.left.inner, lo: option.left.outer, ri: option.right.inner, ro: option.right.outer };
  const keep = async (to) => {
    const body = promised({ option, answer, target, teardown });
    const wanted =
      formOf(target) !== "heights" ||
      (target.left_mm === ctx.sheet.target.left_mm && target.right_mm === ctx.sheet.target.right_mm);
    // Whoever begins by a height that was only tried, wants it.
    const items = [
      ...(wanted ? [] : [["target", heightsAs(ctx.sheet.target, target)]]),
      ...(alreadyPromised(planFor(ctx.sheet, teardown), body) ? [] : [["plan", body]]),
    ];
    if (items.length && !(await ctx.save(items))) return;
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
    inDegrees(option)
      ? h("a", { class: "key wide", href: ctx.href(startOf({ what: "tooth-count" })) }, "Enter the tooth counts")
      : h("a", { class: "key wide", href: ctx.href(move), onclick: by(move) }, "Enter the teeth turned"),
  ];
}

/** The way back into a teardown that was begun. */
function begun(ctx) {
  const number = underWay(ctx.sheet);
  return number
    ? h(
        "a",
        { class: "key wide", href: ctx.href({ words: ["teardown", String(number)] }) },
        `Carry on with teardown ${number}`,
      )
    : null;
}

/** What is wanted; `target` as the answer has it, with the heights it comes to. */
function wish(ctx, target) {
  return h(
    "div",
    { class: "wish" },
    h("p", { text: `Wanted: ${aimWords({ ...target, ...ctx.sheet.target })}, ${withinWords(ctx.sheet.target)}.` }),
    h(
      "a",
      {
        class: "key small",
        href: ctx.href({ words: ["ask", "target.left_mm"], query: { from: "plan", then: "target.right_mm" } }),
        "aria-label": "Change the wanted heights",
      },
      "Change",
    ),
  );
}

/** The plan, once it is there: {nodes, live(answer), fill(found, target)}. */
function shown(ctx, ids, redo) {
  const places = Object.fromEntries(
    ["doubts", "sentence", "chosen", "options", "taken", "learned", "more"].map((name) => [
      name,
      h("div", { class: name === "chosen" ? name : "plan-part" }),
    ]),
  );
  const source = h("p", { class: "source" });
  let parts = null;
  let sentence = null;

  /** Everything about one option of an answer. */
  function choose(answer, i, target) {
    const option = answer.options[i];
    if (places.chosen.isConnected) pin(places.chosen.closest(".plan"), false);
    const head = headline(option, answer.target);
    const corners = ["left", "right"].map((side) => planSide({ side, option, now: answer.now, car: ctx.sheet.car }));
    const beside = [
      measureNext(ctx, answer.measure_next, answer.options[0].odds),
      h(
        "div",
        { class: "corners" },
        corners.map(({ node }) => node),
      ),
      cautions("Before you turn a tooth", [...option.cautions, ...answer.cautions].map(lengthsIn)),
      ...(option.ends_disturbed === 0 || option.stopped_by.length ? [] : onward(ctx, answer, option, target)),
    ].filter(Boolean);
    places.chosen.replaceChildren(head.node, ...beside);
    parts = [head.show, ...corners.flatMap((corner) => corner.parts)];
    return option;
  }
  /** The whole answer anew. */
  function fill({ answer, where }, target) {
    const all = answer.options;
    choose(answer, 0, target);
    sentence = inOneSentence(answer);
    places.sentence.replaceChildren(sentence.node);
    places.doubts.replaceChildren(...[doubts(ctx, answer.doubts, ids, redo)].filter(Boolean));
    places.options.replaceChildren(options(all, 0, (i) => {
      choose(answer, i, target);
      say(`${all[i].label}: ${inHundred(all[i].odds)}`);
    })); // prettier-ignore
    places.taken.replaceChildren(...[assumptions(answer.assumed)].filter(Boolean));
    places.learned.replaceChildren(learned(answer));
    places.more.replaceChildren(
      ...[gaps(ctx, missing(ctx.sheet), "Could still be read; the chance grows with it:")].filter(Boolean),
    );
    source.dataset.where = where;
    source.textContent = `${SOURCE[where]} ± holds two times in three.`;
    for (const place of Object.values(places)) place.classList.remove("stale");
    say(`Plan: ${all[0].label}, ${all[0].stopped_by.length ? "stopped" : inHundred(all[0].odds)}. ${SOURCE[where]}`);
  }
  /** Only the figures of the best option, into what stands; the rest is stale until the finger rests. */
  async function live(answer) {
    const [now, option] = [parts, answer.options[0]];
    places.options.classList.add("stale");
    sentence.show(answer);
    for (const part of now) {
      // A third of a card to a picture, so that none is late on a slow phone.
      await new Promise(requestAnimationFrame);
      if (now !== parts) return;
      part(option);
    }
  }
  const { doubts: first, ...others } = places;
  const bench = h("a", { class: "key wide", href: ctx.href({ words: ["whatif"] }) }, "Try other bars or loads");
  return { nodes: (slider) => [first, slider, ...Object.values(others), bench, source].filter(Boolean), fill, live };
}

/** While the finger moves, the cards keep their size and what is out of sight is not drawn: a figure written into one then
    costs the layout of that card and not of the page. */
function pin(node, on) {
  const cards = [...node.querySelectorAll(".aim, .odds, .corner")];
  const heights = cards.map((card) => (on ? `${card.offsetHeight}px` : ""));
  cards.forEach((card, i) => (card.style.height = heights[i]));
  node.classList.toggle("sliding", on);
}

/** What is missing for a plan, or would make it surer, each a key. */
function gaps(ctx, list, why) {
  if (!list.length) return null;
  const name = (step) => (step.step ? nameOf(step.step) : questionOf(step.words[1]).title);
  return h(
    "section",
    { class: "gaps" },
    h("p", { text: why }),
    list.map((step) => h("a", { class: "key wide", href: ctx.href(step) }, name(step))),
  );
}

/** The screen. */
export function plan(ctx) {
  const rest = h("div", { class: "plan-rest" });
  const status = h("p", { class: "working", role: "status" });
  const node = h(
    "div",
    { class: "plan" },
    h("h1", { text: ctx.sheet.teardowns ? `Plan after teardown ${ctx.sheet.teardowns}` : "Plan" }),
    rest,
    status,
  );
  const stop = stopped(ctx);
  if (stop) {
    rest.append(stop);
    return { title: "Plan", node };
  }
  if (needs(ctx.sheet).length) {
    rest.append(gaps(ctx, missing(ctx.sheet), "The first plan still needs:"));
    return { title: "Plan", node };
  }
  const { request, ids } = ctx.request;
  const show = (found) => {
    const redo = () => ctx.go({ words: ["plan"] }, { replace: true });
    const parts = shown(ctx, ids, redo);
    const inHeights = formOf(request.target) === "heights";
    const aim =
      inHeights &&
      planSlider(ctx, {
        request,
        onstart: () => pin(node, true),
        onlive: parts.live,
        onrest: (answer, target) => parts.fill({ answer, where: "trial" }, target),
        onend: () => pin(node, false),
        onkeep: async (target) => (await ctx.save([["target", heightsAs(ctx.sheet.target, target)]])) && redo(),
        ontrouble: (problem) => {
          pin(node, false);
          status.textContent = problem.detail ?? String(problem.message);
        },
      });
    parts.fill(found, request.target);
    rest.replaceChildren(
      ...[begun(ctx)].filter(Boolean),
      wish(ctx, found.answer.target),
      ...parts.nodes(aim ? aim.node : null),
    );
  };
  const failed = (problem) => {
    const place = placeOf(problem.path ?? "$", ids, ctx.sheet);
    if (place)
      return ctx.refuse(
        { code: problem.code, detail: problem.detail, path: problem.path, key: place.key },
        place.route,
      );
    return rest.replaceChildren(
      h("section", { class: "refused", role: "alert" }, h("h2", { text: "No plan yet" }), h("p", { text: problem.detail ?? String(problem.message) })),
      h("a", { class: "key wide", href: ctx.href({ words: ["list"] }) }, "What has been read"),
      h("button", { type: "button", class: "key wide", onclick: work }, "Try again"),
    ); // prettier-ignore
  };
  async function work() {
    status.textContent = "Working it out";
    try {
      const found = await ctx.model.askForPlan(request);
      if (node.isConnected) show(found);
    } catch (problem) {
      if (node.isConnected) failed(problem);
    } finally {
      status.textContent = "";
    }
  }
  const here = ctx.model.planAtHand(request);
  if (here) show(here);
  else work();
  return { title: "Plan", node };
}
