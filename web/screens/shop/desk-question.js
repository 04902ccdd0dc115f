/* One question at the desk: the entries side by side, who wrote each and when, what each would change, a key to keep
   it.

   Owns how a question is drawn and read out. What is to be written is handed over: `pick(choice)` by the desk. */

import { h } from "../../parts/dom.js";
import { SIDES, howOf, nameOf, poseWords, teardownWords, valueOf } from "../../work/readings.js";
import { readRoute } from "../../work/guide.js";
import { teeth } from "../../work/numbers.js";
import { folded, planWords, readWords } from "../../work/pc/effect.js";
import { sentence } from "../../work/sentence.js";
import { moment, picks, wordsOf } from "../../work/conflicts.js";

const CAME = { shop: "at the shop", link: "from a link", file: "from a file" };

/** Every place where two JSON values differ: [["value", 214, 241]]. */
function differences(one, other, path = "") {
  const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);
  if (!isObject(one) || !isObject(other))
    return JSON.stringify(one) === JSON.stringify(other) ? [] : [[path, one, other]];
  return [...new Set([...Object.keys(one), ...Object.keys(other)])]
    .sort()
    .flatMap((name) => differences(one[name], other[name], path ? `${path}.${name}` : name));
}

const told = (value) =>
  value === undefined ? "nothing" : typeof value === "string" ? `“${value}”` : JSON.stringify(value);

/** What an entry says, in lines. */
function linesOf(entry, other) {
  const { kind, body } = entry;
  if (kind === "reading") return [howOf(body), poseWords(body.pose, body.what), body.method ?? ""].filter(Boolean);
  if (kind === "move")
    return SIDES.map(
      (side) => `${side}: inner ${teeth(body[side]?.inner ?? 0)}, outer ${teeth(body[side]?.outer ?? 0)}`,
    );
  if (kind === "strike") return [body.why ?? ""].filter(Boolean);
  return other ? differences(body, other.body).map(([path, value]) => `${path}: ${told(value)}`) : [];
}

/** What a choice is, and the figure in which it differs where it has one. */
function headingOf(entry) {
  if (entry.kind !== "reading") return [headOf(entry)];
  const { body } = entry;
  return [
    h("span", { class: "soft", text: `${nameOf(body)}, ${teardownWords(body.teardown ?? 0)}` }),
    h("strong", { class: "differs", text: valueOf(body) }),
  ];
}

/** The way to read the same again; null where it is not about a reading. */
function againKey(ctx, question) {
  const reading = question.choices.map(({ entry }) => entry).find(({ kind }) => kind === "reading");
  if (!reading) return null;
  const { what, side, pose, teardown } = reading.body;
  const { words, query } = readRoute({ what, side, pose, teardown });
  return h(
    "a",
    {
      class: "key read-again",
      href: ctx.href({ words, query: { ...query, from: "list" } }, question.job),
      "aria-label": `Read again: ${nameOf(reading.body)}`,
    },
    "Read again",
  );
}

const headOf = ({ kind, body }) => {
  if (kind === "strike") return "Keep it removed";
  if (kind === "move") return `Teardown ${body.teardown}`;
  return wordsOf({ kind, body }).replace(/^./, (c) => c.toUpperCase());
};

/** Choices of a conflict of the fold. */
export const choicesOf = (conflict, entryOf) =>
  picks(conflict, entryOf).map(({ entry, entries, body }) => ({
    entry,
    entries,
    items: [["settle", body]],
    where: "",
    teardown: conflict.teardown,
  }));

/** Choices of contents that differ under one id. */
export function contentsOf(ctx, dispute) {
  const { mine, others } = dispute;
  const teardown = mine.body.teardown ?? 0;
  return [
    { entry: mine, where: "on this device" },
    ...others.map(({ entry, came }) => ({ entry, where: CAME[came] ?? came })),
  ].map((one, i, all) => ({
    ...one,
    entries: [one.entry],
    items: ctx.files.itemsFor(dispute, one.entry),
    teardown,
    against: all[i ? 0 : 1].entry,
  }));
}

/** Whether the entry of a dispute still holds; one that was corrected or struck since needs no choice. */
const stillHolds = ({ mine }, sheet) =>
  !["reading", "move"].includes(mine.kind) ||
  sheet[`${mine.kind}s`].some(({ id, also = [] }) => id === mine.id || also.includes(mine.id));

/** The heading and what is to be known before choosing. */
function about(ctx, question, nameOf) {
  const { conflict, dispute, all } = question;
  if (dispute) {
    const lines = ["Two copies of the same record differ. Both are kept; your choice reaches every copy of the job."];
    if (!stillHolds(dispute, all.sheet)) lines.push("It was corrected or removed since. Neither counts.");
    else if (!ctx.files.canPick(dispute))
      lines.push("They are not about the same thing. Enter the correct value by hand, then dismiss this.");
    return { head: "Same record, different values", lines };
  }
  const spoken = (all.sheet.settlements ?? []).filter(({ id }) => conflict.settlements.includes(id));
  const entryOf = (id) => all.entries.find((entry) => entry.id === id);
  const said = conflict.contradicted
    ? spoken.map((row) =>
        `${nameOf(row.device)} chose ${keptWords(entryOf(row.keeps))}, ${moment(row)}.`.replace(/^./, (c) =>
          c.toUpperCase(),
        ),
      )
    : [];
  return { head: sentence(conflict.text).slice(0, -1), lines: said };
}

/** An entry as what was kept, inside a sentence. */
export const keptWords = (entry) =>
  entry
    ? entry.kind === "strike"
      ? "it removed"
      : wordsOf(entry).replace(/^./, (c) => c.toLowerCase())
    : "a record that is not here";

/** What a choice would change, written into the list as it is found out. */
async function change(ctx, list, question, choice) {
  const { job, all } = question;
  let lines;
  try {
    const found = await folded(ctx, job, all.entries, choice.items);
    list.replaceChildren(
      ...readWords(found, choice.teardown).map((text) => h("li", { text })),
      h("li", { class: "working", text: "Planning…" }),
    );
    lines = [...readWords(found, choice.teardown), ...(await planWords(ctx, found))];
  } catch (error) {
    if (error.name !== "SolverProblem") throw error;
    lines = [`Cannot be worked out: ${error.detail}`];
  }
  list.replaceChildren(...lines.map((text) => h("li", { text })));
  list.removeAttribute("aria-busy");
}

function column(ctx, question, choice, i, { nameOf, pick }) {
  const { entry, entries, where, against } = choice;
  const list = h("ul", { class: "change", "aria-busy": "true" }, h("li", { class: "working", text: "Working out…" }));
  const who = entries.map((one) => `${nameOf(one.device)}, ${moment(one)}`).join("; ");
  const name = `${question.id}-${i}`;
  const node = h(
    "div",
    { class: "side-by", role: "group", "aria-labelledby": name },
    h("h4", { id: name }, headingOf(entry)),
    linesOf(entry, against).map((text) => h("p", { text })),
    h(
      "p",
      { class: "who" },
      h("span", { text: entry.kind === "strike" ? "Removed by " : "Written by " }),
      h("strong", { text: who }),
      where ? h("span", { text: `; ${where}` }) : null,
    ),
    h("p", { class: "of-change", text: "Result:" }),
    list,
    h(
      "button",
      { type: "button", class: "key wide keep", "aria-describedby": name, onclick: () => pick(question, choice) },
      entry.kind === "strike" ? "Keep it removed" : "Use this value",
    ),
  );
  return { node, work: () => change(ctx, list, question, choice) };
}

/** The card: {node, work}; `work` lists what fills it in, one after the other. */
export function card(ctx, question, acts) {
  const { dispute, choices, done } = question;
  const { head, lines } = about(ctx, question, acts.nameOf);
  const title = h("h3", { id: question.id, text: head });
  if (done) {
    const undo = h("button", { type: "button", class: "key undo", onclick: () => acts.undo(question) }, "Undo");
    return {
      node: h(
        "li",
        { class: "question done", "aria-labelledby": question.id },
        title,
        h("p", { class: "settled", role: "status", text: done.words }),
        undo,
      ),
      work: [],
    };
  }
  const moot = dispute && !(stillHolds(dispute, question.all.sheet) && ctx.files.canPick(dispute));
  const columns = moot ? [] : choices.map((choice, i) => column(ctx, question, choice, i, acts));
  const aside = moot
    ? h("button", { type: "button", class: "key", onclick: () => acts.aside(question) }, "Dismiss")
    : null;
  const body = moot
    ? choices.map((choice) =>
        h(
          "p",
          null,
          h("strong", { text: headOf(choice.entry) }),
          ` ${choice.where}; ${linesOf(choice.entry, choice.against).join("; ")}`,
        ),
      )
    : h(
        "div",
        { class: "sides" },
        columns.map(({ node }) => node),
      );
  return {
    node: h(
      "li",
      { class: "question", "aria-labelledby": question.id },
      title,
      lines.map((text) => h("p", { class: "where", text })),
      body,
      h("div", { class: "keys" }, moot ? aside : againKey(ctx, question)),
    ),
    work: columns.map(({ work }) => work),
  };
}
