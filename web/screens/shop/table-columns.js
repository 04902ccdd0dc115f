/* Columns of the jobs table: their headings, and what stands in the cell of a row. */

import { h } from "../../parts/dom.js";
import { rearSign } from "../../parts/draw/rear.js";
import { titleOf } from "../../work/again.js";
import { shortDate } from "../../work/dates.js";
import { inHundred, plain } from "../../work/numbers.js";
import { STATE_WORDS } from "../../work/pc/job-order.js";
import { pathOf } from "../../work/pc/path-of.js";
import { SORTS, marksOf, nowFigures, targetFigures } from "../../work/pc/table-words.js";
import { tolerant } from "../../work/sheet.js";
import { lengthUnit } from "../../work/units.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { Context } from "../../types/context.d.ts" */
/** @import { JobLine } from "../../types/wire.d.ts" */

/** @typedef {Omit<JobLine, "seq" | "number"> & { number: number | null, here: boolean, only: boolean,
 *   waiting: number, refused: number, news: string }} Row */
/**
 * `sort` what the heading sorts by, as the address says it; `short` what stands before the figure on a phone.
 * @typedef {{ sort?: string, head: string | (() => string), short?: string, cls: string,
 *   cell: (ctx: Context, row: Row) => Child }} Column
 */

const SAID = {
  target: (/** @type {string} */ unit) => `Target, ${unit}`,
  now: (/** @type {string} */ unit) => `Now, ${unit}`,
  nowHint: "Left / right; sorts by the left side",
  visits: (/** @type {string} */ who) => `Visits of ${who}`,
  visitsShort: "Visits",
  noName: "Car without a name",
  coming: "…",
  short: { target: "target", now: "now", chance: "chance" },
};

/** @param {Context} ctx @param {Row} row */
const nameCell = (ctx, row) =>
  h(
    "a",
    { class: "opens", href: ctx.href({ words: ["list"] }, row.job), "data-job": row.job },
    row.car || row.title || SAID.noName,
  );

/** The heights read last, and the car from behind as it stands between its gates.
 * @param {Context} _ @param {Row} row */
function nowCell(_, row) {
  const figures = nowFigures(row.left_mm, row.right_mm);
  if (!figures) return null;
  const sign = rearSign({
    now: { left: row.left_mm, right: row.right_mm },
    target: { left: row.target_left_mm, right: row.target_right_mm, tolerance: tolerance(row) },
  });
  return [sign, h("span", { text: figures })];
}

/** @param {Row} row */
const tolerance = (row) =>
  tolerant(/** @type {any} */ (row.tolerance_mm === null ? {} : { tolerance_mm: row.tolerance_mm })).tolerance_mm;

/** What is to be done about a job.
 * @param {Context} _ @param {Row} row */
function marksCell(_, row) {
  const marks = marksOf(row);
  const title = marks.map(({ words }) => words).join(", ");
  return h(
    "span",
    { title },
    marks.map(({ bad, words, resolve }) => {
      const href = resolve ? `#/desk?job=${row.job}` : null;
      return h(href ? "a" : "span", { class: `mark ${bad ? "bad" : "only"}`, href }, words);
    }),
  );
}

/** @param {Context} _ @param {Row} row */
function visitsCell(_, row) {
  if (!row.car_key) return null;
  return h(
    "a",
    { href: pathOf("#/car", { key: row.car_key }), "aria-label": SAID.visits(titleOf(row)) },
    SAID.visitsShort,
  );
}

/** @param {string} name */
const wordsOf = (name) => SORTS.find(({ sort }) => sort === name)?.words ?? name;

/**
 * The chance predicted for the last plan that was followed; where the job is planned and not begun, that of the plan it
 * has now, once it is worked out.
 * @param {Context} ctx
 * @param {Row} row
 */
function chanceCell(ctx, row) {
  if (row.odds !== null) return inHundred(row.odds);
  if (row.state !== "planned") return "";
  const cell = h("span", { class: "coming-chance", text: SAID.coming });
  ctx.pc
    .chanceOf(row, () => cell.isConnected)
    .then((/** @type {number | null} */ chance) => (cell.textContent = chance === null ? "" : inHundred(chance)));
  return cell;
}

/** @type {Column[]} */
export const COLUMNS = [
  {
    sort: "number",
    head: wordsOf("number"),
    cls: "figure-cell col-number",
    cell: (_, row) => (row.number === null ? "" : String(row.number)),
  },
  { sort: "car", head: wordsOf("car"), cls: "col-car", cell: nameCell },
  { sort: "owner", head: wordsOf("owner"), cls: "col-owner", cell: (_, row) => row.owner },
  {
    sort: "wish",
    head: wordsOf("wish"),
    cls: "col-wish",
    cell: (_, row) => h("span", { title: row.wish, text: row.wish }),
  },
  { sort: "state", head: wordsOf("state"), cls: "col-state", cell: (_, row) => STATE_WORDS[row.state] ?? row.state },
  {
    sort: "teardowns",
    head: wordsOf("teardowns"),
    cls: "figure-cell col-teardowns",
    cell: (_, row) => plain(row.teardowns, 0),
  },
  {
    head: () => SAID.target(lengthUnit()),
    short: SAID.short.target,
    cls: "figure-cell col-target",
    cell: (_, row) => targetFigures(row.target_left_mm, row.target_right_mm),
  },
  {
    sort: "left",
    head: () => SAID.now(lengthUnit()),
    short: SAID.short.now,
    cls: "figure-cell col-now",
    cell: nowCell,
  },
  {
    sort: "odds",
    head: wordsOf("odds"),
    short: SAID.short.chance,
    cls: "figure-cell col-odds",
    cell: chanceCell,
  },
  {
    sort: "worked",
    head: wordsOf("worked"),
    cls: "figure-cell col-worked",
    cell: (_, row) => (row.last_at ? shortDate(row.last_at) : ""),
  },
  { sort: "unsettled", head: wordsOf("unsettled"), cls: "marks col-marks", cell: marksCell },
  { head: SAID.visitsShort, cls: "car-cell col-visits", cell: visitsCell },
];

/** @param {Column} column */
const headOf = ({ head }) => (typeof head === "function" ? head() : head);

/** The cells of a row; empty ones as long as it has not come.
 * @param {Context} ctx @param {Row | null} row */
export const cellsOf = (ctx, row) =>
  COLUMNS.map((column) =>
    h("td", { role: "cell", class: column.cls, "data-short": column.short }, row ? column.cell(ctx, row) : null),
  );

/**
 * The heading of a column: a key where it sorts.
 * @param {Column} column
 * @param {{ sort: string, order: string }} asked
 * @param {(sort: string, order: string) => void} sorted
 */
function heading(column, asked, sorted) {
  const { sort, cls } = column;
  const head = headOf(column);
  const common = { scope: "col", role: "columnheader", class: cls };
  if (!sort) return h("th", common, head);
  const on = asked.sort === sort;
  const up = asked.order === "up";
  const first = SORTS.find((one) => one.sort === sort)?.order ?? "up";
  const next = on ? (up ? "down" : "up") : first;
  const key = h(
    "button",
    {
      type: "button",
      class: "sorts",
      title: sort === "left" ? SAID.nowHint : null,
      onclick: () => sorted(sort, next),
    },
    head,
    h("span", { class: "way-mark", "aria-hidden": "true", text: on ? (up ? " ▲" : " ▼") : "" }),
  );
  return h(
    "th",
    { ...common, "aria-sort": on ? (up ? "ascending" : "descending") : "none" },
    key,
    h("span", { class: "phone-head", text: head }),
  );
}

/** All headings.
 * @param {{ sort: string, order: string }} asked @param {(sort: string, order: string) => void} sorted */
export const headings = (asked, sorted) => COLUMNS.map((column) => heading(column, asked, sorted));
