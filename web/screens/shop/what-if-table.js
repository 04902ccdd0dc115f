/* The bench's table: what is typed and what came of it, a column a trial. */

import { h } from "../../parts/dom.js";
import { FIELDS, NAMES, presentWords } from "./what-if-trial.js";

export const AS_IT_IS = "As it is";
const GROUPS = { bar: "New bars (blank: current)", load_kg: "Load", target: "Target" };

export const cell = (name, ...inside) => h("td", { role: "cell", "data-name": name }, inside);
export const head = (text) => h("th", { scope: "row", role: "rowheader", text });

/** The key that takes a trial away; `again(list)` shows another list of trials. */
const remove = (list, i, again) =>
  h(
    "button",
    {
      type: "button",
      class: "key small",
      "aria-label": list.length > 1 ? `Remove trial ${NAMES[i]}` : `Clear trial ${NAMES[i]}`,
      onclick: () => again(list.length > 1 ? list.filter((_, k) => k !== i) : [{}]),
    },
    list.length > 1 ? "Remove" : "Clear",
  );

/** The rows of what is typed: a heading before each group, the car as it is, each trial's field. */
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

/** The table; `names` of its columns, `made` the fields of each trial, `results` the body that is drawn anew. */
export const benchTable = (ctx, { names, made, list, again, results }) =>
  h(
    "table",
    { role: "table", class: `bench-table of-${names.length}` },
    h("caption", { class: "unseen", text: "The car as it is beside what is tried" }),
    h(
      "thead",
      { role: "rowgroup" },
      h(
        "tr",
        { role: "row" },
        h("td", { role: "cell" }),
        names.map((name, i) =>
          h(
            "th",
            { scope: "col", role: "columnheader" },
            h("span", { text: name }),
            i ? remove(list, i - 1, again) : null,
          ),
        ),
      ),
    ),
    h("tbody", { role: "rowgroup", class: "inputs" }, inputRows(ctx, names, made)),
    results,
  );

/** How other bars are fitted, and what becomes of the job. */
export const fittingNote = () =>
  h(
    "details",
    { class: "fitting" },
    h("summary", { text: "When other bars are fitted" }),
    h("p", {
      text:
        "This job’s readings belong to its present bars. Once other bars are fitted, hand this job over and tap " +
        "“Bars are fitted: new job”. The new job keeps what was learned about arm, bushes, roll stiffness and " +
        "tyres. It leaves out readings and travel.",
    }),
    h("p", {
      text: "Set each arm to the angle above, to the nearest step. Then read everything again and make a plan.",
    }),
  );
