/* One side of a plan: which end to turn, how many teeth, which way, with the arm as it is turned; or the degrees and
   one arc where the teeth are not counted. Built once; another option is written in without building the card
   anew. */

import { adjusterPlace } from "../parts/adjuster-place.js";
import { endPicture } from "../parts/draw/ends.js";
import { h } from "../parts/dom.js";
import { adjustsAlone, turnWords } from "../work/adjuster.js";
import { plain } from "../work/numbers.js";
import { leftWords } from "../work/turn-facts.js";
import { inDegrees } from "../work/sheet.js";

/** @import { BarBody, Option } from "../types/wire.d.ts" */

/** @typedef {"left" | "right"} Side */
/** @typedef {"inner" | "outer"} End */
/** @typedef {import("../work/adjuster.js").Adjusts} Adjusts */

const SAID = {
  down: "arm down",
  up: "arm up",
  none: "no change",
  still: "Nothing to turn",
  teeth: "teeth",
};
/** @type {readonly End[]} */
const ENDS = ["inner", "outer"];
/** Degrees of one tooth where its count is not in the log: only for the picture, whose arm moves at all. */
const USUAL_TEETH = { inner: 40, outer: 44 };

/** @param {number} value @returns {"down" | "up"} */
const way = (value) => (value > 0 ? "down" : "up");

/** The lines and pictures of a side in whole teeth.
 * @param {Side} side @param {any} then @param {BarBody} bar */
function toothed(side, then, bar) {
  if (!then.inner && !then.outer)
    return { arms: [], lines: [h("p", { class: "still" }, h("b", { text: SAID.still }))] };
  const said = (/** @type {number} */ count) => (count ? `${Math.abs(count)} ${SAID[way(count)]}` : SAID.none);
  const picture = (/** @type {End} */ end) => {
    const count = then[end];
    const deg = (Math.abs(count) * 360) / (bar[`${end}_teeth`] ?? USUAL_TEETH[end]);
    const label = `${end} end, ${said(count)}`;
    return endPicture({ side, end, ...(count ? { way: way(count), deg } : {}), label });
  };
  return {
    arms: ENDS.map(picture),
    lines: ENDS.map((end) => h("p", null, h("span", { text: end }), " ", h("b", { text: said(then[end]) }))),
  };
}

/** The same in degrees. @param {Side} side @param {any} then */
function turned(side, then) {
  const figure = plain(Math.abs(then.turn_deg), 1);
  const still = Number(Math.abs(then.turn_deg).toFixed(1)) === 0;
  if (still) return { arms: [], lines: [h("p", { class: "still" }, h("b", { text: SAID.still }))] };
  const to = way(then.turn_deg);
  const label = `arm, ${figure}° ${SAID[to]}`;
  return {
    arms: [endPicture({ side, end: "arm", way: to, deg: Math.abs(then.turn_deg), label })],
    lines: [
      h("p", { class: "degrees" }, h("b", { class: "large", text: `${figure}°` }), " ", h("b", { text: SAID[to] })),
    ],
  };
}

/** The lines of a side's adjuster: how far it is turned, and what of it is left.
 * @param {any} then @param {Adjusts} kind */
const adjusted = (then, kind) => [
  h("p", { class: "turned-by" }, h("b", { class: "large", text: turnWords(then.turns ?? 0, kind) })),
  leftWords(then, kind) ? h("p", { class: "turns-left", text: leftWords(then, kind) }) : null,
];

/** The picture of an adjuster as it is turned. @param {Side} side @param {any} then @param {Adjusts} kind
 * @param {any} car */
function adjusterArm(side, then, kind, car) {
  const label = `${side} wheel: ${turnWords(then.turns, kind)}`;
  return adjusterPlace({ side, car, of: `${kind}-${then.turns > 0 ? "raise" : "lower"}`, label });
}

/** What a side with an adjuster shows: its turns, and teeth or degrees where an end is turned too.
 * @param {Side} side @param {Option} option @param {{bar: BarBody, kind: Adjusts, car: any}} about */
function withAdjuster(side, option, { bar, kind, car }) {
  const then = option[side];
  const alone = adjustsAlone(option) || option.ends_disturbed === 0;
  const teeth = alone ? null : inDegrees(option) ? turned(side, then) : toothed(side, then, bar);
  const still = !then.turns && (!teeth || !teeth.arms.length);
  if (still) return { arms: [], lines: [h("p", { class: "still" }, h("b", { text: SAID.still }))], teeth: false };
  const own = then.turns ? adjusted(then, kind) : [];
  const arms = teeth?.arms.length ? teeth.arms : then.turns ? [adjusterArm(side, then, kind, car)] : [];
  return { arms, lines: [...(teeth?.arms.length ? teeth.lines : []), ...own], teeth: Boolean(teeth?.arms.length) };
}

/**
 * The card of one side.
 * @param {{side: Side, bar: BarBody, kind: Adjusts | null, car: any}} about `kind` of the car's adjuster
 * @returns {{node: HTMLElement, show: (option: Option) => void}}
 */
export function planSide({ side, bar, kind, car }) {
  const unit = h("small");
  const arms = h("div", { class: "arms" });
  const lines = h("div", { class: "turns" });
  const node = h(
    "section",
    { class: `corner-card ${side}`, "aria-label": `${side} side` },
    h("h2", null, side.toUpperCase(), unit),
    arms,
    lines,
  );
  let shown = "";
  const show = (/** @type {Option} */ option) => {
    const degrees = inDegrees(option);
    const { inner, outer, turn_deg: deg, turns, raise_turns_left: up, lower_turns_left: down } = option[side];
    const now = `${degrees ? `${deg}°` : `${inner} ${outer}`} ${kind ? `${turns} ${up} ${down}` : ""}`;
    if (now === shown) return;
    shown = now;
    const own = kind ? withAdjuster(side, option, { bar, kind, car }) : null;
    const made = own ?? (degrees ? turned(side, option[side]) : toothed(side, option[side], bar));
    unit.textContent = degrees || (own && !own.teeth) ? "" : ` ${SAID.teeth}`;
    node.classList.toggle("in-degrees", degrees || Boolean(own && !own.teeth));
    arms.replaceChildren(...made.arms);
    lines.replaceChildren(.../** @type {Node[]} */ (made.lines.filter(Boolean)));
  };
  return { node, show };
}
