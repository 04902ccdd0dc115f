/* The bench's rows of results: a name, and what one column says there, in words. Marks the best of a row and the
   limits in words, never by colour alone. Every figure is the model's; here they are only put beside each other. */

import { h } from "../../parts/dom.js";
import { angle, inHundred, plain, spread, turns } from "../../work/numbers.js";
import { length, lengthSpread } from "../../work/units.js";
import { liftWords } from "../../work/lift.js";
import { SIDES } from "../../work/readings.js";

const CLOSE = 0.9;

const mark = (text, bad) => h("span", { class: bad ? "bench-mark bad" : "bench-mark", text });
const line = (...inside) => h("span", { class: "line" }, inside);
const sides = (words) => (column) =>
  column.left && column.right
    ? SIDES.map((side) =>
        line(h("span", { class: `side-name ${side}`, text: side }), " ", words(column[side], column, side)),
      )
    : "–";

const turned = (side, { other_bars: other }) => (other ? "by angle" : turns(side));

/** Then, where the mark was never read, by how much it rises; "–" where nothing says. */
function height({ body_height_mm: found, rise_mm: rise }) {
  if (found) return lengthSpread(found);
  return rise ? `not measured; rises by ${lengthSpread(rise)}` : "not measured";
}

function odds({ odds: { typical, best, worst }, stopped_by: stops, other_bars: other }) {
  if (stops.length) return h("strong", { text: "not possible" });
  const range = `${inHundred(worst).replace(" in 100", "")} to ${inHundred(best)}, depending on the new steps`;
  return [line(h("strong", { text: inHundred(typical) })), other ? line(range) : null];
}

function stress({ stress_at_bump_mpa: found }, { permissible_stress_mpa: limit }) {
  if (found == null) return "not known";
  if (limit == null) return `${plain(found, 0)} MPa`;
  const over = found > limit;
  return [
    `${plain(found, 0)} MPa `,
    over ? mark("above the limit", true) : found > CLOSE * limit ? mark("close to the limit", true) : null,
  ];
}

function lift(side) {
  const words = liftWords(side.lift);
  return words
    ? `${words.force}, ${words.torque.replace(" at the bar", "")}, ${words.energy}`
    : "none: hangs at or above its stop";
}

const list = (texts) =>
  texts.length
    ? h(
        "ul",
        null,
        texts.map((text) => h("li", { text })),
      )
    : "nothing";
const bigger =
  (name) =>
  ({ left, right }) =>
    left && right && name(left) !== null && name(right) !== null ? Math.max(name(left), name(right)) : null;

/** [name, what a column says, {best: [figure of a column, which is best, words]}] of each row. */
const ROWS = [
  ["Chance", odds, { best: [({ odds: o, stopped_by: s }) => (s.length ? null : o.typical), Math.max, "best chance"] }],
  ["Teeth to turn", sides(turned)],
  [
    "Hanging angle",
    sides((side, { other_bars: other }) => [other ? "set to " : "", h("strong", { text: angle(side.hanging_deg) })]),
  ],
  ["Ride height after", sides(height)],
  [
    "Height with no tooth turned",
    (column) =>
      column.left?.untouched_mm || column.right?.untouched_mm
        ? sides((side) => (side.untouched_mm ? lengthSpread(side.untouched_mm) : "not measured"))(column)
        : "–",
  ],
  ["Lean", ({ lean_mm: lean }) => (lean ? lengthSpread(lean) : "–")],
  [
    "One fine step",
    ({ step_deg: step, mm_per_fine_step: mm }) =>
      step.fine === null ? "not counted" : `${plain(step.fine, 2)}°${mm == null ? "" : `, ${length(mm, 1)}`}`,
  ],
  ["Bar", ({ bar_nm_per_deg: rate }) => spread(rate, "N·m per degree", 1)],
  ["At the wheel", sides((side) => `${plain(side.wheel_rate_n_per_mm, 1)} N/mm`)],
  ["Ride frequency", ({ ride_hz: hz }) => (hz == null ? "–" : `${plain(hz, 2)} Hz`)],
  [
    "Bar at full bump",
    (column) => [
      sides(stress)(column),
      column.left
        ? line(
            column.permissible_stress_mpa === null
              ? "no limit given"
              : `limit ${plain(column.permissible_stress_mpa, 0)} MPa${column.permissible_given ? "" : ", none given"}`,
          )
        : null,
    ],
    { best: [bigger((side) => side.stress_at_bump_mpa), Math.min, "least stress"] },
  ],
  [
    "Force to lift the arm",
    sides(lift),
    { best: [bigger((side) => (side.lift.high ?? side.lift).force_n), Math.min, "least force"] },
  ],
  ["Travel remaining, up and down", sides((side) => `${length(side.bump_left_mm)}, ${length(side.droop_left_mm)}`)],
  ["Not possible because", ({ stopped_by: stops }) => list(stops)],
  ["Safety", ({ cautions }) => list(cautions)],
];

/**
 * Which columns are best in a row: those that share the best figure to what is shown, where there are several to
 * compare.
 */
function bestOf(columns, [figure, choose]) {
  const figures = columns.map((column) => (column ? figure(column) : null));
  const there = figures.filter((value) => typeof value === "number");
  if (there.length < 2) return [];
  const best = choose(...there);
  const near = figures.map(
    (value) => typeof value === "number" && Math.abs(value - best) < 0.005 * Math.max(1, Math.abs(best)),
  );
  return near.filter(Boolean).length < there.length ? near : [];
}

/** The rows of these columns (null: not worked out yet): [name, cells], a cell being a list of nodes and texts. */
export function resultRows(columns) {
  return ROWS.map(([name, words, { best } = {}]) => {
    const marked = best ? bestOf(columns, best) : [];
    return [
      name,
      columns.map((column, i) =>
        column ? [words(column), marked[i] ? line(mark(best[2])) : null].flat(Infinity) : ["…"],
      ),
    ];
  });
}
