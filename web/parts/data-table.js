/* A table of figures with its rows named. Roles are named because on a narrow screen the rows stand under each other,
   and then browsers forget them. */

import { h } from "./dom.js";

/** @import { Child } from "./dom.js" */

/** A column's name, "" for none; with what stands under it. @typedef {string | [name: string, under: Node]} Head */

/**
 * @param {object} what
 * @param {string} [what.caption]
 * @param {boolean} [what.unseen] whether the caption is there for those who listen alone
 * @param {string} [what.label] where there is no caption
 * @param {Head[]} what.head names every column
 * @param {Child[][]} what.rows of a row the first cell names it
 * @returns {HTMLElement}
 */
export function dataTable({ caption, unseen = false, label, head, rows }) {
  const names = head.map((one) => (typeof one === "string" ? one : one[0]));
  const column = (/** @type {Head} */ one) => {
    if (typeof one !== "string")
      return h("th", { scope: "col", role: "columnheader" }, h("span", { text: one[0] }), one[1]);
    return one ? h("th", { scope: "col", role: "columnheader", text: one }) : h("td", { role: "cell" });
  };
  const row = (/** @type {Child[]} */ [name, ...cells]) =>
    h(
      "tr",
      { role: "row" },
      h("th", { scope: "row", role: "rowheader" }, name),
      cells.map((cell, i) => h("td", { role: "cell", "data-name": names[i + 1] }, cell)),
    );
  return h(
    "table",
    { role: "table", "aria-label": caption ? null : label },
    caption ? h("caption", { class: unseen ? "unseen" : null, text: caption }) : null,
    h("thead", { role: "rowgroup" }, h("tr", { role: "row" }, head.map(column))),
    h("tbody", { role: "rowgroup" }, rows.map(row)),
  );
}
