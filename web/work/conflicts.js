/* Entries that contradict each other: what each says, what can be picked, what is written then. Nothing is erased. */

import { disputedName, disputedSentence, disputedWords, pickItem } from "./card-conflicts.js";
import { sideWords, workName } from "./adjuster.js";
import { teeth } from "./numbers.js";
import { afterStage } from "./promise.js";
import { SIDES, nameOf, valueOf } from "./readings.js";
import { sentence } from "./sentence.js";

/** @import { Entry, Item } from "../types/log.d.ts" */
/** @import { Conflict, ReadingBody, Sheet } from "../types/sheet.d.ts" */
/** @import { MoveBody, SettleBody } from "../types/wire.d.ts" */

/**
 * @typedef {object} Choice A choice, with what is written when it is picked.
 * @property {Entry} entry
 * @property {Entry[]} entries all that say it
 * @property {Item[]} items
 * @property {{ name: string, value: string } | null} said what it says, where it is about a card
 */

const both = (/** @type {number} */ inner, /** @type {number} */ outer) =>
  inner || outer ? `inner ${teeth(inner)}, outer ${teeth(outer)}` : "";

/**
 * "left: inner 3 teeth arm up, outer 4 teeth arm down; right: no change"; the axle first where the move names one.
 * @param {Omit<MoveBody, "teardown">} move
 * @param {import("./adjuster.js").Adjusts} [kind] of the car's adjuster
 */
export function moveWords(move, kind) {
  const sides = SIDES.map((side) => {
    const { inner = 0, outer = 0, turns } = move[side] ?? {};
    const all = [both(inner, outer), turns ? sideWords({ turns }, { kind }) : ""].filter(Boolean);
    return `${side}: ${all.join(", ") || sideWords(null)}`;
  });
  return `${move.axle ? `${move.axle} axle, ` : ""}${sides.join("; ")}`;
}

/**
 * What an entry says: a reading, a move, that something was removed; others by their kind alone.
 * @param {{ kind: string, body: Entry["body"] }} entry
 * @param {Pick<Sheet, "moves" | "plans">} [sheet] its job's, which tells teardowns from adjustments
 */
export function wordsOf({ kind, body: any }, sheet = { moves: [], plans: [] }) {
  const body = /** @type {ReadingBody & MoveBody} */ (any);
  if (kind === "reading") return `${nameOf(body)}, ${afterStage(sheet, body.teardown)}: ${valueOf(body)}`;
  if (kind === "move") return `${workName(body)} ${body.teardown}, ${moveWords(body)}`;
  if (kind === "photo") return ["photo", any.shows, any.side, any.words].filter(Boolean).join(", ");
  return kind === "strike" ? "removed" : `a record of kind ${kind}`;
}

/**
 * What can be picked in a conflict. Several strikes of one entry are one choice. Each names the settlements it stands
 * in place of: two made apart are asked about again. What is picked of a card is written again, by one who has seen
 * both, so that it holds for an older app too.
 * @param {Conflict} conflict
 * @param {(id: string) => Entry | undefined} entryOf
 * @returns {Choice[]}
 */
export function picks(conflict, entryOf) {
  if (conflict.about === "card") return cardPicks(conflict, entryOf);
  const all = conflict.entries.map(entryOf).filter((entry) => entry !== undefined);
  const strikes = all.filter(({ kind }) => kind === "strike");
  const chosen = [
    ...(strikes.length ? [strikes] : []),
    ...all.filter(({ kind }) => kind !== "strike").map((entry) => [entry]),
  ];
  return chosen.map((entries) => {
    /** @type {SettleBody} */
    const settle = {
      keeps: entries[0].id,
      drops: conflict.entries.filter((id) => !entries.some((entry) => entry.id === id)),
      ...(conflict.settlements?.length ? { replaces: conflict.settlements } : {}),
    };
    return { entry: entries[0], entries, items: [["settle", settle]], said: null };
  });
}

/**
 * @param {Conflict} conflict
 * @param {(id: string) => Entry | undefined} entryOf
 * @returns {Choice[]}
 */
const cardPicks = (conflict, entryOf) =>
  conflict.values.flatMap(({ entry: id, value }) => {
    const entry = entryOf(id);
    const said = { name: disputedName(conflict), value: disputedWords(conflict, value) };
    return entry ? [{ entry, entries: [entry], items: [pickItem(conflict, value)], said }] : [];
  });

/**
 * What is asked, as a person reads it.
 * @param {Conflict} conflict
 */
export const askedWords = (conflict) =>
  conflict.about === "card" ? disputedSentence(conflict) : sentence(conflict.text);

/**
 * "2026-11-25 18:40".
 * @param {{ at: string }} row
 */
export const moment = ({ at }) => at.slice(0, 16).replace("T", " ");

/**
 * What is kept when it is picked.
 * @param {Pick<Choice, "entry" | "said">} pick
 */
export const keepWords = ({ entry, said }) =>
  entry.kind === "strike" ? "Keep it removed" : `Use: ${said?.value ?? wordsOf(entry)}`;
