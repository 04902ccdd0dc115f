/* The shop's book as files, out and in: the text of a table, and the rows of a file in batches that the shop takes. */

import { request, textAt, Trouble } from "../client.js";
import { pathOf } from "../../work/pc/path-of.js";

const PATIENCE_MS = 120_000;
const AT_ONCE = 100;
const BATCH_CHARACTERS = 1_000_000;

/** @import { Row } from "../../types/wire.d.ts" */

/** @typedef {{ line: number, entry: any }} Line A row of a file; `entry` is undefined where the line is not JSON. */
/**
 * @typedef {object} Report What sending came to.
 * @property {number} stored
 * @property {number} known
 * @property {{ line: number, id: string, detail: string }[]} refused
 */

/**
 * The text of a table between two days, of that media type; rejects with a Trouble.
 * @param {string} table
 * @param {{ since: string, until: string }} days
 * @param {string} kind
 * @param {string} key
 */
export const tableText = (table, { since, until }, kind, key) =>
  textAt(pathOf(`/api/export/${table}`, { since, until }), kind, { key, patience_ms: PATIENCE_MS });

/**
 * Rows of a file in batches that the shop takes.
 * @param {Line[]} rows
 */
function* batches(rows) {
  /** @type {Line[]} */
  let some = [];
  let characters = 0;
  for (const row of rows) {
    const long = JSON.stringify(row.entry).length;
    if (some.length && (some.length === AT_ONCE || characters + long > BATCH_CHARACTERS)) {
      yield some;
      [some, characters] = [[], 0];
    }
    some.push(row);
    characters += long;
  }
  if (some.length) yield some;
}

/**
 * Send a file's entries to the shop; told(report) after every batch.
 * @param {Line[]} rows
 * @param {string} key
 * @param {(report: Report) => void} told
 */
export async function sendRows(rows, key, told) {
  /** @type {Report} */
  const report = { stored: 0, known: 0, refused: [] };
  const bad = (/** @type {Line} */ { line, entry }, /** @type {string} */ detail) =>
    report.refused.push({ line, id: typeof entry?.id === "string" ? entry.id : "", detail });
  for (const row of rows) if (row.entry === undefined) bad(row, "this line is not JSON");
  for (const some of batches(rows.filter(({ entry }) => entry !== undefined))) {
    const { status, body } = await request("POST", "/api/entries", {
      body: { entries: some.map(({ entry }) => entry) },
      key,
      patience_ms: PATIENCE_MS,
    });
    if (status !== 200 || !Array.isArray(body.rows)) throw new Trouble("not-ours", { status });
    for (const { index, status: what, detail, path } of /** @type {Row[]} */ (body.rows)) {
      if (what === "refused") bad(some[index], `${detail}, at ${path?.replace(`$.entries[${index}]`, "$") ?? "$"}`);
      else report[what] += 1;
    }
    told(report);
  }
  report.refused.sort((one, other) => one.line - other.line);
  return report;
}
