/* What a person says of which car some jobs are of, as records of those jobs, and taking it back: joining two cars,
   splitting one, saying that two are not the same. The rule is in book/sheet/identity.py. Draws nothing. */

import { titleOf, visitsOf } from "./again.js";
import { shortDate } from "./dates.js";
import { counted } from "./plural.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { Apart, CarFound, Other, SaidBy } from "./pc/car-local.js" */

/** @typedef {Map<string, Item[]>} Said By job, what is said of it; kept all together or not at all. */
/** @typedef {{ at: string, device: string, writer: string | null, words: string, records: SaidBy[] }} Act What somebody
 *   said at one moment, to be taken back as a whole. */

/** Records of one act are written within so many milliseconds, by one device. */
const TOGETHER_MS = 3000;
const SAID = {
  why: {
    chassis: "the same chassis number",
    plate: "the same number plate",
    name: "the same name and owner",
  },
  ask: (/** @type {string} */ car, /** @type {string} */ day) => `Is this the same car as ${car} of ${day}?`,
  of: (/** @type {string} */ car, /** @type {string} */ day) => `${car} of ${day}`,
  noName: "the car without a name",
  noDay: "an earlier day",
  same: (/** @type {number} */ n) =>
    counted(n, "{n} visit said to be of this car", "{n} visits said to be of this car"),
  other: (/** @type {string} */ car) => `said to be another car than ${car}`,
};

/** What is answered, wherever it is asked. */
export const ANSWERS = { yes: "Same car", no: "Another car", later: "Not now" };

/** @param {{ car: string, owner: string }} car */
const nameOf = (car) => titleOf(car) || SAID.noName;

/** @typedef {Pick<Other, "car" | "owner" | "last_at">} Shown */
/** @param {Shown} car */
const dayOf = ({ last_at: at }) => (at ? shortDate(at) : SAID.noDay);

/** "Is this the same car as Gannet, Maren of 3 May 2026?" @param {Shown} other */
export const question = (other) => SAID.ask(nameOf(other), dayOf(other));

/** "Gannet, Maren of 3 May 2026" @param {Shown} car */
export const carOf = (car) => SAID.of(nameOf(car), dayOf(car));

/** "the same name and owner; 2 visits" @param {Pick<Other, "why" | "visits">} other */
export const whyWords = ({ why, visits }) => `${SAID.why[why]}; ${visitsOf({ visits })}`;

/** That these jobs are visits of the car with that key. @param {string[]} jobs @param {string} key @returns {Said} */
export const sameCar = (jobs, key) => new Map(jobs.map((job) => [job, [["job", { car_id: key }]]]));

/** Two cars are one: every visit of the other one says so. @param {CarFound} other @param {string} key
 * @returns {Said} */
export const joined = (other, key) =>
  sameCar(
    other.visits.map(({ job }) => job),
    key,
  );

/** What older apps joined by name alone is one car. @param {CarFound} found @returns {Said} */
export const confirmed = (found) =>
  sameCar(
    found.visits.filter(({ car_by: by }) => by === "name").map(({ job }) => job),
    found.car_key,
  );

/**
 * Some visits are a car of their own; those that stay say which car they are, so that no number both bear joins them.
 * @param {CarFound} found
 * @param {Set<string>} out jobs
 * @param {string} key of the new car
 * @returns {Said}
 */
export function split(found, out, key) {
  const stay = found.visits.filter(({ job, car_by: by }) => !out.has(job) && by !== "said").map(({ job }) => job);
  const gone = [...out].map(
    (job) => /** @type {[string, Item[]]} */ ([job, [["job", { car_id: key, other_than: [found.car_key] }]]]),
  );
  return new Map([...sameCar(stay, found.car_key), ...gone]);
}

/**
 * They are two cars.
 * @param {string} job of the one
 * @param {string[] | null | undefined} already what that job says already
 * @param {string} key of the other
 * @returns {Item}
 */
export const notSame = (job, already, key) => ["job", { other_than: [...new Set([...(already ?? []), key])] }];

/**
 * What was said of a car, act by act, the last first.
 * @param {Pick<CarFound, "visits" | "apart">} found
 * @returns {Act[]}
 */
export function actsOf({ visits, apart }) {
  const rows = [
    ...visits.flatMap(({ said }) => (said ? [{ said, other: /** @type {Apart | null} */ (null) }] : [])),
    ...apart.flatMap((other) => other.said.map((said) => ({ said, other }))),
  ].sort((a, b) => Date.parse(b.said.at) - Date.parse(a.said.at));
  /** @type {(typeof rows)[]} */
  const groups = [];
  for (const row of rows) {
    const last = groups.at(-1);
    const near = last && Math.abs(Date.parse(last[0].said.at) - Date.parse(row.said.at)) < TOGETHER_MS;
    if (last && near && last[0].said.device === row.said.device) last.push(row);
    else groups.push([row]);
  }
  return groups.map((group) => {
    const same = group.filter(({ other }) => !other).length;
    const others = [...new Map(group.flatMap(({ other }) => (other ? [[other.car_key, other]] : [])))].map(
      ([, o]) => o,
    );
    const words = [same ? SAID.same(same) : "", ...others.map((other) => SAID.other(nameOf(other)))];
    const { at, device, writer } = group[0].said;
    const records = [...new Map(group.map(({ said }) => [said.entry, said])).values()];
    return { at, device, writer, words: words.filter(Boolean).join("; "), records };
  });
}

/** Of what another car's visits say, the records of the same act. @param {Act} act @param {CarFound} other */
export const ofAct = (act, other) =>
  other.visits.flatMap(({ said }) =>
    said &&
    said.device === act.device &&
    Math.abs(Date.parse(said.at) - Date.parse(act.at)) < TOGETHER_MS &&
    !act.records.some(({ entry }) => entry === said.entry)
      ? [said]
      : [],
  );

/** Taking records back. @param {SaidBy[]} records @returns {Said} */
export function takenBack(records) {
  /** @type {Said} */
  const out = new Map();
  for (const { job, entry } of records) out.set(job, [...(out.get(job) ?? []), ["strike", { entry }]]);
  return out;
}
