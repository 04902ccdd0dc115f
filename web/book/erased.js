/* What stands of an entry once its customer was erased, and which entries an erasure covers: the same as
   book/sheet/erased.py, which says why, since a transaction waits for no worker. A test holds the two together. */

import { KEPT_TEXTS } from "./kept-texts.js";
import { canonical, same } from "./same.js";

/** @import { Body, Entry } from "../types/log.d.ts" */

/** @typedef {Readonly<Record<string, readonly string[]>>} Kept */

/** The kind of an entry that erases the customer of its job. */
export const ERASE = "erase";

/** What the record of a photo that is gone says in place of the name of its bytes. */
const NO_PHOTO = "0".repeat(64);
const WORDS_ALONE = ["job", "note"];
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
  return marked === true || canonical(out) !== canonical(was) ? { ...out, erased: true } : entry;
}

/**
 * Whether an erasure, the last of its job, covers an entry: its writer did not know of it.
 * @param {Entry} entry
 * @param {string | null | undefined} erasure its id; none where there is none
 */
export const covered = (entry, erasure) =>
  Boolean(erasure) && entry.kind !== ERASE && !(typeof entry.erasure === "string" && entry.erasure >= `${erasure}`);

/**
 * An entry as it may be kept under its job's last erasure.
 * @param {Entry} entry
 * @param {string | null | undefined} erasure
 */
export const standing = (entry, erasure) => (covered(entry, erasure) ? erased(entry) : entry);

/**
 * Whether two entries with one id say the same, where either may be without its words.
 * @param {Entry} mine
 * @param {Entry} other
 */
export function standsFor(mine, other) {
  if (same(mine, other)) return true;
  return Boolean(mine.erased || other.erased) && same(erased(mine), erased(other));
}
