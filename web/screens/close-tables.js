/* The figures of a job at hand-over: before and after, teeth turned, predicted and measured. */

import { dataTable } from "../parts/data-table.js";
import { h } from "../parts/dom.js";
import { angle, inHundred, plain, teeth } from "../work/numbers.js";
import { adjusterName, adjusterOf, turnWords } from "../work/adjuster.js";
import { stageName } from "../work/promise.js";
import { SIDES } from "../work/readings.js";
import { titled } from "../work/sentence.js";
import { lengthSpread, length } from "../work/units.js";
import { verdictOf } from "../work/verdict.js";
import { CROSS, crossedWords } from "../work/weighing.js";

/** @import { Folded, Sheet, Side, Stage } from "../types/sheet.d.ts" */

const SAID = {
  before: "Before and after",
  turned: "Teeth turned, all teardowns together",
  adjusted: "Turned, all adjustments together",
  predicted: "Predicted and measured",
  note: "± is the range that holds 90 in 100.",
  none: "not read",
  still: "none turned",
  other: ", other teeth turned",
  otherwise: ", turned otherwise",
};
const height = (/** @type {number | null} */ mm) =>
  mm === null ? SAID.none : length(mm, Number.isInteger(mm) ? 0 : 1);
const degrees = (/** @type {number | null} */ deg) => (deg === null ? SAID.none : angle(deg));
const turns = (/** @type {number} */ count) => (count ? teeth(count) : SAID.still);
const ofTheDay = (/** @type {Stage} */ stage) => (stage.after_km ?? null) === null;

/** @param {string} caption @param {string[]} head @param {(string | null)[][]} rows */
const table = (caption, head, rows) =>
  h("div", { class: head.length > 2 ? "table many" : "table" }, dataTable({ caption, head: ["", ...head], rows }));

/** Heights and angles as found, on hand-over day and at the last recheck. */
function heights(/** @type {Sheet} */ sheet, /** @type {Stage[]} */ stages) {
  const first = stages[0];
  const last = stages.findLast(ofTheDay) ?? first;
  const later = stages.findLast((stage) => !ofTheDay(stage));
  const shown = [first, last, ...(later ? [later] : [])];
  const head = [
    "As found",
    last.teardown ? `After ${stageName(sheet, last.teardown)}` : "Now",
    ...(later ? [`After ${plain(Number(later.after_km), 0)} km`] : []),
  ];
  /** @type {<T>(name: string, get: (stage: Stage) => T, words: (value: T) => string) => string[]} */
  const row = (name, get, words) => [name, ...shown.map((stage) => words(get(stage)))];
  const sides = /** @type {Side[]} */ (SIDES);
  return table(SAID.before, head, [
    ...sides.map((side) => row(`Ride height, ${side}`, (s) => s.reached[`${side}_mm`] ?? null, height)),
    row("Lean, left less right", (s) => s.reached.lean_mm ?? null, height),
    ...(shown.some((stage) => stage.cross_percent) ? [row(CROSS, (s) => s, crossedWords)] : []),
    ...sides.map((side) => row(`Hanging angle, ${side}`, (s) => s.hanging_deg[side] ?? null, degrees)),
    ...sides.map((side) => row(`Riding angle, ${side}`, (s) => s.riding_deg[side] ?? null, degrees)),
  ]);
}

/** Teeth turned at each end over all teardowns, and turns of an adjuster; a table of what the car has. */
function turned(/** @type {Sheet} */ { car, moves }) {
  const total = (/** @type {string} */ side, /** @type {"inner" | "outer" | "turns"} */ what) =>
    moves.reduce((sum, move) => sum + (move[/** @type {Side} */ (side)]?.[what] ?? 0), 0);
  const named = (/** @type {string} */ side) => (side === "left" ? "Left" : "Right");
  const kind = adjusterOf(car)?.kind;
  const toothed = SIDES.some((side) => moves.some((move) => move[side]?.inner || move[side]?.outer));
  const all = SIDES.map((side) => [named(side), turnWords(total(side, "turns"), kind)]);
  return [
    kind && !toothed
      ? null
      : table(
          SAID.turned,
          ["Inner end", "Outer end"],
          SIDES.map((side) => [named(side), turns(total(side, "inner")), turns(total(side, "outer"))]),
        ),
    kind ? table(SAID.adjusted, [adjusterName(kind)], all) : null,
  ];
}

/** One line per teardown: what was predicted and what came. */
function predicted(/** @type {Sheet} */ sheet, /** @type {Stage[]} */ stages) {
  const rows = stages
    .filter((stage) => stage.teardown > 0 && ofTheDay(stage))
    .map((stage) => {
      const plan = stage.promised;
      const other = stage.followed === false ? (adjusterOf(sheet.car) ? SAID.otherwise : SAID.other) : "";
      const of = (/** @type {Side} */ side) => {
        const [value, sd] = [plan?.[`${side}_mm`], plan?.[`${side}_sd_mm`]];
        return typeof value !== "number" || typeof sd !== "number" ? SAID.none : lengthSpread({ value, sd });
      };
      const came = /** @type {Side[]} */ (SIDES).map((side) => height(stage.reached[`${side}_mm`] ?? null));
      const { state, title } = verdictOf(stage);
      return [
        titled(stageName(sheet, stage.teardown)),
        plan ? `${inHundred(plan.odds)}${other}` : "no plan kept",
        plan ? /** @type {Side[]} */ (SIDES).map(of).join(" / ") : "",
        came.join(" / "),
        state === "on" || state === "off" ? title : "",
      ];
    });
  if (!rows.length) return null;
  return [
    table(`${SAID.predicted}, left / right`, ["Chance", "Heights predicted", "Heights measured", "Verdict"], rows),
    h("p", { class: "foot-note", text: SAID.note }),
  ];
}

/**
 * All tables of a job.
 * @param {Pick<Folded, "sheet" | "stages">} job
 * @returns {(Node | null)[]}
 */
export function tables({ sheet, stages }) {
  return [heights(sheet, stages), ...turned(sheet), ...(predicted(sheet, stages) ?? [null])];
}
