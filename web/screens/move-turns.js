/* How far an adjuster was turned, entered with gloves: lower and raise as words on large keys, a turn, a quarter and a
   twelfth each; the figure between them with its way, and how it compares with the plan. */

import { adjusterPlace } from "../parts/adjuster-place.js";
import { h, say } from "../parts/dom.js";
import { repeating } from "../parts/hold.js";
import { adjusterName, LEAST, MOST, POSITIONS, turnedBy, turnWords } from "../work/adjuster.js";
import { titled } from "../work/sentence.js";

/** @import { Side } from "../types/sheet.d.ts" */
/** @import { Adjusts } from "../work/adjuster.js" */

/** @type {Side[]} */
const BOTH = ["left", "right"];
const SAID = {
  left: "LEFT",
  right: "RIGHT",
  both: "BOTH WHEELS",
  still: "not turned",
  planned: (/** @type {string} */ words) => `Planned: ${words}.`,
  same: "As planned.",
  other: "The other way than planned.",
  less: (/** @type {string} */ by) => `${by} less than planned.`,
  more: (/** @type {string} */ by) => `${by} more than planned.`,
};
/** Steps of the keys, in turns, the smallest as a plan has it. @type {Record<Adjusts, number[]>} */
const STEPS = {
  screw: [1, 1 / 4, 1 / POSITIONS.screw],
  eccentric: [1 / 8, 1 / 36, 1 / POSITIONS.eccentric],
  notch: [1],
};

/** What a figure comes to beside the plan's. @param {number} turns @param {number} planned @param {Adjusts} kind */
export function besidePlan(turns, planned, kind) {
  const off = Math.abs(turns) - Math.abs(planned);
  if (turns * planned < 0) return SAID.other;
  if (Math.round(off * POSITIONS[kind]) === 0) return SAID.same;
  const by = turnedBy(off, kind);
  return off < 0 ? SAID.less(by) : SAID.more(by);
}

/**
 * One adjuster's row; `planned` null where there is no plan.
 * @param {{ side: Side, adjuster: import("../work/adjuster.js").Adjuster, planned: number | null,
 *   count: () => number, turn: (by: number) => void }} about
 * @returns {HTMLElement}
 */
function turnsRow({ side, adjuster, planned, count, turn }) {
  const { kind } = adjuster;
  const place = h("div", { class: "pen-place draw" });
  const figure = h("strong", { class: "turned-figure" });
  const beside = h("p", { class: "beside-plan", role: "status" });
  let way = "";
  const draw = () => {
    const now = count();
    const words = now ? titled(turnWords(now, kind)) : SAID.still;
    figure.textContent = words;
    beside.textContent = planned === null ? "" : besidePlan(now, planned, kind);
    beside.classList.toggle("wrong", planned !== null && now * planned < 0);
    const of = now ? `${kind}-${now > 0 ? "raise" : "lower"}` : kind === "screw" ? "lever" : kind;
    if (of !== way)
      place.replaceChildren(adjusterPlace({ side, of, car: { adjuster }, label: `${side} wheel: ${words}` }));
    way = of;
    return `${side}: ${words}`;
  };
  const key = (/** @type {number} */ step) => {
    const by = turnedBy(step, kind);
    const name = step > 0 ? "raise" : "lower";
    return repeating(
      h(
        "button",
        { type: "button", class: "key turn-key", "aria-label": `${titled(side)} wheel: ${name} by ${by}` },
        h("b", { text: name }),
        h("span", { text: by }),
      ),
      () => {
        turn(step);
        say(draw());
      },
    );
  };
  const keys = (/** @type {1 | -1} */ sign) =>
    h(
      "div",
      { class: "turn-keys" },
      STEPS[kind].map((step) => key(sign * step)),
    );
  draw();
  return h(
    "div",
    { class: "turned-adjuster", role: "group", "aria-label": `${adjusterName(kind)}, ${side} wheel` },
    planned === null ? null : h("p", { class: "planned-turns", text: SAID.planned(turnWords(planned, kind)) }),
    h("div", { class: "turn-columns" }, keys(-1), h("div", { class: "shows" }, place, figure), keys(1)),
    beside,
  );
}

/**
 * The adjusters of the wheels shown, one row for both where there is one for both.
 * @param {{ adjuster: import("../work/adjuster.js").Adjuster, sides: Side[],
 *   turned: Record<Side, { turns?: number }>, plan: import("../types/sheet.d.ts").Plan | null, kept: () => void }}
 *   about what is written goes into `turned`
 * @returns {HTMLElement}
 */
export function turnsOf({ adjuster, sides, turned, plan, kept }) {
  const { kind, shared } = adjuster;
  const turn = (/** @type {Side} */ side) => (/** @type {number} */ by) => {
    const now = Math.round(((turned[side].turns ?? 0) + by) * POSITIONS[kind]) / POSITIONS[kind];
    const turns = Math.max(LEAST, Math.min(MOST, now));
    for (const each of shared ? BOTH : [side]) turned[each].turns = turns;
    kept();
  };
  const section = (/** @type {Side} */ side) =>
    h(
      "section",
      { class: `turned-side ${side}` },
      h("h2", { text: shared ? SAID.both : SAID[side] }),
      turnsRow({
        side,
        adjuster,
        planned: plan ? (plan[side]?.turns ?? 0) : null,
        count: () => turned[side].turns ?? 0,
        turn: turn(side),
      }),
    );
  return h("div", { class: "turned" }, (shared ? sides.slice(0, 1) : sides).map(section));
}
