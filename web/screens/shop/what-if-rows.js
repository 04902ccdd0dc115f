/* The bench's rows of results: a name, and what one column says there, in words; above them the chance and the car
   from behind. Marks the best of a row and the limits in words, never by colour alone. Every figure is the model's;
   here they are only put beside each other. */

import { h } from "../../parts/dom.js";
import { rearOf } from "../../parts/rear-heights.js";
import { adjusterOf, adjustsAlone, sideWords } from "../../work/adjuster.js";
import { liftWords } from "../../work/lift.js";
import { angle, inHundred, plain, spread, turns } from "../../work/numbers.js";
import { SIDES } from "../../work/readings.js";
import { length, lengthSpread } from "../../work/units.js";
import { gateWords } from "../../work/verdict.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { Side } from "../../types/sheet.d.ts" */

/** A column of the answer. @typedef {any} Column */
/** One side of a column. @typedef {any} ColumnSide */
/** @typedef {{ figure: (column: Column) => number | null, choose: (...values: number[]) => number, words: string }}
 *   Best */
/** `says` what a column says there, given the car as it is and what is known of it; `always` a row that is seen whether
 * it differs or not.
 * @typedef {object} Row
 * @property {string} name
 * @property {(column: Column, now: Column, car: any) => Child} says
 * @property {Best} [best]
 * @property {boolean} [always] */

/** From this share of a limit on it is called close. */
const CLOSE = 0.9;
/** Figures that differ by less than this share are equally good. */
const ALIKE = 0.005;
const SAID = {
  notPossible: "not possible",
  range: (/** @type {number} */ worst, /** @type {number} */ best) =>
    `${plain(100 * worst, 0)} to ${plain(100 * best, 0)} in 100, depending on the new steps`,
  byAngle: "by angle",
  notMeasured: "not measured",
  rises: (/** @type {string} */ by) => `not measured; rises by ${by}`,
  setTo: "set to ",
  notKnown: "not known",
  over: "above the limit",
  close: "close to the limit",
  noLimit: "no limit given",
  limit: (/** @type {string} */ mpa) => `limit ${mpa} MPa`,
  usualLimit: (/** @type {string} */ mpa) => `limit ${mpa} MPa, none given`,
  slack: "none: hangs at or above its stop",
  nothing: "nothing",
  notCounted: "not counted",
};

/** @param {string} text @param {boolean} [bad] */
const mark = (text, bad = false) => h("span", { class: bad ? "bench-mark bad" : "bench-mark", text });
/** @param {...Child} inside */
const line = (...inside) => h("span", { class: "line" }, inside);
/** @param {(side: ColumnSide, column: Column) => Child} words @returns {(column: Column) => Child} */
const sides = (words) => (column) =>
  column.left && column.right
    ? SIDES.map((/** @type {Side} */ side) =>
        line(h("span", { class: `side-name ${side}`, text: side }), " ", words(column[side], column)),
      )
    : "–";

/** "69 in 100", or that it cannot be done.
 * @param {Column} column */
export const chanceWords = ({ odds, stopped_by: stops }) => (stops.length ? SAID.notPossible : inHundred(odds.typical));

/** @param {Column} column */
function chance(column) {
  const { odds, stopped_by: stops, other_bars: other } = column;
  return [
    line(h("strong", { text: chanceWords(column) })),
    other && !stops.length ? line(SAID.range(odds.worst, odds.best)) : null,
  ];
}

/** Both heights of a column, null where they are not known.
 * @param {Column} column @param {"body_height_mm" | "untouched_mm"} what */
const pair = (column, what) => ({
  left: column.left?.[what]?.value ?? null,
  right: column.right?.[what]?.value ?? null,
});

/** The car from behind: dashed as it stands, solid as it would.
 * @param {Column} column @param {Column} now */
function behind(column, now) {
  const { target } = column;
  const gate = typeof target?.left_mm === "number" ? target : null;
  return (
    rearOf({
      found: now && now !== column ? rounded(pair(now, "untouched_mm")) : null,
      now: rounded(pair(column, "body_height_mm")),
      target: gate,
      was: "now",
      gate: gate ? gateWords(gate) : "",
    }) ?? "–"
  );
}

/** Whole millimetres, as the words beside it say them.
 * @param {{ left: number | null, right: number | null }} both */
const rounded = ({ left, right }) => ({
  left: left === null ? null : Math.round(left),
  right: right === null ? null : Math.round(right),
});

/** Then, where the mark was never read, by how much it rises; that it was not measured where nothing says.
 * @param {ColumnSide} side */
function height({ body_height_mm: found, rise_mm: rise }) {
  if (found) return lengthSpread(found);
  return rise ? SAID.rises(lengthSpread(rise)) : SAID.notMeasured;
}

/** @param {ColumnSide} side @param {Column} column */
function stress({ stress_at_bump_mpa: found }, { permissible_stress_mpa: limit }) {
  if (found === null) return SAID.notKnown;
  const words = `${plain(found, 0)} MPa `;
  if (limit === null) return words.trim();
  if (found > limit) return [words, mark(SAID.over, true)];
  return [words, found > CLOSE * limit ? mark(SAID.close, true) : null];
}

/** @param {Column} column */
function limitWords({ permissible_stress_mpa: limit, permissible_given: given }) {
  if (limit === null) return SAID.noLimit;
  return given ? SAID.limit(plain(limit, 0)) : SAID.usualLimit(plain(limit, 0));
}

/** @param {ColumnSide} side */
function lift(side) {
  const words = liftWords(side.lift);
  return words ? `${words.force}, ${words.torque.replace(" at the bar", "")}, ${words.energy}` : SAID.slack;
}

/** @param {string[]} texts */
const list = (texts) =>
  texts.length
    ? h(
        "ul",
        null,
        texts.map((text) => h("li", { text })),
      )
    : SAID.nothing;

/** The greater figure of the two sides, null where one is not known.
 * @param {(side: ColumnSide) => number | null} of @returns {(column: Column) => number | null} */
const bigger =
  (of) =>
  ({ left, right }) => {
    const both = left && right ? [of(left), of(right)] : [];
    return both.length && both.every((value) => value !== null) ? Math.max(.../** @type {number[]} */ (both)) : null;
  };

/** @param {Column} column */
const untouched = (column) =>
  column.left?.untouched_mm || column.right?.untouched_mm
    ? sides((side) => (side.untouched_mm ? lengthSpread(side.untouched_mm) : SAID.notMeasured))(column)
    : "–";

/** What a side of a column turns, in words: teeth, and turns where the car has an adjuster.
 * @param {any} car @returns {(side: ColumnSide, column: Column) => string} */
const turnedIn = (car) => (side, column) => {
  if (column.other_bars) return SAID.byAngle;
  const kind = adjusterOf(car)?.kind;
  return kind ? sideWords(side, { kind, alone: adjustsAlone(column) }) : turns(side);
};

/** @param {Column} column */
const fineStep = ({ step_deg: step, mm_per_fine_step: mm }) =>
  step.fine === null ? SAID.notCounted : `${plain(step.fine, 2)}°${mm === null ? "" : `, ${length(mm, 1)}`}`;

/** @type {Row[]} */
const ROWS = [
  {
    name: "Chance",
    says: chance,
    always: true,
    best: {
      figure: ({ odds, stopped_by: stops }) => (stops.length ? null : odds.typical),
      choose: Math.max,
      words: "best chance",
    },
  },
  { name: "From behind", says: behind, always: true },
  {
    name: "To turn",
    says: (column, _, car) => sides(turnedIn(car))(column),
  },
  {
    name: "Hanging angle",
    says: sides((side, { other_bars: other }) => [
      other ? SAID.setTo : "",
      h("strong", { text: angle(side.hanging_deg) }),
    ]),
  },
  { name: "Ride height after", says: sides(height) },
  { name: "Height with nothing turned", says: untouched },
  { name: "Lean", says: ({ lean_mm: lean }) => (lean ? lengthSpread(lean) : "–") },
  { name: "One fine step", says: fineStep },
  { name: "Bar", says: ({ bar_nm_per_deg: rate }) => spread(rate, "N·m per degree", 1) },
  { name: "At the wheel", says: sides((side) => `${plain(side.wheel_rate_n_per_mm, 1)} N/mm`) },
  { name: "Ride frequency", says: ({ ride_hz: hz }) => (hz === null ? "–" : `${plain(hz, 2)} Hz`) },
  {
    name: "Bar at full bump",
    says: (column) => [sides(stress)(column), column.left ? line(limitWords(column)) : null],
    best: { figure: bigger((side) => side.stress_at_bump_mpa), choose: Math.min, words: "least stress" },
  },
  {
    name: "Force to lift the arm",
    says: sides(lift),
    best: { figure: bigger((side) => (side.lift.high ?? side.lift).force_n), choose: Math.min, words: "least force" },
  },
  {
    name: "Travel remaining, up and down",
    says: sides((side) => `${length(side.bump_left_mm)}, ${length(side.droop_left_mm)}`),
  },
  { name: "Not possible because", says: ({ stopped_by: stops }) => list(stops) },
  { name: "Safety", says: ({ cautions }) => list(cautions) },
];

/**
 * Which columns are best in a row: those that share the best figure to what is shown, where there are several to
 * compare.
 * @param {Column[]} columns
 * @param {Best} best
 * @returns {boolean[]}
 */
function bestOf(columns, { figure, choose }) {
  const figures = columns.map((column) => (column ? figure(column) : null));
  const there = figures.filter((value) => value !== null);
  if (there.length < 2) return [];
  const best = choose(...there);
  const near = figures.map((value) => value !== null && Math.abs(value - best) < ALIKE * Math.max(1, Math.abs(best)));
  return near.filter(Boolean).length < there.length ? near : [];
}

/** Lists in lists laid flat, however deep. @param {Child} inside @returns {Child[]} */
const flat = (inside) => (Array.isArray(inside) ? inside.flatMap(flat) : [inside]);

/** What a cell says, to be compared. @param {Child[]} inside */
const textOf = (inside) => inside.map((part) => (part instanceof Node ? part.textContent : (part ?? ""))).join("");

/**
 * The rows of these columns (null: not worked out yet), the car as it is first: `cells` a list of nodes and texts each,
 * `differs` whether they do not all say the same.
 * @param {Column[]} columns
 * @param {any} [car] as the sheet has it
 * @returns {{ name: string, cells: Child[][], always: boolean, differs: boolean }[]}
 */
export function resultRows(columns, car = {}) {
  return ROWS.map(({ name, says, best, always = false }) => {
    const marked = best ? bestOf(columns, best) : [];
    const cells = columns.map((column, i) =>
      column ? flat([says(column, columns[0], car), best && marked[i] ? line(mark(best.words)) : null]) : ["…"],
    );
    return { name, cells, always, differs: new Set(cells.map(textOf)).size > 1 };
  });
}
