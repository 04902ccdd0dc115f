/* The shop's plots: predicted against actual chance in bands, teardowns a job took, how far heights are off. */

import { h } from "../../parts/dom.js";
import { plot } from "../../parts/shop/plot.js";
import { plain } from "../../work/numbers.js";
import { inches, spans } from "../../work/units.js";
import { GROUP, agrees, groupsOf, hundredths, ofMany } from "../../work/pc/reliability.js";
import { counted } from "../../work/plural.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Calibration } from "../../types/wire.d.ts" */
/** @import { Group } from "../../work/pc/reliability.js" */
/** @typedef {import("../../vendor/uplot.mjs").default} Plot */

const SAID = {
  calibration: "Predicted and actual chance",
  calibrationSays: (/** @type {number} */ n, /** @type {string} */ reach, /** @type {string} */ brier) =>
    counted(
      n,
      "{n} teardown done as planned. Each band: chances predicted, across; how many in 100 were on target, with " +
        "the 95 % interval, upwards; the figure in it, how many. On the dashed line predicted equals actual; " +
        `${reach} Brier score ${brier}; 0 is best.`,
      "{n} teardowns done as planned. Each band: chances predicted, across; how many in 100 were on target, with " +
        "the 95 % interval, upwards; the figure in it, how many. On the dashed line predicted equals actual; " +
        `${reach} Brier score ${brier}; 0 is best.`,
    ),
  allReach: "every band reaches it.",
  someMiss: (/** @type {number} */ n, /** @type {number} */ all) =>
    counted(n, `{n} band of ${all} does not reach it.`, `{n} bands of ${all} do not reach it.`),
  onTarget: "on target",
  predicted: "Predicted, in 100",
  actual: "On target, in 100",
  calibrationHead: [
    "Predicted from, to",
    "Predicted on average",
    "On target",
    "On target, in 100",
    "95 % interval, in 100",
  ],
  range: (/** @type {string} */ low, /** @type {string} */ high) => `${low} to ${high}`,
  perJob: "Teardowns a job took",
  perJobSays: (/** @type {number} */ n) =>
    counted(
      n,
      "{n} job handed over. Open jobs may take more; they are in the table only.",
      "{n} jobs handed over. Open jobs may take more; they are in the table only.",
    ),
  handedOver: "jobs handed over",
  teardowns: "Teardowns",
  jobs: "Jobs",
  perJobHead: ["Teardowns", "Jobs handed over", "Open jobs"],
  misses: "Measured less predicted height",
  missesSay: (/** @type {number} */ n, /** @type {string} */ bin) =>
    counted(
      n,
      `{n} height after teardowns done as planned; bins of ${bin}. Positive is higher than predicted.`,
      `{n} heights, both sides, after teardowns done as planned; bins of ${bin}. Positive is higher than predicted.`,
    ),
  noCalibration: "Empty: no teardown among these was done as planned and measured afterwards.",
  noPerJob: "Empty: none of these jobs has been handed over.",
  noMisses: "Empty: no ride height was measured after a teardown done as planned.",
  heights: "heights",
  off: (/** @type {string} */ unit) => `Off by, ${unit}`,
  heightsAxis: "Heights",
};

/** Letters in a band, pixels. */
const FONT_PX = 13;

/** A plot that has nothing to show, and why. @param {string} name @param {string} why */
const empty = (name, why) =>
  h(
    "figure",
    { class: "figure-plot empty" },
    h("figcaption", null, h("h2", { text: name }), h("p", { class: "where", text: why })),
  );

/** Bands and, over them, the line where predicted equals actual.
 * @param {Group[]} groups */
const bands =
  (groups) =>
  (
    /** @type {Plot} */ u,
    /** @type {CanvasRenderingContext2D} */ canvas,
    /** @type {number} */ px,
    /** @type {(name: string) => string} */ colour,
  ) => {
    const x = (/** @type {number} */ share) => u.valToPos(100 * share, "x", true);
    const y = (/** @type {number} */ share) => u.valToPos(100 * share, "y", true);
    canvas.save();
    canvas.lineWidth = 2 * px;
    canvas.strokeStyle = colour("line");
    canvas.textAlign = "center";
    canvas.textBaseline = "bottom";
    canvas.font = `${FONT_PX * px}px ${getComputedStyle(document.body).fontFamily}`;
    for (const { low, high, actual, count } of groups) {
      const box = [x(low) + px, y(actual.high), x(high) - x(low) - 2 * px, y(actual.low) - y(actual.high)];
      canvas.fillStyle = colour("panel");
      canvas.fillRect(box[0], box[1], box[2], box[3]);
      canvas.strokeRect(box[0], box[1], box[2], box[3]);
      canvas.fillStyle = colour("ink");
      canvas.fillText(plain(count, 0), x((low + high) / 2), y(actual.low) - 3 * px);
    }
    canvas.setLineDash([8 * px, 6 * px]);
    canvas.beginPath();
    canvas.moveTo(x(0), y(0));
    canvas.lineTo(x(1), y(1));
    canvas.stroke();
    canvas.restore();
  };

/**
 * Predicted chances against what came of them; a group of few has its band alone. Where nothing was done it says so.
 * @param {Context} ctx
 * @param {Calibration} found
 */
export function calibration(ctx, { bins, all }) {
  const groups = groupsOf(bins).reverse();
  if (!groups.length) return empty(SAID.calibration, SAID.noCalibration);
  const outside = groups.filter((group) => !agrees(group)).length;
  return plot(ctx, {
    name: SAID.calibration,
    says: SAID.calibrationSays(
      all.count,
      outside ? SAID.someMiss(outside, groups.length) : SAID.allReach,
      plain(all.brier ?? 0, 2),
    ),
    x: groups.map(({ promised }) => 100 * promised),
    series: [
      {
        name: SAID.onTarget,
        values: groups.map(({ count, actual }) => (count < GROUP ? null : 100 * actual.share)),
        mark: "circle",
        ink: "ink",
      },
    ],
    xAxis: { label: SAID.predicted, range: () => [0, 104] },
    yAxis: { label: SAID.actual, range: () => [-2, 104] },
    under: bands(groups),
    table: {
      head: SAID.calibrationHead,
      rows: bins.map((bin) => [
        SAID.range(hundredths(bin.low), hundredths(bin.high)),
        bin.promised === null ? "" : plain(bin.promised * 100, 1),
        ofMany(bin),
        bin.share === null ? "" : plain(bin.share * 100, 1),
        bin.count ? SAID.range(hundredths(bin.share_low), hundredths(bin.share_high)) : "",
      ]),
    },
  });
}

/** An axis of whole numbers from none. @param {number[]} values */
function wholes(values) {
  const most = Math.max(1, ...values) * 1.15 + 0.5;
  const step = Math.max(1, Math.ceil(Math.max(1, ...values) / 6));
  return {
    range: () => [0, most],
    splits: () => Array.from({ length: Math.floor(most / step) + 1 }, (_, i) => i * step),
  };
}

const noted = (/** @type {number[]} */ counts) => counts.map((n) => (n ? String(n) : ""));

/** How many teardowns jobs took; where none was handed over it says so.
 * @param {Context} ctx @param {Calibration} found */
export function perJob(ctx, { teardowns_per_job: per }) {
  const done = per.map((row) => row.handed_over);
  const all = done.reduce((a, b) => a + b, 0);
  if (!all) return empty(SAID.perJob, SAID.noPerJob);
  const places = per.map((row) => row.teardowns);
  return plot(ctx, {
    name: SAID.perJob,
    says: SAID.perJobSays(all),
    x: places,
    series: [{ name: SAID.handedOver, values: done, mark: "bar", ink: "steel", notes: noted(done) }],
    xAxis: { label: SAID.teardowns, range: () => [-0.6, per.length - 0.4], splits: () => places },
    yAxis: { label: SAID.jobs, ...wholes(done) },
    table: {
      head: SAID.perJobHead,
      rows: per.map((row) => [plain(row.teardowns, 0), plain(row.handed_over, 0), plain(row.in_hand, 0)]),
    },
  });
}

/** How far heights are off; where none was read after a plan it says so.
 * @param {Context} ctx @param {Calibration} found */
export function misses(ctx, { height_error: error }) {
  if (!error.bins.length) return empty(SAID.misses, SAID.noMisses);
  const counts = error.bins.map((bin) => bin.count);
  const { figure, unit, finer } = spans();
  const middles = error.bins.map((bin) => figure((bin.low_mm + bin.high_mm) / 2));
  const edge = (/** @type {number} */ mm) => plain(figure(mm), inches() ? 1 + finer : 0);
  const width = error.bins[0].high_mm - error.bins[0].low_mm;
  return plot(ctx, {
    name: SAID.misses,
    says: SAID.missesSay(error.count, `${edge(width)} ${unit}`),
    x: middles,
    series: [{ name: SAID.heights, values: counts, mark: "bar", ink: "steel", notes: noted(counts) }],
    xAxis: {
      label: SAID.off(unit),
      range: () => [middles[0] - figure(0.75 * width), middles[middles.length - 1] + figure(0.75 * width)],
      splits: () => middles.filter((_, i) => middles.length < 9 || (error.bins[i].low_mm + width / 2) % 4 === 0),
      values: (/** @type {unknown} */ _, /** @type {number[]} */ at) =>
        at.map((value) => plain(value, inches() ? 1 + finer : 0)),
    },
    yAxis: { label: SAID.heightsAxis, ...wholes(counts) },
    table: {
      head: [SAID.off(unit), SAID.heightsAxis],
      rows: error.bins.map((bin) => [SAID.range(edge(bin.low_mm), edge(bin.high_mm)), plain(bin.count, 0)]),
    },
  });
}
