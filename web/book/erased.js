/* What stands of an entry once its customer was erased, and which entries an erasure covers: the same as
   book/sheet/erased.py, which says why, since a transaction waits for no worker. A test holds the two together. */

import { KEPT_TEXTS } from "./kept-texts.js";
import { canonical, same } from "./same.js";

/** @import { Body, Entry } from "../types/log.d.ts" */

/** @typedef {Readonly<Record<string, readonly string[]>>} Kept */

/** @typedef {{ whole?: string, car?: string }} Under The last erasures of a job by their ids, of its customer and of
 *   names that said which car it is. */

/** The kind of an entry that erases the customer of its job. */
export const ERASE = "erase";
/** Said by an erasure that takes names of the car alone, and of an entry that lost nothing else. */
export const CAR = "car";

/** What the record of a photo that is gone says in place of the name of its bytes. */
const NO_PHOTO = "0".repeat(64);
const WORDS_ALONE = ["job", "note"];
const OF_A_CAR = ["car_id", "other_than"];
const FLAGS = ["by_name", "hidden"];
const ENVELOPE = ["id", "job", "device", "device_seq", "at", "kind", "schema", "saw", "erasure"];
const ID = /^[A-Za-z0-9._:+-]{1,64}$(?!\n)/;
const NUMBER_OF_A_CAR = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$(?!\n)/;

/**
 * @param {string} text
 * @param {readonly string[] | undefined} allowed
 */
function stays(text, allowed) {
  if (!allowed) return false;
  if (!allowed.length) return true;
  return allowed[0] === "" ? ID.test(text) : allowed.includes(text);
}

/**
 * A value without the texts that do not stay; `name` is that of the field it stands in.
 * @param {any} value
 * @param {string} name
 * @param {Kept} kept
 * @returns {any}
 */
function bare(value, name, kept) {
  if (Array.isArray(value))
    return value
      .filter((inner) => typeof inner !== "string" || stays(inner, kept[name]))
      .map((inner) => bare(inner, name, kept));
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(
    Object.entries(value)
      .filter(([inner, said]) => typeof said !== "string" || stays(said, kept[inner]))
      .map(([inner, said]) => [inner, bare(said, inner, kept)]),
  );
}

/**
 * @param {string} kind
 * @param {Body} body
 * @returns {Body}
 */
function bodyOf(kind, body) {
  const kept = Object.hasOwn(KEPT_TEXTS, kind) ? KEPT_TEXTS[kind] : {};
  if (!WORDS_ALONE.includes(kind)) {
    const left = bare(body, "", kept);
    return kind === "photo" ? { ...left, sha256: NO_PHOTO } : left;
  }
  /** @type {Body} */
  const out = {};
  for (const name of Object.keys(kept))
    if (typeof body[name] === "string" && stays(body[name], kept[name])) out[name] = body[name];
  if (kind === "note") out.text = "";
  else {
    if (typeof body.car_id === "string" && NUMBER_OF_A_CAR.test(body.car_id)) out.car_id = body.car_id;
    for (const name of FLAGS) if (body[name] === null || typeof body[name] === "boolean") out[name] = body[name];
  }
  return out;
}

/**
 * What stands of an entry once its customer was erased; the entry itself where it has no words to lose.
 * @param {Entry} entry
 * @returns {Entry}
 */
export function erased(entry) {
  /** @type {any} */
  const { body, writer, erased: marked, ...rest } = entry;
  /** @type {any} */
  const out = {};
  for (const [name, value] of Object.entries(rest)) {
    if (ENVELOPE.includes(name)) out[name] = value;
    else if (typeof value !== "string") out[name] = bare(value, name, {});
  }
  if ((writer ?? null) !== null) out.writer = "";
  out.body = bodyOf(entry.kind, body);
  const was = writer === undefined ? { ...rest, body } : { ...rest, body, writer };
  return marked || canonical(out) !== canonical(was) ? { ...out, erased: true } : entry;
}

/** @param {unknown} said */
const isName = (said) => typeof said === "string" && !NUMBER_OF_A_CAR.test(said);

/**
 * An entry without the names that say which car its job is of; the entry itself where it has none.
 * @param {Entry} entry
 * @returns {Entry}
 */
export function unnamed(entry) {
  if (entry.kind !== "job") return entry;
  let gone = false;
  const body = Object.fromEntries(
    Object.entries(entry.body).flatMap(([name, said]) => {
      if (!OF_A_CAR.includes(name)) return [[name, said]];
      if (isName(said)) gone = true;
      if (isName(said) || !Array.isArray(said)) return isName(said) ? [] : [[name, said]];
      const kept = said.filter((one) => !isName(one));
      if (kept.length < said.length) gone = true;
      return [[name, kept]];
    }),
  );
  return gone ? { ...entry, body, erased: entry.erased || CAR } : entry;
}

/**
 * Whether an erasure, the last of its job, covers an entry: its writer did not know of it.
 * @param {Entry} entry
 * @param {string | null | undefined} erasure its id; none where there is none
 */
export const covered = (entry, erasure) =>
  Boolean(erasure) && entry.kind !== ERASE && !(typeof entry.erasure === "string" && entry.erasure >= `${erasure}`);

/**
 * An entry as it may be kept under its job's last erasures.
 * @param {Entry} entry
 * @param {Under} under
 */
export function standing(entry, { whole, car }) {
  if (covered(entry, whole)) return erased(entry);
  return covered(entry, car) ? unnamed(entry) : entry;
}

/**
 * An entry without what another has lost.
 * @param {Entry} entry
 * @param {Entry["erased"]} mark what that one says in `erased`
 */
export const bareAs = (entry, mark) => (mark === CAR ? unnamed(entry) : mark ? erased(entry) : entry);

/**
 * Whether two entries with one id say the same, where either may be without its words.
 * @param {Entry} mine
 * @param {Entry} other
 */
export function standsFor(mine, other) {
  if (same(mine, other)) return true;
  const marks = [mine.erased, other.erased].filter(Boolean);
  if (!marks.length) return false;
  const bare = marks.includes(true) ? erased : unnamed;
  return same(bare(mine), bare(other));
}
