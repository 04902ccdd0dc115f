/* Heights, cross-weight and angles of a car over its visits, as plots with the same values in tables. */

import { h } from "../../parts/dom.js";
import { plot } from "../../parts/shop/plot.js";
import { shortDate } from "../../work/dates.js";
import { NINETY, angle, plain } from "../../work/numbers.js";
import { column, rangeOf, stepWords, tickWords } from "../../work/pc/car-steps.js";
import { isWeighed } from "../../work/pc/car-visits.js";
import { counted } from "../../work/plural.js";
import { inches, lengthUnit, spans, toInches } from "../../work/units.js";
import { CROSS, differenceOf, shareOf } from "../../work/weighing.js";

/** @import { Axis, Dash, Mark, Series } from "../../parts/shop/plot.js" */
/** @import { Context } from "../../types/context.d.ts" */
/** @import { Row } from "../../work/pc/car-local.js" */
/** @import { Steps } from "../../work/pc/car-steps.js" */

const SIDES = /** @type {const} */ (["left", "right"]);
const ARMS = /** @type {const} */ (["hanging", "riding"]);
/** Per cent of cross-weight with equal diagonals: always in the plot. */
const HALF = 50;
/** Pixels that the words under a step want. */
const TICK_PX = 130;
const SAID = {
  steps: "Visits and work steps, in order of time",
  heights: "Ride heights over time",
  states: (/** @type {number} */ n, /** @type {string} */ from, /** @type {string} */ to) =>
    counted(
      n,
      `{n} state of the car, from ${from} to ${to}. Filled marks were measured; open marks with a whisker were ` +
        "predicted; ± holds 90 in 100.",
      `{n} states of the car, from ${from} to ${to}. Filled marks were measured; open marks with a whisker were ` +
        "predicted; ± holds 90 in 100.",
    ),
  height: (/** @type {string} */ unit) => `Ride height, ${unit}`,
  measured: { left: "left, measured", right: "right, measured" },
  predicted: { left: "left, predicted ±", right: "right, predicted ±" },
  heightHead: (/** @type {string} */ unit) => [
    "When",
    `Left, ${unit}`,
    `Right, ${unit}`,
    `Left predicted, ${unit}`,
    `Right predicted, ${unit}`,
    `Left target, ${unit}`,
    `Right target, ${unit}`,
  ],
  angles: "Arm angles over time",
  anglesSay:
    "Hanging: arm free, bar unloaded; turning teeth sets it. Riding: on its wheels. Positive is arm down, the wheel " +
    "below the bar.",
  cross: "Cross-weight over time",
  crossSays: "Right front and left rear as a share of all four wheel loads. ± holds 90 in 100, by the scales alone.",
  crossPercent: "Cross-weight (RF + LR), %",
  crossHead: ["When", "Cross-weight (RF + LR)", "RF + LR less LF + RR"],
  notWeighed:
    "No cross-weight yet: at no visit were the loads of all four wheels read at one stage. In a job: Add readings, " +
    "All four wheel loads.",
  angle: "Arm angle, ° arm down",
  arm: {
    hanging: { left: "hanging, left", right: "hanging, right" },
    riding: { left: "riding, left", right: "riding, right" },
  },
  angleHead: ["When", "Hanging left", "Hanging right", "Riding left", "Riding right"],
};

/** @type {Record<"hanging" | "riding", Record<"left" | "right", { mark: Mark, line: Dash }>>} */
const LOOKS = {
  hanging: { left: { mark: "circle", line: "solid" }, right: { mark: "square", line: "dashed" } },
  riding: { left: { mark: "ring", line: "dotted" }, right: { mark: "diamond", line: "dotted" } },
};

const inUnit = (/** @type {number} */ mm) => (inches() ? toInches(mm) : mm);
const figure = (/** @type {number | null} */ mm, /** @type {number} */ places) =>
  mm === null ? "" : plain(inUnit(mm), places + spans().finer);

/** The axis of steps: how far the work was under each, the day under the first of a visit.
 * @param {Steps} steps @returns {Axis} */
function stepAxis(steps) {
  return {
    label: SAID.steps,
    range: () => [-0.6, steps.length - 0.4],
    splits: () => steps.map((_, i) => i).filter((i) => steps[i]),
    values: (/** @type {unknown} */ _, /** @type {number[]} */ places) => {
      const rare = Math.ceil(places.length / Math.max(2, Math.floor(innerWidth / TICK_PX)));
      return places.map((i, n) => {
        const row = steps[i];
        return n % rare || !row ? "" : tickWords(row, rare > 1 || !i || !steps[i - 1]);
      });
    },
    space: 1,
    size: 58,
  };
}

/** What was measured and what was predicted of a side.
 * @param {Steps} steps @param {"left" | "right"} side @returns {Series[]} */
function sideSeries(steps, side) {
  const left = side === "left";
  const promised = column(steps, `promised_${side}_mm`, inUnit);
  const sd = column(steps, `promised_${side}_sd_mm`, inUnit);
  const off = (/** @type {number} */ way) =>
    promised.map((value, i) => (value === null ? null : value + way * NINETY * (sd[i] ?? 0)));
  return [
    {
      name: SAID.measured[side],
      values: column(steps, `body_height_${side}_mm`, inUnit),
      mark: left ? "circle" : "square",
      ink: side,
      line: left ? "solid" : "dashed",
    },
    {
      name: SAID.predicted[side],
      values: promised,
      mark: left ? "ring" : "diamond",
      ink: side,
      low: off(-1),
      high: off(1),
      aside: left ? -9 : 9,
    },
  ];
}

/** @param {Row} row @param {"left" | "right"} side */
function promise(row, side) {
  const [mean, sd] = [row[`promised_${side}_mm`], row[`promised_${side}_sd_mm`]];
  return mean === null ? "" : `${figure(mean, 1)} ± ${figure(NINETY * (sd ?? 0), 1)}`;
}

/** @param {Steps} steps @returns {Row[]} */
const rowsOf = (steps) => steps.filter((row) => row !== null);

/** @param {Context} ctx @param {Steps} steps */
export function heights(ctx, steps) {
  const series = SIDES.flatMap((side) => sideSeries(steps, side));
  const rows = rowsOf(steps);
  return plot(ctx, {
    name: SAID.heights,
    says: SAID.states(rows.length, shortDate(rows[0].at), shortDate(rows[rows.length - 1].at)),
    x: steps.map((_, i) => i),
    series,
    xAxis: stepAxis(steps),
    yAxis: {
      label: SAID.height(lengthUnit()),
      range: () =>
        rangeOf(
          series.flatMap((s) => [...s.values, ...(s.low ?? []), ...(s.high ?? [])]),
          inches() ? 0.2 : 5,
        ),
    },
    table: {
      head: SAID.heightHead(lengthUnit()),
      rows: rows.map((row) => [
        stepWords(row),
        ...SIDES.map((side) => figure(row[`body_height_${side}_mm`], 1)),
        ...SIDES.map((side) => promise(row, side)),
        ...SIDES.map((side) => figure(row[`target_${side}_mm`], 0)),
      ]),
    },
  });
}

/** Cross-weight over the visits; why there is none where all four wheels were never weighed.
 * @param {Context} ctx @param {Steps} steps */
export function crossWeights(ctx, steps) {
  const rows = rowsOf(steps).filter(isWeighed);
  if (!rows.length) return h("p", { class: "where", text: SAID.notWeighed });
  const values = column(steps, "cross_percent");
  const sd = column(steps, "cross_sd_percent");
  const off = (/** @type {number} */ way) =>
    values.map((value, i) => (value === null ? null : value + way * NINETY * (sd[i] ?? 0)));
  const [low, high] = [off(-1), off(1)];
  return plot(ctx, {
    name: SAID.cross,
    says: SAID.crossSays,
    x: steps.map((_, i) => i),
    series: [{ name: CROSS, values, mark: "diamond", ink: "ink", line: "solid", low, high }],
    xAxis: stepAxis(steps),
    yAxis: { label: SAID.crossPercent, range: () => rangeOf([...low, ...high, HALF], 0.2) },
    table: {
      head: SAID.crossHead,
      rows: rows.map((row) => [stepWords(row), shareOf(row), differenceOf(row)]),
    },
  });
}

/** Null where no angle was read.
 * @param {Context} ctx @param {Steps} steps */
export function angles(ctx, steps) {
  const series = ARMS.flatMap((what) =>
    SIDES.map((side) => ({
      name: SAID.arm[what][side],
      values: column(steps, `${what}_angle_${side}_deg`),
      ink: side,
      ...LOOKS[what][side],
    })),
  );
  if (!series.some(({ values }) => values.some((value) => value !== null))) return null;
  const all = series.flatMap(({ values }) => values);
  return plot(ctx, {
    name: SAID.angles,
    says: SAID.anglesSay,
    x: steps.map((_, i) => i),
    series,
    xAxis: stepAxis(steps),
    yAxis: { label: SAID.angle, range: () => rangeOf(all, 1) },
    table: {
      head: SAID.angleHead,
      rows: rowsOf(steps).map((row) => [
        stepWords(row),
        ...ARMS.flatMap((what) =>
          SIDES.map((side) => {
            const value = row[`${what}_angle_${side}_deg`];
            return value === null ? "" : angle(value);
          }),
        ),
      ]),
    },
  });
}
