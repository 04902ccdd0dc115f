/* The car is down: settle it, read the heights, and say whether it is where it was to be. Leads on to the next plan or to
   the hand-over.

   What was reached, and whether it counts, is the sheet's own outcome (ctx.stages); this words it. */

import { readingsOf, tolerant } from "../work/sheet.js";
import { h } from "../parts/dom.js";
import { angle, inHundred, plain } from "../work/numbers.js";
import { length, lengthSpread } from "../work/units.js";
import { readRoute } from "../work/guide.js";
import { READINGS, valueOf } from "../work/readings.js";
import { spreadOf } from "../parts/repeats.js";
import { formOf, markOf } from "../work/wish.js";
import { FACTS } from "../work/bounds.js";

const SIDES = ["left", "right"];
const SETTLE = [
  ["ready", "Tyres at pressure, usual load, level floor"],
  ["rolled", "Rolled two car lengths and back, brake off"],
  ["bounced", "Each rear corner pushed down and let go, three times"],
];
const mm = (value) => length(Math.abs(value), Number.isInteger(value) ? 0 : 1);
const off = (miss) => `${mm(miss)} too ${miss > 0 ? "high" : "low"}`;
const about = (miss) => (Math.abs(miss) < 0.05 ? "just as wanted" : `${mm(miss)} ${miss > 0 ? "above" : "below"}`);

const spread = (target, side) => lengthSpread({ value: target[`${side}_mm`], sd: target.tolerance_mm });

const ticked = (sheet, teardown, key) =>
  (sheet.steps ?? []).some((row) => row.step === key && (row.teardown ?? 0) === teardown && row.done !== false);

/** The checks before reading, each a key that is ticked. */
function settle(ctx, number, again) {
  const box = ([key, text]) => {
    const done = ticked(ctx.sheet, number, key);
    const set = async () =>
      (await ctx.save([["step", { step: key, done: !done, teardown: number }]], { said: text })) && again(key);
    return h(
      "li",
      null,
      h(
        "button",
        {
          type: "button",
          class: `key wide check${done ? " done" : ""}`,
          "aria-pressed": String(done),
          "data-check": key,
          onclick: set,
        },
        h("span", { class: "tick", "aria-hidden": "true", text: done ? "✓" : "" }),
        h("span", { text }),
      ),
    );
  };
  return h("section", null, h("h2", { text: "Settle it first" }), h("ul", null, SETTLE.map(box)));
}

/** Left and right of one kind of reading: what was read, and the key to read. */
function readBoth(ctx, number, what, title, note, main) {
  const half = (side) => {
    const list = readingsOf(ctx.sheet, { what, side, pose: {}, teardown: number }).filter(
      (reading) => (reading.after_km ?? null) === null,
    );
    const route = readRoute({ what, side, teardown: number });
    return h(
      "div",
      { class: `half ${side}` },
      h("span", { class: `side-name ${side}`, text: side }),
      list.map((reading) =>
        h(
          "a",
          {
            class: "key entry",
            href: ctx.href({
              ...readRoute({ ...reading, entry: reading.id }),
              query: { entry: reading.id, from: "ground" },
            }),
          },
          h("strong", { text: valueOf(reading) }),
        ),
      ),
      list.length > 1 ? h("span", { class: "spread", text: spreadOf(list) }) : null,
      h(
        "a",
        {
          class: main && !list.length ? "key main" : "key",
          href: ctx.href({ ...route, query: { ...route.query, from: "ground" } }),
          "aria-label": `${list.length ? "read again" : "read"}: ${title}, ${side}`,
        },
        list.length ? "Again" : "Read",
      ),
    );
  };
  return h(
    "section",
    { class: "kind" },
    h("h3", { text: title }),
    note ? h("p", { class: "where", text: note }) : null,
    h("div", { class: "halves" }, SIDES.map(half)),
  );
}

/** What was promised, in words; nothing where it promised no height. */
const promise = (promised) =>
  promised?.left_mm != null && promised.right_mm != null
    ? h("p", {
        text: `Promised: ${SIDES.map((side) => `${side} ${lengthSpread({ value: promised[`${side}_mm`], sd: promised[`${side}_sd_mm`] })}`).join(", ")}, ${inHundred(promised.odds)}.`,
      })
    : null;

/** The verdict on hanging angles, each for itself. */
function hangs({ hanging_deg: hanging, hit, target }) {
  if (hit === null)
    return h("p", { class: "where", text: "It is judged by the hanging angles: read both with the arms free." });
  const within = target.tolerance_deg ?? FACTS["target.tolerance_deg"].default;
  const line = (side) =>
    `: ${angle(hanging[side])}, ${angle(target[`${side}_deg`])} wanted, ${plain(within, 1)}° either way`;
  return h(
    "section",
    { class: `verdict ${hit ? "right" : "off"}`, role: "status" },
    h(
      "p",
      { class: "word" },
      h("strong", { text: hit ? "It is right" : "Not yet: an arm hangs further off than was agreed" }),
    ),
    h(
      "ul",
      null,
      SIDES.map((side) => h("li", null, h("span", { class: `side-name ${side}`, text: side }), line(side))),
    ),
  );
}

/** Whether it is right, in a word, then in figures. */
function verdict(stage) {
  const { hit, promised } = stage;
  const target = tolerant(stage.target);
  if (formOf(target) === "hanging-angle") return hangs(stage);
  if (hit === null)
    return h("p", { class: "where", text: "Read both heights; then it can be said whether the car is right." });
  const hub = markOf(target) === "hub-to-body";
  const reached = hub
    ? { left_mm: stage.hub_mm.left, right_mm: stage.hub_mm.right, lean_mm: stage.hub_mm.left - stage.hub_mm.right }
    : stage.reached;
  const miss = { left: reached.left_mm - target.left_mm, right: reached.right_mm - target.right_mm };
  const lean = reached.lean_mm;
  const wanted = target.left_mm - target.right_mm;
  const beyond = [
    ...SIDES.filter((side) => Math.abs(miss[side]) > target.tolerance_mm + 1e-6).map(
      (side) => `${side} side ${off(miss[side])}`,
    ),
    ...(Math.abs(lean - wanted) > target.lean_mm + 1e-6 ? [`lean off by ${mm(lean - wanted)}`] : []),
  ];
  return h(
    "section",
    { class: `verdict ${hit ? "right" : "off"}`, role: "status" },
    h("p", { class: "word" }, h("strong", { text: hit ? "It is right" : `Not yet: ${beyond.join(", ")}` })),
    h("ul", null,
      SIDES.map((side) => h("li", null, h("span", { class: `side-name ${side}`, text: side }), ` ${mm(reached[`${side}_mm`])}: ${about(miss[side])}, ${spread(target, side)} wanted`)),
      h("li", { text: `lean ${mm(lean)}${lean ? `, ${lean > 0 ? "left" : "right"} higher` : ""}; ${mm(target.lean_mm)} is allowed${wanted ? ` about the ${mm(wanted)} wanted` : ""}` })),
    hub ? null : promise(promised),
  ); // prettier-ignore
}

/** The screen. */
export function ground(ctx) {
  const number = Number(ctx.words[1] ?? ctx.sheet.teardowns);
  const stage = (ctx.stages ?? []).find((each) => each.teardown === number) ?? {
    reached: {},
    hit: null,
    promised: null,
    target: ctx.sheet.target,
  };
  const again = () => ctx.go({ words: ["ground", String(number)], query: {} }, { replace: true });
  const mark = markOf(stage.target);
  const settled = SETTLE.every(([key]) => ticked(ctx.sheet, number, key));
  const to = (words, label, main) =>
    h("a", { class: main ? "key main wide" : "key wide", href: ctx.href({ words }) }, label);
  const node = h(
    "div",
    { class: "work ground" },
    h("h1", { text: number ? `On the ground after teardown ${number}` : "On the ground, as found" }),
    settle(ctx, number, again),
    h(
      "section",
      null,
      h("h2", { text: "Then read" }),
      settled
        ? null
        : h("p", { class: "bite plain", text: "Not settled yet. Friction alone can hold a car some millimetres off." }),
      readBoth(ctx, number, mark, READINGS[mark].title, null, true),
      readBoth(ctx, number, "riding-angle", "Riding angle", "Not needed, but the next plan gets surer by it.", false),
    ),
    verdict(stage),
    stage.hit === true ? to(["close"], "Hand over", true) : null,
    stage.hit === null ? null : to(["plan"], "Plan again from what was learned", stage.hit === false),
    stage.hit === false ? to(["close"], "Hand over as it is", false) : null,
  );
  const next = node.querySelector(".check:not(.done)");
  return { title: "On the ground", focus: settled ? undefined : next, node };
}
