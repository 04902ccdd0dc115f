/* Fits a side of the sheet onto one page of A4 and of US Letter: letters get smaller, then long lists say how many
   lines they leave out. Nothing is cut off; room that is left becomes lines to write on. */

import { h } from "../../parts/dom.js";
import { noteLine } from "./sheet-front.js";

/** @typedef {{ most: number, cut: (text: string, own?: number) => string }} Fit lines of a list, and what shortens a
 *   text */

/** Size of letters tried, in points, then how many lines of a list, how many letters of a long text. */
const FITS = [
  [10.5, 40, 2000],
  [10, 40, 2000],
  [9.5, 30, 1600],
  [9, 24, 1200],
  [8.5, 18, 900],
  [8, 14, 600],
  [7.5, 10, 400],
  [7, 6, 300],
  [7, 3, 160],
  [6.5, 2, 100],
];
/** Lines to write notes on that are added, at most. */
const LINES = 5;
const SAID = {
  rest: (/** @type {string} */ start) => `${start} … (the rest is in the job’s log)`,
};

/** @param {number} limit @returns {Fit["cut"]} */
const shortened =
  (limit) =>
  (text, own = limit) => {
    const most = Math.min(limit, own);
    return text.length > most ? SAID.rest(text.slice(0, most).replace(/\s+\S*$/, "")) : text;
  };

/** @param {HTMLElement} node @param {number} points */
function paperOf(node, points) {
  const paper = h("div", { class: "paper" }, node);
  paper.style.fontSize = `${points}pt`;
  return paper;
}

/** Lines to write on, as many as there is room for. @param {HTMLElement} node @param {() => boolean} fits */
function ruled(node, fits) {
  const lines = node.querySelector(".sheet-lines");
  for (let i = 0; lines && i < LINES; i += 1) {
    const line = noteLine();
    lines.append(line);
    if (fits()) continue;
    line.remove();
    return;
  }
}

/**
 * The largest letters and longest lists with which a side fits its page; measured on paper laid out beside the
 * screen.
 * @param {(fit: Fit) => HTMLElement} build
 * @returns {HTMLElement}
 */
export function fitted(build) {
  const desk = h("div", { class: "sheet-desk", "aria-hidden": "true" });
  document.body.append(desk);
  const high = desk.getBoundingClientRect().height;
  try {
    for (const [points, most, letters] of FITS) {
      const node = build({ most, cut: shortened(letters) });
      const fits = () => node.getBoundingClientRect().height <= high && node.scrollWidth <= node.clientWidth + 1;
      desk.replaceChildren(paperOf(node, points));
      const last = points === FITS[FITS.length - 1][0];
      if (!fits() && !last) continue;
      ruled(node, fits);
      return paperOf(node, points);
    }
  } finally {
    desk.remove();
  }
  throw new Error("no size of letters was tried");
}
