/* What is asked at the desk, in words: the choices of a question, what an entry says, what is to be known before
   choosing. */

import { turnWords, workName } from "../../work/adjuster.js";
import { disputedName } from "../../work/card-conflicts.js";
import { askedWords, moment, picks, wordsOf } from "../../work/conflicts.js";
import { teeth } from "../../work/numbers.js";
import { SIDES, howOf, poseWords } from "../../work/readings.js";
import { sentence, titled } from "../../work/sentence.js";
import { named } from "../../work/this-device.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Entry, Item } from "../../types/log.d.ts" */
/** @import { Conflict, SettleRow, Sheet } from "../../types/sheet.d.ts" */

/** One choice: its entry, all entries that say it, what is written when it is picked; of a card what it says.
 * @typedef {{ entry: Entry, entries: Entry[], items: Item[], where: string, teardown: number, against?: Entry,
 *   said?: { name: string, value: string } | null }} Choice */
/** A conflict of the fold, or contents that differ under one id (`dispute`); `done` what was written here, with its
 * words.
 * @typedef {{ job: string, all: any, conflict?: Conflict, dispute?: any, choices: Choice[], key: string, id: string,
 *   done: any }} Question */

const SAID = {
  strike: "Keep it removed",
  ends: (/** @type {string} */ side, /** @type {string} */ inner, /** @type {string} */ outer) =>
    `${side}: inner ${inner}, outer ${outer}`,
  turns: (/** @type {string} */ side, /** @type {string} */ turns) => `${side}: ${turns}`,
  nothing: "nothing",
  itRemoved: "it removed",
  gone: "a record that is not here",
  get mine() {
    return named("on {here}");
  },
  two: "Two copies of the same record differ. Both are kept; your choice reaches every copy of the job.",
  corrected: "It was corrected or removed since. Neither counts.",
  apart: "They are not about the same thing. Enter the correct value by hand, then dismiss this.",
  same: "Same record, different values",
  chose: (/** @type {string} */ who, /** @type {string} */ what, /** @type {string} */ when) =>
    `${who} chose ${what}, ${when}.`,
};
/** @type {Record<string, string>} */
const CAME = { shop: "at the shop", device: "on another device", link: "from a link", file: "from a file" };

/** @param {unknown} value @returns {value is Record<string, unknown>} */
const isObject = (value) => value !== null && typeof value === "object" && !Array.isArray(value);

/** Every place where two JSON values differ: [["value", 214, 241]].
 * @param {unknown} one @param {unknown} other @param {string} [path] @returns {[string, unknown, unknown][]} */
function differences(one, other, path = "") {
  if (!isObject(one) || !isObject(other))
    return JSON.stringify(one) === JSON.stringify(other) ? [] : [[path, one, other]];
  return [...new Set([...Object.keys(one), ...Object.keys(other)])]
    .sort()
    .flatMap((name) => differences(one[name], other[name], path ? `${path}.${name}` : name));
}

/** @param {unknown} value */
const told = (value) =>
  value === undefined ? SAID.nothing : typeof value === "string" ? `“${value}”` : JSON.stringify(value);

/** What an entry says, in lines.
 * @param {Entry} entry @param {Entry} [other] @returns {string[]} */
export function linesOf(entry, other) {
  const { kind } = entry;
  const body = /** @type {any} */ (entry.body);
  if (kind === "reading") return [howOf(body), poseWords(body.pose, body.what), body.method ?? ""].filter(Boolean);
  if (kind === "move")
    return SIDES.map((side) => {
      const { inner = 0, outer = 0, turns = 0 } = body[side] ?? {};
      if (workName(body) === "adjustment") return SAID.turns(side, turnWords(turns));
      return [SAID.ends(side, teeth(inner), teeth(outer)), turns ? turnWords(turns) : ""].filter(Boolean).join(", ");
    });
  if (kind === "strike") return [body.why ?? ""].filter(Boolean);
  return other ? differences(body, other.body).map(([path, value]) => `${path}: ${told(value)}`) : [];
}

/** @param {Entry} entry @param {Sheet} sheet of its job */
export function headOf({ kind, body }, sheet) {
  if (kind === "strike") return SAID.strike;
  if (kind === "move") return titled(`${workName(body)} ${/** @type {any} */ (body).teardown}`);
  return titled(wordsOf({ kind, body }, sheet));
}

/** Choices of a conflict of the fold.
 * @param {Conflict} conflict @param {(id: string) => Entry | undefined} entryOf @returns {Choice[]} */
export const choicesOf = (conflict, entryOf) =>
  picks(conflict, entryOf).map((pick) => ({
    ...pick,
    where: "",
    teardown: conflict.teardown,
  }));

/** Choices of contents that differ under one id.
 * @param {Context} ctx @param {any} dispute @returns {Choice[]} */
export function contentsOf(ctx, dispute) {
  const { mine, others } = dispute;
  const teardown = mine.body.teardown ?? 0;
  return [
    { entry: mine, where: SAID.mine },
    ...others.map((/** @type {any} */ { entry, came }) => ({ entry, where: CAME[came] ?? came })),
  ].map((one, i, all) => ({
    ...one,
    entries: [one.entry],
    items: ctx.files.itemsFor(dispute, one.entry),
    teardown,
    against: all[i ? 0 : 1].entry,
  }));
}

/** Whether the entry of a dispute still holds; one that was corrected or struck since needs no choice.
 * @param {any} dispute @param {any} sheet @returns {boolean} */
export const stillHolds = ({ mine }, sheet) =>
  !["reading", "move"].includes(mine.kind) ||
  sheet[`${mine.kind}s`].some((/** @type {any} */ { id, also = [] }) => id === mine.id || also.includes(mine.id));

/** An entry as what was kept, inside a sentence.
 * @param {Entry | undefined} entry @param {Sheet} sheet */
export function keptWords(entry, sheet) {
  if (!entry) return SAID.gone;
  return entry.kind === "strike" ? SAID.itRemoved : wordsOf(entry, sheet).replace(/^./, (c) => c.toLowerCase());
}

/** A choice as what is used from now on. @param {Choice} choice @param {Sheet} sheet */
export const usedWords = ({ entry, said }, sheet) => (said ? `${said.name}, ${said.value},` : keptWords(entry, sheet));

/** The heading and what is to be known before choosing.
 * @param {Context} ctx @param {Question} question @param {(device: string) => string} nameOf
 * @returns {{ head: string, lines: string[] }} */
export function about(ctx, { conflict, dispute, all }, nameOf) {
  if (!conflict) {
    const lines = [SAID.two];
    if (!stillHolds(dispute, all.sheet)) lines.push(SAID.corrected);
    else if (!ctx.files.canPick(dispute)) lines.push(SAID.apart);
    return { head: SAID.same, lines };
  }
  const spoken = /** @type {SettleRow[]} */ (all.sheet.settlements ?? []).filter(({ id }) =>
    conflict.settlements.includes(id),
  );
  const entryOf = (/** @type {string} */ id) => all.entries.find((/** @type {Entry} */ entry) => entry.id === id);
  const said = (/** @type {SettleRow} */ row) =>
    titled(SAID.chose(nameOf(row.device), keptWords(entryOf(row.keeps), all.sheet), moment(row)));
  return {
    head: conflict.about === "card" ? disputedName(conflict) : sentence(conflict.text).slice(0, -1),
    lines: [
      ...(conflict.about === "card" ? [askedWords(conflict)] : []),
      ...(conflict.contradicted ? spoken.map(said) : []),
    ],
  };
}
