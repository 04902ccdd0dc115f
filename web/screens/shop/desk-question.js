/* One question at the desk: the entries side by side, the figure in which they differ large, who wrote each and when,
   in one line what each would lead to, and a key to keep it; as the third way, to read again.

   Owns how a question is drawn and read out. What is to be written is handed over: `pick(choice)` by the desk. */

import { h } from "../../parts/dom.js";
import { moment } from "../../work/conflicts.js";
import { readRoute } from "../../work/guide.js";
import { folded, planLine, readWords } from "../../work/pc/effect.js";
import { afterStage } from "../../work/promise.js";
import { nameOf, valueOf } from "../../work/readings.js";
import { past } from "../../work/still.js";
import { writerWords, writtenBy } from "../../work/writer.js";
import { about, headOf, linesOf, stillHolds } from "./desk-words.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { Context } from "../../types/context.d.ts" */
/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Sheet } from "../../types/sheet.d.ts" */
/** @import { Choice, Question } from "./desk-words.js" */

/** What the desk does with a question. @typedef {{ nameOf: (device: string) => string,
 *   pick: (question: Question, choice: Choice) => unknown, aside: (question: Question) => unknown,
 *   undo: (question: Question) => unknown }} Acts */
/** @typedef {{ node: HTMLElement, work: (() => Promise<void>)[] }} Card */

const SAID = {
  again: "Read again",
  againSpoken: (/** @type {string} */ what) => `Read again: ${what}`,
  unsure: "Not sure which?",
  unsureWhy: "Read it once more, then choose here.",
  past: (/** @type {string} */ why) => `${why}: it cannot be read again. Go by what was written down.`,
  working: "Working out…",
  planning: "Planning…",
  cannot: (/** @type {string} */ why) => `Cannot be worked out: ${why}`,
  writtenBy: "Written by ",
  removedBy: "Removed by ",
  use: "Use this value",
  keepRemoved: "Keep it removed",
  dismiss: "Dismiss",
  undo: "Undo",
};

/** Letters of a value that still stand in the largest type. */
const LONG = 12;

/** What a choice is, and the figure in which it differs where it has one.
 * @param {Choice} choice @param {Sheet} sheet of its job @returns {Child[]} */
function headingOf({ entry, said }, sheet) {
  if (said) {
    const cls = said.value.length > LONG ? "differs long" : "differs";
    return [h("span", { class: "soft", text: said.name }), h("strong", { class: cls, text: said.value })];
  }
  if (entry.kind !== "reading") return [headOf(entry, sheet)];
  const body = /** @type {any} */ (entry.body);
  return [
    h("span", { class: "soft", text: `${nameOf(body)}, ${afterStage(sheet, body.teardown)}` }),
    h("strong", { class: "differs", text: valueOf(body) }),
  ];
}

/** The third way: to read the same again; null where it is not about a reading.
 * @param {Context} ctx @param {Question} question */
function againColumn(ctx, question) {
  const reading = question.choices.map(({ entry }) => entry).find(({ kind }) => kind === "reading");
  if (!reading) return null;
  const body = /** @type {any} */ (reading.body);
  const { what, side, pose, teardown } = body;
  const { words, query } = readRoute({ what, side, pose, teardown });
  const gone = past(question.all.sheet, body);
  if (gone)
    return h("div", { class: "side-by unsure" }, h("h4", { text: SAID.unsure }), h("p", { text: SAID.past(gone) }));
  return h(
    "div",
    { class: "side-by unsure" },
    h("h4", { text: SAID.unsure }),
    h("p", { text: SAID.unsureWhy }),
    h(
      "a",
      {
        class: "key wide read-again",
        href: ctx.href({ words, query: { ...query, from: "list" } }, question.job),
        "aria-label": SAID.againSpoken(nameOf(body)),
      },
      SAID.again,
    ),
  );
}

/** What a choice would lead to, written into its list as it is found out: the plan in one line, then what was read.
 * @param {Context} ctx @param {HTMLElement} list @param {Question} question @param {Choice} choice */
async function change(ctx, list, question, choice) {
  const { job, all } = question;
  const soft = (/** @type {string} */ text) => h("li", { class: "soft", text });
  try {
    const found = await folded(ctx, job, all.entries, choice.items);
    const read = readWords(found, choice.teardown).map(soft);
    list.replaceChildren(h("li", { class: "working", text: SAID.planning }), ...read);
    const { line, brief, more } = await planLine(ctx, found);
    list.replaceChildren(
      h(
        "li",
        { class: "leads" },
        h("span", { class: "unseen", text: line }),
        h("strong", { "aria-hidden": "true", text: brief }),
      ),
      ...more.map((text) => h("li", { text })),
      ...readWords(found, choice.teardown).map(soft),
    );
  } catch (error) {
    const problem = /** @type {any} */ (error);
    if (problem.name !== "SolverProblem") throw error;
    list.replaceChildren(h("li", { text: SAID.cannot(problem.detail) }));
  }
  list.removeAttribute("aria-busy");
}

/** @param {Context} ctx @param {Question} question @param {Choice} choice @param {number} i @param {Acts} acts */
function column(ctx, question, choice, i, acts) {
  const { entry, entries, where, against } = choice;
  const strike = entry.kind === "strike";
  const list = h("ul", { class: "change", "aria-busy": "true" }, h("li", { class: "working", text: SAID.working }));
  const { sheet } = question.all;
  const who = entries.map((one) => `${writerWords(writtenBy(one, sheet), acts.nameOf)}, ${moment(one)}`).join("; ");
  const name = `${question.id}-${i}`;
  const node = h(
    "div",
    { class: "side-by", role: "group", "aria-labelledby": name },
    h("h4", { id: name }, headingOf(choice, question.all.sheet)),
    list,
    linesOf(entry, against).map((text) => h("p", { text })),
    h(
      "p",
      { class: "who" },
      h("span", { text: strike ? SAID.removedBy : SAID.writtenBy }),
      h("strong", { text: who }),
      where ? h("span", { text: `; ${where}` }) : null,
    ),
    h(
      "button",
      {
        type: "button",
        class: "key wide keep",
        "aria-describedby": name,
        onclick: () => acts.pick(question, choice),
      },
      strike ? SAID.keepRemoved : SAID.use,
    ),
  );
  return { node, work: () => change(ctx, list, question, choice) };
}

/** A question that was settled here, with its undo.
 * @param {Question} question @param {HTMLElement} title @param {Acts} acts @returns {Card} */
function settled(question, title, acts) {
  return {
    node: h(
      "li",
      { class: "question done", "aria-labelledby": question.id },
      title,
      h("p", { class: "settled", role: "status", text: question.done.words }),
      h("button", { type: "button", class: "key undo", onclick: () => acts.undo(question) }, SAID.undo),
    ),
    work: [],
  };
}

/** The card; `work` lists what fills it in, one after the other.
 * @param {Context} ctx @param {Question} question @param {Acts} acts @returns {Card} */
export function card(ctx, question, acts) {
  const { dispute, choices } = question;
  const { head, lines } = about(ctx, question, acts.nameOf);
  const title = h("h3", { id: question.id, text: head });
  if (question.done) return settled(question, title, acts);
  const shown = [title, lines.map((text) => h("p", { class: "where", text }))];
  const li = (/** @type {Child[]} */ ...inside) =>
    h("li", { class: "question", "aria-labelledby": question.id }, shown, inside);
  if (dispute && !(stillHolds(dispute, question.all.sheet) && ctx.files.canPick(dispute))) {
    const said = choices.map((choice) =>
      h(
        "p",
        null,
        h("strong", { text: headOf(choice.entry, question.all.sheet) }),
        ` ${choice.where}; ${linesOf(choice.entry, choice.against).join("; ")}`,
      ),
    );
    const aside = h("button", { type: "button", class: "key", onclick: () => acts.aside(question) }, SAID.dismiss);
    return { node: li(said, h("div", { class: "keys" }, aside)), work: [] };
  }
  const columns = choices.map((choice, i) => column(ctx, question, choice, i, acts));
  return {
    node: li(
      h(
        "div",
        { class: "sides" },
        columns.map(({ node }) => node),
        againColumn(ctx, question),
      ),
    ),
    work: columns.map(({ work }) => work),
  };
}
