/* The bench's tables: what is typed, a column a trial, and the pieces of the table of what came of it. */

import { h } from "../../parts/dom.js";
import { FIELDS, NAMES, presentWords } from "./what-if-trial.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { JobContext } from "../../types/context.d.ts" */

export const AS_IT_IS = "As it is";
const SAID = {
  caption: "The car as it is beside what is tried",
  remove: "Remove",
  removeSpoken: (/** @type {string} */ name) => `Remove trial ${name}`,
  clear: "Clear",
  clearSpoken: (/** @type {string} */ name) => `Clear trial ${name}`,
  fitted: "When other bars are fitted",
  fittedWhat:
    "This job’s readings belong to its present bars. Once other bars are fitted, hand this job over and tap " +
    "“Bars are fitted: new job”. The new job keeps what was learned about arm, bushes, roll stiffness and tyres. " +
    "It leaves out readings and travel.",
  fittedHow: "Set each arm to the angle above, to the nearest step. Then read everything again and make a plan.",
};
/** @type {Record<string, string>} */
const GROUPS = { bar: "New bars (blank: current)", load_kg: "Load", target: "Target" };

/** @param {string} name @param {...Child} inside */
export const cell = (name, ...inside) => h("td", { role: "cell", "data-name": name }, inside);
/** @param {string} text */
export const head = (text) => h("th", { scope: "row", role: "rowheader", text });

/** The names of the columns, each with what stands beside it. @param {Child[][]} columns */
export const headRow = (columns) =>
  h(
    "thead",
    { role: "rowgroup" },
    h(
      "tr",
      { role: "row" },
      h("td", { role: "cell" }),
      columns.map(([name, ...more]) => h("th", { scope: "col", role: "columnheader" }, h("span", null, name), more)),
    ),
  );

/** The key that takes a trial away; `again(list)` shows another list of trials.
 * @param {any[]} list @param {number} i @param {(list: any[]) => void} again */
function remove(list, i, again) {
  const several = list.length > 1;
  return h(
    "button",
    {
      type: "button",
      class: "key small",
      "aria-label": several ? SAID.removeSpoken(NAMES[i]) : SAID.clearSpoken(NAMES[i]),
      onclick: () => again(several ? list.filter((_, k) => k !== i) : [{}]),
    },
    several ? SAID.remove : SAID.clear,
  );
}

/** The rows of what is typed: a heading before each group, the car as it is, each trial's field.
 * @param {JobContext} ctx @param {string[]} names @param {{ cells: HTMLElement[] }[]} made */
const inputRows = (ctx, names, made) =>
  FIELDS.map((one, k) => {
    const first = FIELDS.findIndex(({ path }) => path[0] === one.path[0]) === k;
    const group = first
      ? h(
          "tr",
          { role: "row", class: "group" },
          h("th", { role: "columnheader", scope: "colgroup", colspan: names.length + 1, text: GROUPS[one.path[0]] }),
        )
      : null;
    return [
      group,
      h(
        "tr",
        { role: "row" },
        head(one.title),
        cell(AS_IT_IS, presentWords(ctx.sheet, one)),
        made.map(({ cells }, i) => cell(names[i + 1], cells[k])),
      ),
    ];
  });

/**
 * The table of what is typed; `names` of its columns, `made` the fields of each trial.
 * @param {JobContext} ctx
 * @param {{ names: string[], made: { cells: HTMLElement[] }[], list: any[], again: (list: any[]) => void }} what
 */
export const inputTable = (ctx, { names, made, list, again }) =>
  h(
    "table",
    { role: "table", class: `bench-table of-${names.length}` },
    h("caption", { class: "unseen", text: SAID.caption }),
    headRow(names.map((name, i) => [name, i ? remove(list, i - 1, again) : null])),
    h("tbody", { role: "rowgroup", class: "inputs" }, inputRows(ctx, names, made)),
  );

/** How other bars are fitted, and what becomes of the job. */
export const fittingNote = () =>
  h(
    "details",
    { class: "fitting" },
    h("summary", { text: SAID.fitted }),
    h("p", { text: SAID.fittedWhat }),
    h("p", { text: SAID.fittedHow }),
  );
