/* Readings that do not fit the others: what is likely wrong, and one tap to take the repaired value.

   Taking it writes an entry that corrects the old one; nothing is lost and the list shows both. */

import { poseKey, said } from "../book/sheet.js";
import { h } from "../parts/dom.js";
import { angle, plain, teeth } from "../parts/numbers.js";
import { READINGS, nameOf, valueOf } from "./readings.js";
import { readRoute } from "./guide.js";

/** What an entry says, changed: a correction of it. */
const changed = (kind, entry, change) => [kind, { ...said({ ...entry, ...change }), corrects: entry.id }];

/** The items that put a doubt right, or null where it names no value. */
export function repair(doubt, entry, sheet) {
  if (!entry || doubt.repaired_value === null || doubt.repaired_value === undefined) return null;
  if (entry.kind === "move") {
    const turned = { ...entry[doubt.side], [doubt.end]: Math.round(doubt.repaired_value) };
    return [changed("move", entry, { [doubt.side]: turned })];
  }
  if (doubt.guess === "sides swapped") {
    const other = sheet.readings.find(
      (r) => r.what === entry.what && r.side !== entry.side && (r.teardown ?? 0) === (entry.teardown ?? 0)
        && poseKey(r.pose) === poseKey(entry.pose) && Math.abs(r.value - doubt.repaired_value) < 1e-9,
    ); // prettier-ignore
    if (!other) return null;
    const swap = (into, from) =>
      changed("reading", into, { value: from.value, datum: from.datum, reference: from.reference });
    return [swap(entry, other), swap(other, entry)];
  }
  if (doubt.guess === "gauge turned round") {
    return [changed("reading", entry, { value: -entry.value, datum: -entry.datum })];
  }
  // A board is the matter of several readings, and a figure typed twice has to be read: no tap mends those.
  if (doubt.field?.startsWith("pose.") || doubt.guess === "value typed twice") return null;
  return [changed("reading", entry, { [doubt.field ?? "value"]: doubt.repaired_value })];
}

/** The repaired value for people. */
export function words(doubt, entry) {
  if (entry.kind === "move") return `${doubt.side}, ${doubt.end} end: ${teeth(Math.round(doubt.repaired_value))}`;
  if (doubt.guess === "sides swapped") return "left and right exchanged";
  const { signed, unit } = READINGS[entry.what];
  const value = signed ? angle(doubt.repaired_value) : plain(doubt.repaired_value, 1) + unit;
  return doubt.field === "datum" ? `datum ${value}` : value;
}

/** What it likely is, in a sentence. */
function likely(doubt, entry, fix) {
  if (!fix) return doubt.text.replace(/[^.?]$/, "$&.");
  return `${doubt.guess.charAt(0).toUpperCase()}${doubt.guess.slice(1)}? ${words(doubt, entry)} would fit.`;
}

/** One doubt. `entry` is the reading or move it is about, `take` writes the repair. */
function item(ctx, doubt, entry, onrepaired) {
  const fix = repair(doubt, entry, ctx.sheet);
  const route = entry.kind === "move"
    ? { words: ["move"], query: { entry: entry.id, from: "plan" } }
    : { ...readRoute({ ...entry, entry: entry.id }), query: { ...readRoute({ ...entry, entry: entry.id }).query, from: "plan" } }; // prettier-ignore
  const name = entry.kind === "move" ? `Teeth of teardown ${entry.teardown}` : `${nameOf(entry)}: ${valueOf(entry)}`;
  return h(
    "li",
    null,
    h("p", null, h("strong", { text: name }), ` does not fit the rest (${plain(Math.abs(doubt.misfit), 1)} times its spread). ${likely(doubt, entry, fix)}`),
    h(
      "div",
      { class: "keys" },
      fix
        ? h("button", { type: "button", class: "key main", onclick: async () => {
            if (await ctx.save(fix, { said: "the value taken" })) onrepaired();
          } }, `Take ${words(doubt, entry)}`)
        : null,
      h("a", { class: "key", href: ctx.href(route) }, "Open it"),
    ),
  ); // prettier-ignore
}

/** The block of doubts; null when all readings agree. */
export function doubts(ctx, list, ids, onrepaired) {
  if (!list.length) return null;
  const find = (id) => {
    const reading = ctx.sheet.readings.find((r) => r.id === id);
    const move = ctx.sheet.moves.find((m) => m.id === id);
    return reading ?? (move ? { ...move, kind: "move" } : null);
  };
  return h(
    "section",
    { class: "doubts" },
    h("h2", { text: list.length === 1 ? "One reading does not fit" : "Some readings do not fit" }),
    h("p", { text: "Settle this before turning a tooth: read again, or take the value that would fit." }),
    h(
      "ul",
      null,
      list
        .map((doubt) => [doubt, find(ids[doubt.log_index])])
        .filter(([, e]) => e)
        .map(([doubt, entry]) => item(ctx, doubt, entry, onrepaired)),
    ),
  );
}
