/* A forest plot: shares with their intervals on one scale of 0 to 100, pairs under each other, the figures beside them.
   Solid is the first of a pair, dashed the second; the middle of each is a bar across it. */

import { dataTable } from "../data-table.js";
import { h, s } from "../dom.js";

/** @typedef {{ name: string, share: number, low: number, high: number, figures: string }} Line shares 0 to 1 */
/** @typedef {{ name: string, result: string, lines: Line[] }} Pair */

const GRID = [0, 25, 50, 75, 100];
/** Units of the picture's height; its width is 100. */
const HIGH = 20;

const vertical = (/** @type {number} */ x, /** @type {number} */ from, /** @type {number} */ to) =>
  `M${x.toFixed(2)} ${from} V${to}`;

/** @param {Line} line @param {boolean} first */
function picture({ share, low, high }, first) {
  const [l, m, r] = [100 * low, 100 * share, 100 * high];
  const middle = HIGH / 2;
  return s(
    "svg",
    { class: "forest-line", viewBox: `0 0 100 ${HIGH}`, preserveAspectRatio: "none", "aria-hidden": "true" },
    s("path", { class: "grid", d: GRID.map((x) => vertical(x, 0, HIGH)).join(" ") }),
    s("path", { class: first ? "range" : "range dashed", d: `M${l.toFixed(2)} ${middle} H${r.toFixed(2)}` }),
    s("path", { class: "range", d: `${vertical(l, 6, 14)} ${vertical(r, 6, 14)}` }),
    s("path", { class: "middle", d: vertical(m, 3, 17) }),
  );
}

const scale = () =>
  h(
    "span",
    { class: "forest-scale", "aria-hidden": "true" },
    GRID.map((x) => h("span", { text: String(x) })),
  );

/**
 * @param {{ caption: string, head: [name: string, picture: string, result: string], pairs: Pair[] }} what
 * @returns {HTMLElement}
 */
export function forest({ caption, head, pairs }) {
  const lines = (/** @type {Pair} */ pair) =>
    pair.lines.map((line, i) =>
      h(
        "div",
        { class: "forest-row" },
        h("span", { class: "forest-name", text: line.name }),
        picture(line, i === 0),
        h("span", { class: "forest-figures", text: line.figures }),
      ),
    );
  return h(
    "div",
    { class: "table values stacks forest" },
    dataTable({
      caption,
      unseen: true,
      head: [head[0], [head[1], scale()], head[2]],
      rows: pairs.map((pair) => [pair.name, lines(pair), pair.result]),
    }),
  );
}
