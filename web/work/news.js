/* What other writers added to a job since this device last looked at it, in words. Steps, plans and choices are not
   told: they say how the work goes on, not what was found. Reads records; draws and keeps nothing. */

import { disputedName, disputedWords } from "./card-conflicts.js";
import { moveWords } from "./conflicts.js";
import { nameOf as photoName } from "./photo-words.js";
import { counted } from "./plural.js";
import { afterStage, movedName } from "./promise.js";
import { nameOf, valueOf } from "./readings.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */

const TOLD = ["reading", "move", "strike", "car", "target", "job", "known", "note", "photo", "close"];

const SAID = {
  /** @type {[string, string]} */
  many: ["{n} new", "{n} new"],
  removed: "Removed",
  refused: "Refused",
  note: "Note",
  close: "Hand-over",
};

/**
 * The new records that are told, of all that arrived.
 * @param {Entry[]} entries of the job
 * @param {Set<string> | undefined} arrived ids
 * @param {string} mine this device
 * @returns {Entry[]}
 */
export const newsOf = (entries, arrived, mine) =>
  arrived?.size
    ? entries.filter(
        ({ id, kind, device, body }) =>
          arrived.has(id) && device !== mine && TOLD.includes(kind) && Object.keys(body).length > 0,
      )
    : [];

/** "2 new". @param {Entry[]} news */
export const newsCount = (news) => counted(news.length, ...SAID.many);

/** Fields of a card with their values. @param {Entry} entry @returns {{ name: string, value: string }[]} */
function fields({ kind, body }) {
  /** @type {{ name: string, value: string }[]} */
  const out = [];
  const of = /** @type {"car" | "job" | "known" | "target"} */ (kind);
  const add = (/** @type {string} */ field, /** @type {any} */ value) => {
    const asked = { kind: of, field, values: [] };
    out.push({ name: disputedName(asked), value: disputedWords(asked, value) });
  };
  const walk = (/** @type {any} */ inner, /** @type {string} */ path) => {
    for (const [name, value] of Object.entries(inner)) {
      const at = path ? `${path}.${name}` : name;
      if (value !== null && typeof value === "object" && !Array.isArray(value)) walk(value, at);
      else add(at, value);
    }
  };
  if (kind === "target" || kind === "known") add("", body);
  else walk(body, "");
  return out;
}

/**
 * What a record says: its name, and what of it.
 * @param {Entry} entry
 * @param {(id: string) => Entry | null | undefined} entryOf
 * @param {Pick<Sheet, "plans" | "moves">} sheet
 * @returns {{ name: string, value: string }[]}
 */
export function newsWords(entry, entryOf, sheet) {
  const { kind } = entry;
  const body = /** @type {any} */ (entry.body);
  if (kind === "reading")
    return [{ name: `${nameOf(body)}, ${afterStage(sheet, body.teardown)}`, value: valueOf(body) }];
  if (kind === "move") return [{ name: movedName(body), value: moveWords(body) }];
  if (kind === "strike") {
    const target = entryOf(body.entry);
    const told = target && target.kind !== "strike" ? newsWords(target, entryOf, sheet) : [];
    const name = body.refused ? SAID.refused : SAID.removed;
    return told.length
      ? told.map((one) => ({ name: `${name}: ${one.name}`, value: one.value }))
      : [{ name, value: "" }];
  }
  if (kind === "photo") return [{ name: photoName(body), value: body.words ?? "" }];
  if (kind === "note") return [{ name: SAID.note, value: body.text }];
  return kind === "close" ? [{ name: SAID.close, value: "" }] : fields(entry);
}
