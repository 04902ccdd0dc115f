/* A table of figures with its rows named. Roles are named because on a narrow screen the rows stand under each other,
   and then browsers forget them. */

import { h } from "./dom.js";

/**
 * @param {{caption?: string, label?: string, head: string[], rows: (Node | string | null)[][]}} what `label` where no
 *   caption is seen; `head` names every column, "" for none; of a row the first cell names it
 * @returns {HTMLElement}
 */
export function dataTable({ caption, label, head, rows }) {
  const column = (/** @type {string} */ text) =>
    text ? h("th", { scope: "col", role: "columnheader", text }) : h("td", { role: "cell" });
  const row = (/** @type {(Node | string | null)[]} */ [name, ...cells]) =>
    h(
      "tr",
      { role: "row" },
      h("th", { scope: "row", role: "rowheader" }, name),
      cells.map((cell, i) => h("td", { role: "cell", "data-name": head[i + 1] }, cell)),
    );
  return h(
    "table",
    { role: "table", "aria-label": caption ? null : label },
    caption ? h("caption", { text: caption }) : null,
    h("thead", { role: "rowgroup" }, h("tr", { role: "row" }, head.map(column))),
    h("tbody", { role: "rowgroup" }, rows.map(row)),
  );
}
