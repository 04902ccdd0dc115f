/* The first screen of a plan: headline, chance, the car from behind, both corners, twenty such cars. Built once;
   `show` writes another option into it, for the slider and for another way. */

import { twentyCars } from "../parts/draw/cars.js";
import { rearView } from "../parts/draw/rear.js";
import { h } from "../parts/dom.js";
import { plate } from "../parts/plate.js";
import { rack } from "../parts/rack.js";
import { adjusterOf, adjusts, sprungOf, turnsNothing } from "../work/adjuster.js";
import { inHundred } from "../work/numbers.js";
import { expectedOf, outlookOf } from "../work/outlook.js";
import { about, figureOf, rangeOf, riseOf } from "../work/plan-figures.js";
import { titled, wayName } from "../work/sentence.js";
import { twenty } from "../work/twenty.js";
import { inches, length, lengthUnit, toMm } from "../work/units.js";
import { turnRows } from "../work/turn-facts.js";
import { CROSS, crossWords } from "../work/weighing.js";
import { planSide } from "./plan-side.js";

/** @import { BarBody, Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {import("../work/plan-deck.js").Stand} Stand */
/** What is shown: an answer, the place of the option, how it stands, and the heights that were read as it stands now.
 * @typedef {{answer: SolveAnswer, option: Option, best: boolean, stand: Stand, read: import("../work/outlook.js").Pair,
 *   first: boolean, together?: string | null}} Shown `first` where nothing was turned yet; `together` the headline of
 *   both axles */

const SIDES = /** @type {const} */ (["left", "right"]);
const SAID = {
  firstTime: "such cars are on target first time",
  then: "such cars are on target after it",
  still: "such cars are on target as they stand",
  both: "such cars end on target at both axles",
  now: "now",
  notThisWay: "Not possible this way",
  beforeTurning: "Before you turn anything, check what is doubted below.",
  unread: (/** @type {string} */ stage) => `Check the car after ${stage} first.`,
  underWay: (/** @type {string} */ stage) => `${titled(stage)} is under way.`,
  looks: "Its steps look at the plan again before a tooth is turned.",
  range: "± holds 90 in 100.",
  rear: "The car from behind",
  front: "The front axle, left on the left",
};

/** What is said where one adjuster serves both wheels. */
const ONE = {
  name: "Lean",
  value: "One adjuster for both wheels cannot level: look at bushes, packs, the other axle",
};

/** The headline of another way than the best. @param {Option} option @param {any} target */
function otherWords(option, target) {
  const { by, left, right } = expectedOf(option, target);
  const said = (/** @type {{value: number}} */ { value }) =>
    by === "height" ? length(value) : `${riseOf(value)} ${lengthUnit()}`;
  return `${wayName(option.label)}: left ${said(left)}, right ${said(right)}.`;
}

/** The head: the answer in one sentence, or a plate with what stands in the way.
 * @param {Shown} shown @param {string} stage what the stage that it is about is called */
function headOf({ answer, option, best, stand, together }, stage) {
  const words = together ?? (best ? answer.headline.words : otherWords(option, answer.target));
  const heading = (/** @type {string} */ text) => h("h1", { tabindex: "-1", "data-code": answer.headline.code, text });
  if (stand.kind === "doubt") return plate({ good: false, level: "h1", title: words, text: SAID.beforeTurning });
  if (stand.kind === "forbidden") {
    const why = stand.obstacle ? `${stand.obstacle.words}.` : null;
    return plate({ good: false, level: "h1", title: best ? words : SAID.notThisWay, text: why });
  }
  if (stand.kind === "stay" && best && stand.hand) return plate({ good: true, level: "h1", title: words });
  if (stand.kind === "unread") return heading(SAID.unread(stage));
  return heading(words);
}

/** The chance with its rack: {node, show(shown)}. */
function chanceOf() {
  const figure = h("b");
  const of = h("span");
  const teeth = rack({ chance: 0, heard: false });
  const node = h("div", { class: "chance" }, h("p", { class: "chance-line" }, figure, " ", of), teeth.node);
  const show = (/** @type {Shown} */ { answer, option, best, stand, first }) => {
    const both = best ? answer.both : null;
    const chance = both ? both.odds : option.odds;
    figure.textContent = inHundred(chance);
    of.textContent = both ? SAID.both : turnsNothing(option) ? SAID.still : first ? SAID.firstTime : SAID.then;
    teeth.show({ chance, with: both ? null : (stand.reading?.odds_after ?? null) });
    node.hidden = ["doubt", "forbidden"].includes(stand.kind);
  };
  return { node, show };
}

/** The car from behind. @param {{answer: Pick<SolveAnswer, "target">, option: Option, read: Shown["read"]}} shown
 * @param {boolean} front whether it is the front axle */
export function rearOf({ answer, option, read }, front) {
  const { target } = answer;
  const { by, left, right, aim } = expectedOf(option, target);
  const rises = by === "rise";
  const found = rises ? { left: 0, right: 0 } : read;
  const said = rises ? riseOf : figureOf;
  const was = (/** @type {number | null} */ value) => (value === null ? undefined : rises ? SAID.now : figureOf(value));
  const spoken = SIDES.map((side) => {
    const estimate = { left, right }[side];
    const before =
      rises || read[side] === null ? "" : `${figureOf(/** @type {number} */ (read[side]))} ${lengthUnit()} now, `;
    const then = rises
      ? `${riseOf(estimate.value)} ${rangeOf(estimate.sd)} ${lengthUnit()} against now`
      : about(estimate);
    return `${side} ${before}expected ${then}${aim ? `, target ${said(aim[side])} ${lengthUnit()}` : ""}`;
  });
  return rearView({
    found,
    now: { left: left.value, right: right.value },
    target: aim && target.as !== "hanging-angle" ? { ...aim, tolerance: target.tolerance_mm } : undefined,
    foundFigures: { left: was(found.left), right: was(found.right) },
    nowFigures: {
      left: said(left.value),
      right: said(right.value),
      leftSpread: rangeOf(left.sd),
      rightSpread: rangeOf(right.sd),
    },
    tick: inches() ? toMm(1 / 16) : 1,
    front,
    label: `${front ? SAID.front : SAID.rear}: ${spoken.join("; ")}.`,
  });
}

/** Twenty such cars and their sentence, or nothing where the target is no height. @param {Shown} shown */
function carsOf({ answer, option, best, stand }) {
  // Twenty cars of one axle beside the chance of both would mislead.
  const apart = ["doubt", "forbidden"].includes(stand.kind) || (best && answer.both);
  const outlook = apart ? null : outlookOf(option, answer.target);
  if (!outlook) return [];
  const { cars, legend } = twenty(outlook);
  return [
    h("div", { class: "cars-box" }, twentyCars(cars, legend)),
    h("p", { class: "foot-note" }, h("span", { "aria-hidden": "true", text: legend }), ` ${SAID.range}`),
  ];
}

/**
 * The parts of the first screen, empty until `show`.
 * @param {{bar: BarBody, car?: any, work?: (number: number) => "teardown" | "adjustment"}} about the bar as it was
 *   counted, the car, and what the stage of a number is
 */
export function planFront({ bar, car = {}, work = () => "teardown" }) {
  const kind = adjusterOf(car)?.kind ?? null;
  const front = sprungOf(car) === "front";
  const facts = h("dl", { class: "facts turn-facts" });
  const crossed = h("p", { class: "foot-note" });
  const head = h("div", { class: "plan-head" });
  const note = h("p", { class: "how-line" });
  const chance = chanceOf();
  const rear = h("div", { class: "draw" });
  const sides = SIDES.map((side) => planSide({ side, bar, kind, car }));
  const corners = h(
    "div",
    { class: "corner-cards" },
    sides.map(({ node }) => node),
  );
  const cars = h("div", { class: "cars-part" });
  const quick = [
    (/** @type {Shown} */ shown) => {
      const { kind: how, number } = shown.stand;
      const stage = `${work(number)} ${number}`;
      head.replaceChildren(headOf(shown, stage));
      const said = work(number) === "teardown" ? [SAID.underWay(stage), SAID.looks] : [SAID.underWay(stage)];
      note.textContent = how === "under-way" ? said.join(" ") : "";
      note.hidden = !note.textContent;
    },
    chance.show,
    (/** @type {Shown} */ shown) => rear.replaceChildren(rearOf(shown, front)),
    (/** @type {Shown} */ { answer, option, best, stand }) => {
      // Both axles have their parts below, each with its sides.
      corners.hidden = ["doubt", "forbidden"].includes(stand.kind) || Boolean(best && answer.both);
      for (const side of sides) side.show(option);
      const rows = [
        ...(kind && adjusts(option) ? turnRows(option, kind) : []),
        ...(adjusterOf(car)?.shared ? [ONE] : []),
        ...(crossWords(answer, option) ? [{ name: CROSS, value: crossWords(answer, option) }] : []),
      ];
      crossed.textContent = best ? (answer.cross_weight?.words ?? "") : "";
      crossed.hidden = !crossed.textContent || corners.hidden;
      facts.replaceChildren(
        ...rows.map(({ name, value }) => h("div", { class: "row" }, h("dt", { text: name }), h("dd", { text: value }))),
      );
      facts.hidden = !rows.length || corners.hidden;
    },
  ];
  return {
    head,
    lead: [note, chance.node],
    picture: rear,
    corners,
    facts,
    crossed,
    cars,
    /** Writers of what follows the finger, one after the other. */
    quick,
    show(/** @type {Shown} */ shown) {
      for (const write of quick) write(shown);
      cars.replaceChildren(...carsOf(shown));
      cars.hidden = !cars.childElementCount;
      cars.classList.remove("stale");
    },
  };
}
