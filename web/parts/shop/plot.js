/* A plot and the same values as a table under it.

   Owns axes, marks and whiskers on the canvas, colours from the theme, resizing, and words for those who do not see it.
   Colour never stands alone: every series has a mark of its own shape, and lines differ by their dashes. The values are
   its caller's, unchanged: what is drawn can be read back from `.plot` (field `plot.data`) and from the table. */

import { dataTable } from "../data-table.js";
import { h } from "../dom.js";
import { useStyle } from "../style.js";
import uPlot from "../../vendor/uplot.mjs";

/** @import { Child } from "../dom.js" */
/** @import { Context } from "../../types/context.d.ts" */

/** @typedef {(number | null)[]} Values null where there is none */
/** @typedef {keyof typeof SHAPES} Mark */
/** @typedef {keyof typeof DASH} Dash */
/**
 * @typedef {object} Series
 * @property {string} name
 * @property {Values} values
 * @property {Mark} [mark]
 * @property {string} ink a colour of the theme; of a plot where it has one of its own
 * @property {Dash} [line]
 * @property {Values} [low] whiskers
 * @property {Values} [high]
 * @property {number} [aside] to the right of its place, in pixels
 * @property {(string | null)[]} [notes]
 */
/** @typedef {{ label: string, range?: unknown, size?: number, [more: string]: unknown }} Axis */
/** @typedef {{ caption: string, head: string[], rows: Child[][], stacks?: boolean }} Table */

const DARK = matchMedia("(prefers-color-scheme: dark)");
const DASH = { solid: [], dashed: [7, 5], dotted: [2, 4] };
/** Lines and shapes, as text for the key. */
const LINES = { solid: " ──", dashed: " ╌╌", dotted: " ···" };
const SHAPES = { circle: "●", square: "■", ring: "○", diamond: "◇", bar: "▮" };

/** @param {string} name */
const colour = (name) => {
  const theme = getComputedStyle(document.documentElement);
  return (theme.getPropertyValue(`--plot-${name}`) || theme.getPropertyValue(`--${name}`)).trim();
};
const letters = () => Number.parseFloat(getComputedStyle(document.documentElement).fontSize) * 0.85;
/** Whole pixels: the library reads them so. */
const font = () => `${Math.round(letters())}px ${getComputedStyle(document.body).fontFamily}`;

/**
 * One mark round a place on the canvas; `size` in canvas pixels.
 * @param {CanvasRenderingContext2D} canvas
 * @param {Mark} mark
 * @param {number} x
 * @param {number} y
 * @param {number} size
 */
function shape(canvas, mark, x, y, size) {
  canvas.beginPath();
  if (mark === "square") canvas.rect(x - size, y - size, 2 * size, 2 * size);
  else if (mark === "diamond") {
    canvas.moveTo(x, y - 1.4 * size);
    canvas.lineTo(x + 1.4 * size, y);
    canvas.lineTo(x, y + 1.4 * size);
    canvas.lineTo(x - 1.4 * size, y);
    canvas.closePath();
  } else canvas.arc(x, y, 1.1 * size, 0, 2 * Math.PI);
  if (mark === "ring" || mark === "diamond") canvas.stroke();
  else canvas.fill();
}

/**
 * A whisker between two heights on the canvas.
 * @param {CanvasRenderingContext2D} canvas
 * @param {number} x
 * @param {[from: number, to: number]} ends
 * @param {number} px
 */
function whisker(canvas, x, ends, px) {
  canvas.beginPath();
  canvas.moveTo(x, ends[0]);
  canvas.lineTo(x, ends[1]);
  for (const end of ends) {
    canvas.moveTo(x - 5 * px, end);
    canvas.lineTo(x + 5 * px, end);
  }
  canvas.stroke();
}

/**
 * Words at a mark: over a bar, beside anything else.
 * @param {CanvasRenderingContext2D} canvas
 * @param {string} text
 * @param {{ x: number, y: number, bar: boolean, px: number }} at
 */
function noted(canvas, text, { x, y, bar, px }) {
  canvas.fillStyle = colour("ink");
  canvas.font = `${letters() * px}px ${getComputedStyle(document.body).fontFamily}`;
  canvas.textAlign = bar ? "center" : "left";
  canvas.textBaseline = bar ? "bottom" : "middle";
  canvas.fillText(text, bar ? x : x + 9 * px, bar ? y - 3 * px : y);
}

/**
 * Marks and whiskers of every series, over its line.
 * @param {uPlot} u
 * @param {Series[]} series
 */
function marks(u, series) {
  const { ctx: canvas } = u;
  const px = uPlot.pxRatio;
  series.forEach(({ mark, ink, low, high, aside = 0, notes }, s) => {
    const values = u.data[s + 1];
    canvas.save();
    canvas.fillStyle = canvas.strokeStyle = colour(ink);
    canvas.lineWidth = 2 * px;
    canvas.setLineDash([]);
    values.forEach((value, i) => {
      if (value === null || value === undefined) return;
      const x = u.valToPos(u.data[0][i] ?? 0, "x", true) + aside * px;
      const y = u.valToPos(value, "y", true);
      const [least, most] = [low?.[i] ?? null, high?.[i] ?? null];
      if (least !== null && most !== null) {
        whisker(canvas, x, [u.valToPos(least, "y", true), u.valToPos(most, "y", true)], px);
      }
      if (mark && mark !== "bar") shape(canvas, mark, x, y, 4.5 * px);
      const note = notes?.[i];
      if (note) {
        noted(canvas, note, { x, y, bar: mark === "bar", px });
        canvas.fillStyle = colour(ink);
      }
    });
    canvas.restore();
  });
}

/** @param {Axis} axis */
const axis = ({ label, size, range: _, ...more }) => ({
  label,
  stroke: () => colour("ink"),
  grid: { stroke: () => colour("faint"), width: 1 },
  ticks: { stroke: () => colour("line"), width: 1 },
  font: font(),
  labelFont: `bold ${font()}`,
  labelSize: letters() * 1.9,
  size,
  lineGap: 1.3,
  ...more,
});

/**
 * A table of values: `head` a list of texts, `rows` lists of as many, the first naming the row. On a narrow screen it
 * scrolls sideways, or its cells stand under each other where it `stacks`.
 * @param {Table} table
 */
export function valueTable({ caption, head, rows, stacks = false }) {
  const region = stacks ? {} : { tabindex: 0, role: "region", "aria-label": caption };
  return h(
    "div",
    { class: stacks ? "table many values stacks" : "table values", ...region },
    dataTable({ caption, unseen: true, head, rows }),
  );
}

/**
 * A figure. `x` values ascend; `series` is a list of {name, values, mark, ink, line, low, high, aside, notes}:
 * values and
 * whiskers with null where there is none; `ink` names a colour of the theme. `xAxis`, `yAxis`: {label, range, splits,
 * values, size}. `under(u, canvas, px, colour)` draws below the points. `says` is the plot in a sentence; `table` its
 * values.
 * @param {Pick<Context, "whileShown">} ctx
 * @param {object} of
 * @param {string} of.name
 * @param {string} of.says
 * @param {number[]} of.x
 * @param {Series[]} of.series
 * @param {Axis} of.xAxis
 * @param {Axis} of.yAxis
 * @param {Omit<Table, "caption">} of.table
 * @param {number} [of.high]
 * @param {null | ((u: uPlot, canvas: CanvasRenderingContext2D, px: number, colour: (name: string) => string) => void)}
 *   [of.under]
 */
export function plot(ctx, { name, says, x, series, xAxis, yAxis, table, high = 20, under = null }) {
  useStyle("uplot", "vendor");
  useStyle("plot");
  /** @type {HTMLElement & { plot?: uPlot }} */
  const box = h("div", { class: "plot", role: "img", "aria-label": `${name}. ${says}` });
  /** @param {Series} one */
  const keyed = ({ name: text, mark, ink, line }) =>
    h(
      "li",
      null,
      h("span", {
        class: `mark-${ink}`,
        "aria-hidden": "true",
        text: `${mark ? SHAPES[mark] : ""}${line ? LINES[line] : ""} `,
      }),
      text,
    );
  const key = series.length > 1 ? h("ul", { class: "plot-key" }, series.map(keyed)) : null;
  const size = () => ({ width: Math.max(220, box.clientWidth), height: Math.round((high * letters()) / 0.85) });
  /** @type {uPlot | null} */
  let u = null;
  const make = () => {
    u?.destroy();
    u = new uPlot(
      {
        ...size(),
        legend: { show: false },
        cursor: { show: false },
        padding: [letters(), letters() * 1.5, 0, 0],
        scales: { x: { time: false, range: xAxis.range }, y: { range: yAxis.range } },
        axes: [axis({ size: letters() * 2.4, ...xAxis }), axis({ size: letters() * 4, ...yAxis })],
        series: [
          {},
          ...series.map(({ name: label, line, ink, mark }) => ({
            label,
            stroke: () => colour(ink),
            width: line || mark === "bar" ? 2 : 0,
            dash: line ? DASH[line] : [],
            spanGaps: false,
            points: { show: false },
            ...(mark === "bar"
              ? { paths: uPlot.paths.bars({ size: [0.7, 90] }), fill: () => colour(ink) }
              : line
                ? {}
                : { paths: () => null }),
          })),
        ],
        hooks: {
          drawAxes: under ? [(/** @type {uPlot} */ now) => under(now, now.ctx, uPlot.pxRatio, colour)] : [],
          draw: [(/** @type {uPlot} */ now) => marks(now, series)],
        },
      },
      [x, ...series.map(({ values }) => values)],
      box,
    );
    box.plot = u;
  };
  const sized = new ResizeObserver(() => {
    if (!box.isConnected || !box.clientWidth) return;
    if (u) u.setSize(size());
    else make();
  });
  const themed = () => u?.redraw();
  sized.observe(box);
  DARK.addEventListener("change", themed);
  ctx.whileShown(() => {
    sized.disconnect();
    DARK.removeEventListener("change", themed);
    u?.destroy();
  });
  return h(
    "figure",
    { class: "figure-plot" },
    h("figcaption", null, h("h2", { text: name }), h("p", { class: "where", text: says })),
    box,
    key,
    h("details", null, h("summary", { text: "The same as a table" }), valueTable({ caption: name, ...table })),
  );
}
