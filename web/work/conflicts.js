/* Entries that contradict each other: what each says, what can be picked, what is written then. Nothing is erased. */

import { teeth } from "./numbers.js";
import { SIDES, nameOf, teardownWords, valueOf } from "./readings.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { Conflict, ReadingBody } from "../types/sheet.d.ts" */
/** @import { MoveBody, SettleBody } from "../types/wire.d.ts" */

/**
 * @typedef {{ entry: Entry, entries: Entry[], body: SettleBody }} Choice A choice, with the entry that settles it so.
 */

/**
 * "left: inner 3 teeth arm up, outer 4 teeth arm down; right: no change".
 * @param {Omit<MoveBody, "teardown">} move
 */
export const moveWords = (move) =>
  SIDES.map((side) => {
    const { inner = 0, outer = 0 } = move[side] ?? {};
    return `${side}: ${inner || outer ? `inner ${teeth(inner)}, outer ${teeth(outer)}` : "no change"}`;
  }).join("; ");

/**
 * What an entry says: a reading, a move, that something was removed; others by their kind alone.
 * @param {{ kind: string, body: Entry["body"] }} entry
 */
export function wordsOf({ kind, body: any }) {
  const body = /** @type {ReadingBody & MoveBody} */ (any);
  if (kind === "reading") return `${nameOf(body)}, ${teardownWords(body.teardown ?? 0)}: ${valueOf(body)}`;
  if (kind === "move") return `teardown ${body.teardown}, ${moveWords(body)}`;
  return kind === "strike" ? "removed" : `a record of kind ${kind}`;
}

/**
 * What can be picked in a conflict. Several strikes of one entry are one choice. Each names the settlements it stands
 * in place of: two made apart are asked about again.
 * @param {Conflict} conflict
 * @param {(id: string) => Entry | undefined} entryOf
 * @returns {Choice[]}
 */
export function picks(conflict, entryOf) {
  const all = conflict.entries.map(entryOf).filter((entry) => entry !== undefined);
  const strikes = all.filter(({ kind }) => kind === "strike");
  const chosen = [
    ...(strikes.length ? [strikes] : []),
    ...all.filter(({ kind }) => kind !== "strike").map((entry) => [entry]),
  ];
  return chosen.map((entries) => ({
    entry: entries[0],
    entries,
    body: {
      keeps: entries[0].id,
      drops: conflict.entries.filter((id) => !entries.some((entry) => entry.id === id)),
      ...(conflict.settlements?.length ? { replaces: conflict.settlements } : {}),
    },
  }));
}

/**
 * "2026-11-25 18:40".
 * @param {{ at: string }} row
 */
export const moment = ({ at }) => at.slice(0, 16).replace("T", " ");

/**
 * What is kept when it is picked.
 * @param {{ entry: Entry }} pick
 */
export const keepWords = ({ entry }) => (entry.kind === "strike" ? "Keep it removed" : `Use: ${wordsOf(entry)}`);
