/* What a link or a file would do to a job that is here: the job as it is beside the job as it would be, as a list of
   changes, those first that a mistake or a stranger could do harm with. Which of them are taken or refused together is
   the business of incoming-parts.js. Reads two folded sheets; draws and writes nothing. */

import { disputedName, disputedWords } from "./card-conflicts.js";
import { moveWords } from "./conflicts.js";
import { inHundred } from "./numbers.js";
import { nameOf as photoName } from "./photo-words.js";
import { afterStage, movedName, stageName } from "./promise.js";
import { nameOf, poseWords, valueOf } from "./readings.js";
import { titled } from "./sentence.js";

/** @import { Chained, Conflict, MoveRow, PhotoRow, ReadingRow, Sheet } from "../types/sheet.d.ts" */

/** @typedef {"conflict" | "teardown" | "removed" | "replaced" | "changed" | "new"} Form */
/**
 * @typedef {object} Change
 * @property {Form} form
 * @property {string} name what it is about
 * @property {string} was "" where it was not there
 * @property {string} is "" where it would be gone
 * @property {{ at: string, device: string, writer: string | null } | null} by who wrote it, where one record did
 * @property {string} key what it is about: chain:ID of its first record, move:N, card:KIND:FIELD, step:N, plan:N,
 *   close, note:ID, photo:ID
 * @property {string[]} entries the records that contradict each other; else none
 */

const SAID = {
  closed: "Hand-over",
  handed: "handed over",
  open: "open",
  dispute: "in two ways; you are asked which holds",
  note: "Note",
  customer: "The customer",
  named: "name, plate, request, notes",
  photo: "photo",
  steps: (/** @type {string} */ stage) => `${titled(stage)}, steps ticked`,
  put: "Steps ticked, questions put off",
  plan: (/** @type {string} */ stage) => `Plan for ${stage}`,
};
/** Cards, and what of the sheet each of them comes to. @type {["target" | "car" | "job" | "known", keyof Sheet][]} */
const CARDS = [
  ["target", "target"],
  ["car", "car"],
  ["job", "about"],
  ["known", "known"],
];
/** Of a card the fields, by their path; a target stands or falls as a whole.
 * @param {string} kind @param {any} card @param {string} [path] @returns {Map<string, any>} */
function fieldsOf(kind, card, path = "") {
  const whole = kind === "target" || kind === "known";
  if (whole) return new Map(Object.keys(card ?? {}).length ? [["", card]] : []);
  /** @type {Map<string, any>} */
  const found = new Map();
  for (const [name, value] of Object.entries(card ?? {})) {
    const at = path ? `${path}.${name}` : name;
    if (value !== null && typeof value === "object" && !Array.isArray(value))
      for (const [inner, one] of fieldsOf(kind, value, at)) found.set(inner, one);
    else if (value !== null && value !== undefined) found.set(at, value);
  }
  return found;
}

/**
 * What is known of a car, in words.
 * @param {Sheet["car"]} car
 * @returns {{ name: string, value: string }[]}
 */
export const carFacts = (car) =>
  [...fieldsOf("car", car)].map(([field, value]) => {
    const of = { kind: /** @type {const} */ ("car"), field, values: [] };
    return { name: disputedName(of), value: disputedWords(of, value) };
  });

const alike = (/** @type {unknown} */ a, /** @type {unknown} */ b) => JSON.stringify(a) === JSON.stringify(b);

/** The fields of a card that would change. @param {typeof CARDS[number][0]} kind @param {any} was @param {any} is
 * @returns {Change[]} */
function cardChanges(kind, was, is) {
  const [before, after] = [fieldsOf(kind, was), fieldsOf(kind, is)];
  return [...new Set([...before.keys(), ...after.keys()])]
    .filter((field) => !alike(before.get(field), after.get(field)))
    .map((field) => {
      const values = [before, after]
        .filter((of) => of.has(field))
        .map((of) => ({ entry: "", value: of.get(field), at: "", device: "", writer: null }));
      const words = (/** @type {Map<string, any>} */ of) =>
        of.has(field) ? disputedWords({ kind, field, values }, of.get(field)) : "";
      const [name, key] = [disputedName({ kind, field }), `card:${kind}:${field}`];
      return { form: "changed", name, was: words(before), is: words(after), by: null, key, entries: [] };
    });
}

/** @param {Sheet} sheet @returns {(reading: ReadingRow) => string} */
const readingName = (sheet) => (reading) =>
  [nameOf(reading), poseWords(reading.pose, reading.what), afterStage(sheet, reading.teardown)]
    .filter(Boolean)
    .join(", ");

/**
 * What would become of rows that may be corrected: one that is new, one in place of another, one that is gone.
 * @template {Chained} R
 * @param {R[]} was
 * @param {R[]} is
 * @param {{ name: (row: R) => string, says: (row: R) => string, fresh: Form, key: (row: R) => string }} words `key`
 *   what makes two rows the same thing
 * @returns {Change[]}
 */
function rowChanges(was, is, { name, says, fresh, key }) {
  const before = new Map(was.map((row) => [key(row), row]));
  const after = new Set(is.map(key));
  /** @type {Change[]} */
  const found = [];
  for (const row of is) {
    const old = before.get(key(row));
    const about = { key: key(row), entries: [] };
    if (!old) found.push({ form: fresh, name: name(row), was: "", is: says(row), by: row, ...about });
    else if (old.id !== row.id)
      found.push({
        form: fresh === "teardown" ? fresh : "replaced",
        name: name(row),
        was: says(old),
        is: says(row),
        by: row,
        ...about,
      });
  }
  for (const row of was) {
    const about = { key: key(row), entries: [] };
    if (!after.has(key(row)))
      found.push({ form: "removed", name: name(row), was: says(row), is: "", by: null, ...about });
  }
  return found;
}

/** Photos as rows that are never corrected. @param {PhotoRow[] | undefined} photos */
const chained = (photos) => (photos ?? []).map((row) => ({ ...row, root: row.id, corrected: [], unsettled: false }));

/** Worst first. */
const ORDER = /** @type {Form[]} */ (["teardown", "conflict", "removed", "replaced", "changed", "new"]);

/** What would be asked that is not asked now. @param {Sheet} was @param {Sheet} is @returns {Change[]} */
function newConflicts(was, is) {
  const key = (/** @type {Conflict} */ { about, field, entries }) => [about, field, ...[...entries].sort()].join(" ");
  const known = new Set((was.conflicts ?? []).map(key));
  return (is.conflicts ?? [])
    .filter((conflict) => !known.has(key(conflict)))
    .map((conflict) => ({
      form: "conflict",
      name: conflict.about === "card" ? disputedName(conflict) : conflict.text,
      was: "",
      is: conflict.about === "card" ? SAID.dispute : "",
      by: null,
      key: "",
      entries: conflict.entries,
    }));
}

/** Notes, plans and ticks that come. @param {Sheet} was @param {Sheet} is @returns {Change[]} */
function otherChanges(was, is) {
  const ids = (/** @type {{ id: string }[]} */ rows) => new Set(rows.map(({ id }) => id));
  const fresh = (/** @type {"notes" | "plans" | "steps"} */ name) => {
    const known = ids(was[name]);
    return /** @type {any[]} */ (is[name]).filter(({ id }) => !known.has(id));
  };
  /** @type {Map<number, any[]>} */
  const ticks = new Map();
  for (const tick of fresh("steps")) ticks.set(tick.teardown ?? 0, [...(ticks.get(tick.teardown ?? 0) ?? []), tick]);
  const row = (/** @type {Omit<Change, "form" | "was" | "entries">} */ of) =>
    /** @type {Change} */ ({ form: "new", was: "", entries: [], ...of });
  return [
    ...fresh("plans").map((plan) =>
      row({
        name: SAID.plan(stageName(is, plan.teardown)),
        is: inHundred(plan.odds),
        by: plan,
        key: `plan:${plan.teardown}`,
      }),
    ),
    ...fresh("notes").map((note) => row({ name: SAID.note, is: note.text, by: note, key: `note:${note.id}` })),
    ...[...ticks].map(([n, rows]) =>
      row({
        name: n ? SAID.steps(stageName(is, n)) : SAID.put,
        is: String(rows.length),
        by: rows.at(-1),
        key: `step:${n}`,
      }),
    ),
  ];
}

/** That the customer would be erased. @param {NonNullable<Sheet["erased"]>} erased @returns {Change} */
const erasesCustomer = ({ id, at, device }) => ({
  form: "removed",
  name: SAID.customer,
  was: SAID.named,
  is: "",
  by: { at: at ?? "", device: device ?? "", writer: null },
  key: `erase:${id}`,
  entries: [],
});

/**
 * What would change, worst first.
 * @param {Sheet} was the job as it is here
 * @param {Sheet} is as it would be
 * @returns {Change[]}
 */
export function changesOf(was, is) {
  const handed = (/** @type {Sheet} */ { closed }) => (closed ? SAID.handed : SAID.open);
  const found = [
    ...rowChanges(was.moves, is.moves, {
      name: movedName,
      says: moveWords,
      fresh: "teardown",
      key: (/** @type {MoveRow} */ { teardown }) => `move:${teardown}`,
    }),
    ...newConflicts(was, is),
    ...rowChanges(was.readings, is.readings, {
      name: readingName(is),
      says: valueOf,
      fresh: "new",
      key: (/** @type {ReadingRow} */ { root }) => `chain:${root}`,
    }),
    ...rowChanges(chained(was.photos), chained(is.photos), {
      name: photoName,
      says: (row) => row.words || SAID.photo,
      fresh: "new",
      key: ({ id }) => `photo:${id}`,
    }),
    ...CARDS.flatMap(([kind, name]) => cardChanges(kind, was[name], is[name])),
    ...(handed(was) === handed(is)
      ? []
      : [
          {
            form: /** @type {Form} */ ("changed"),
            name: SAID.closed,
            was: handed(was),
            is: handed(is),
            by: is.closed,
            key: "close",
            entries: [],
          },
        ]),
    ...otherChanges(was, is),
  ];
  if (is.erased?.id && is.erased.id !== was.erased?.id) found.push(erasesCustomer(is.erased));
  return found.sort((a, b) => ORDER.indexOf(a.form) - ORDER.indexOf(b.form));
}
