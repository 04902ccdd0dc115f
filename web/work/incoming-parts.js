/* What comes in a link or a file, cut into parts that can be taken or refused by themselves: all records of one
   reading, of one teardown, of one fact. What each rests on, what is asked before it is taken, and what a choice
   writes. Reads records; draws and keeps nothing.

   A refused part is kept all the same and struck by whoever refused it, so that it counts nowhere, says who refused
   it and when, and is known again wherever it comes from (DEVELOPERS.md). */

/** @import { Entry, Item } from "../types/log.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { Change } from "./incoming.js" */

/**
 * @typedef {object} Part
 * @property {string} id
 * @property {string[]} keys what it is about, as changes name it
 * @property {Entry[]} fresh records that are not here yet
 * @property {{ entry: Entry, by: Entry[] }[]} refused records that are here and were refused, with the strikes
 * @property {string[]} needs ids of parts that this one rests on
 */
/** @typedef {Part & { changes: Change[], ask: boolean }} Offered `ask`: nobody is taken to agree before they say so */
/** @typedef {"take" | "refuse"} Word */

/** A part of a card that is taken back whole has the fields below it. @param {string} key @param {string} other */
const below = (key, other) => other.startsWith(`${key}.`);

/** Paths of the fields that a card says. @param {any} body @param {string} [path] @returns {string[]} */
const paths = (body, path = "") =>
  Object.entries(body ?? {}).flatMap(([name, value]) => {
    const at = path ? `${path}.${name}` : name;
    return value !== null && typeof value === "object" && !Array.isArray(value) ? paths(value, at) : [at];
  });

/** The first of an entry's chain, as far as it is here. @param {Entry} entry @param {Map<string, Entry>} all */
function rootOf(entry, all) {
  const seen = new Set([entry.id]);
  let root = entry.id;
  for (
    let next = entry.body.corrects;
    typeof next === "string" && !seen.has(next);
    next = all.get(next)?.body.corrects
  ) {
    seen.add(next);
    root = next;
  }
  return root;
}

/** Strikes of strikes that are followed; no hand makes more. */
const DEEPEST = 20;

/** @typedef {(entry: Entry, all: Map<string, Entry>, deep: number) => string[]} Keys */

/** Of what takes out or settles others, theirs. @type {Keys} */
function keysOfOthers({ id, kind, body }, all, deep) {
  const named = kind === "strike" ? [body.entry] : [body.keeps, ...(body.drops ?? [])];
  const targets = deep < DEEPEST ? named.flatMap((name) => all.get(name) ?? []) : [];
  const keys = targets.flatMap((target) => keysOf(target, all, deep + 1));
  return keys.length ? keys : [`${kind}:${id}`];
}

/** @type {Keys} */
const keysOfCard = ({ kind, body }) => paths(body).map((path) => `card:${kind}:${path}`);
/** @type {Keys} */
const keysOfNumber = ({ kind, body }) => [`${kind}:${body.teardown ?? 0}`];
/** @type {{ [kind: string]: Keys }} */
const KEYS = {
  reading: (entry, all) => [`chain:${rootOf(entry, all)}`],
  move: (entry, all, deep) => [`chain:${rootOf(entry, all)}`, ...keysOfNumber(entry, all, deep)],
  strike: keysOfOthers,
  settle: keysOfOthers,
  target: () => ["card:target:"],
  known: () => ["card:known:"],
  car: keysOfCard,
  job: keysOfCard,
  plan: keysOfNumber,
  step: keysOfNumber,
  close: () => ["close"],
};

/** What an entry is about: all records that share one of these keys are one part. @type {Keys} */
function keysOf(entry, all, deep) {
  const keys = KEYS[entry.kind]?.(entry, all, deep) ?? [];
  return keys.length ? keys : [`${entry.kind}:${entry.id}`];
}

/** Keys that belong together, by any of them. */
class Joined {
  constructor() {
    /** @type {Map<string, string>} */
    this.up = new Map();
  }

  /** @param {string} key @returns {string} */
  of(key) {
    let top = key;
    for (let next = this.up.get(top); next !== undefined && next !== top; next = this.up.get(top)) top = next;
    return top;
  }

  /** @param {string[]} keys */
  join(keys) {
    const [first, ...rest] = keys.map((key) => this.of(key));
    for (const each of rest) if (each !== first) this.up.set(each, first);
  }
}

/** Join what stands under one part of a card that somebody took back whole, and the steps of a teardown to its teeth.
 * @param {Joined} joined @param {Set<string>} keys */
function joinRelated(joined, keys) {
  for (const key of keys) {
    for (const other of keys) if (key.startsWith("card:") && below(key, other)) joined.join([key, other]);
    const [kind, number] = key.split(":");
    if (kind === "move" && keys.has(`step:${number}`)) joined.join([key, `step:${number}`]);
  }
}

/**
 * What a record rests on, by keys: teeth that only come with it, the target a plan was made for.
 * @param {Entry} entry
 * @param {Set<number>} lacking teardowns whose teeth are not here
 * @param {Entry[]} targets that come with it
 */
function restsOn({ id, kind, body, device }, lacking, targets) {
  const number = body.teardown ?? 0;
  const upTo = kind === "reading" || kind === "step" ? number : number - 1;
  const all = [...lacking].sort((a, b) => a - b);
  const moves =
    kind === "close" ? all : ["reading", "step", "move", "plan"].includes(kind) ? all.filter((n) => n <= upTo) : [];
  const target = kind === "plan" && targets.some((one) => one.device === device && one.id < id);
  return [...moves.map((n) => `move:${n}`), ...(target ? ["card:target:"] : [])];
}

/**
 * The parts of what comes.
 * @param {Entry[]} here records of the job on this device
 * @param {Entry[]} fresh those that are not here yet
 * @param {{ entry: Entry, by: Entry[] }[]} refused those that are here and were refused
 * @param {Sheet | null} was the job as it is here
 * @returns {Part[]}
 */
export function partsOf(here, fresh, refused, was) {
  const pool = [...fresh, ...refused.map(({ entry }) => entry)];
  const all = new Map([...here, ...pool].map((entry) => [entry.id, entry]));
  const about = new Map(pool.map((entry) => [entry.id, keysOf(entry, all, 0)]));
  const joined = new Joined();
  const keys = new Set([...about.values()].flat());
  for (const list of about.values()) joined.join(list);
  joinRelated(joined, keys);
  const turned = new Set((was?.moves ?? []).map(({ teardown }) => teardown));
  const lacking = new Set(
    pool.filter(({ kind, body }) => kind === "move" && !turned.has(body.teardown)).map(({ body }) => body.teardown),
  );
  const targets = pool.filter(({ kind }) => kind === "target");
  /** @type {Map<string, Part>} */
  const parts = new Map();
  const partOf = (/** @type {Entry} */ { id }) => {
    const key = joined.of((about.get(id) ?? [])[0]);
    const part = parts.get(key) ?? { id: key, keys: [], fresh: [], refused: [], needs: [] };
    parts.set(key, part);
    return part;
  };
  for (const entry of fresh) partOf(entry).fresh.push(entry);
  for (const one of refused) partOf(one.entry).refused.push(one);
  for (const entry of pool) {
    const part = partOf(entry);
    part.keys.push(...(about.get(entry.id) ?? []));
    const on = restsOn(entry, lacking, targets).map((key) => joined.of(key));
    part.needs.push(...on.filter((id) => id !== part.id));
  }
  for (const part of parts.values())
    Object.assign(part, { keys: [...new Set(part.keys)], needs: [...new Set(part.needs)] });
  return [...parts.values()];
}

/** Whether somebody takes back or mends what they wrote themselves. @param {Part} part @param {Entry[]} here */
function own({ fresh, refused }, here) {
  const written = new Map(here.map(({ id, device }) => [id, device]));
  const pool = [...fresh, ...refused.map(({ entry }) => entry)];
  const onto = pool.filter(({ body }) => written.has(body.corrects ?? body.entry));
  return onto.length > 0 && onto.every(({ device, body }) => written.get(body.corrects ?? body.entry) === device);
}

/**
 * Whether a change is asked about before it is taken: what was turned, taken out, put in place of something, or handed
 * over; what only adds is not, nor what its own writer mends, nor what becomes a question anyway.
 * @param {Change} change @param {boolean} mends
 */
function asks({ form, was }, mends) {
  if (form === "teardown") return true;
  if (form === "removed" || form === "replaced") return !mends;
  return form === "changed" && was !== "";
}

/**
 * Parts with what each would change, those first that could do harm; those that change nothing to be seen last.
 * @param {Part[]} parts
 * @param {Change[]} changes as from `changesOf`, worst first
 * @param {Entry[]} here
 * @returns {Offered[]}
 */
export function offeredOf(parts, changes, here) {
  const about = (/** @type {Part} */ part, /** @type {Change} */ change) =>
    change.entries.length
      ? [...part.fresh, ...part.refused.map(({ entry }) => entry)].some(({ id }) => change.entries.includes(id))
      : part.keys.some((key) => key === change.key || below(key, change.key));
  /** @type {Set<Change>} */
  const told = new Set();
  const found = parts.map((part) => {
    const mine = changes.filter((change) => !told.has(change) && about(part, change));
    for (const change of mine) told.add(change);
    const conflict = mine.some(({ form }) => form === "conflict");
    const ask = mine.some((change) => (!conflict || change.form === "teardown") && asks(change, own(part, here)));
    return { ...part, changes: mine, ask };
  });
  const rank = (/** @type {Offered} */ { changes: mine }) => (mine.length ? changes.indexOf(mine[0]) : changes.length);
  return found.sort((a, b) => rank(a) - rank(b));
}

/**
 * The word on each part, by id: what was said, else its own: take what only adds, leave what was refused before, null
 * where somebody has to say. What rests on a part that is not taken is not either.
 * @param {Offered[]} parts
 * @param {Map<string, Word>} [said]
 * @returns {Map<string, { word: Word | null, with: string }>} `with` the part that it goes with, or ""
 */
export function wordsOn(parts, said = new Map()) {
  /** @type {Map<string, { word: Word | null, with: string }>} */
  const words = new Map();
  for (const { id, ask, fresh, refused } of parts) {
    const by = refused.length && !fresh.length ? "refuse" : ask || refused.length ? null : "take";
    words.set(id, { word: said.get(id) ?? by, with: "" });
  }
  for (let again = true; again;) {
    again = false;
    for (const { id, needs } of parts) {
      const one = /** @type {{ word: Word | null, with: string }} */ (words.get(id));
      const gone = needs.find((need) => words.get(need)?.word === "refuse");
      if (gone === undefined || one.word === "refuse") continue;
      words.set(id, { word: "refuse", with: gone });
      again = true;
    }
  }
  return words;
}

/** The parts on which somebody still has to say. @param {Offered[]} parts @param {ReturnType<typeof wordsOn>} words */
export const undecided = (parts, words) => parts.filter(({ id }) => words.get(id)?.word === null);

/** Most ids that a strike says it saw. */
const MOST = 100;

/** An erasure of somebody else is never kept: whoever agrees to it writes one, and one that is refused is let go. */
const ERASE = "erase";

/**
 * What this device writes for the words on all parts: a strike for each record that is refused, one for each strike
 * that had refused what is taken after all, an erasure of its own for one that is taken.
 * @param {Offered[]} parts
 * @param {ReturnType<typeof wordsOn>} words
 * @returns {Item[]}
 */
export const itemsFor = (parts, words) =>
  parts.flatMap(({ id, fresh, refused }) => {
    const ids = [...fresh, ...refused.map(({ entry }) => entry)].map((entry) => entry.id);
    const kept = fresh.filter(({ kind }) => kind !== ERASE);
    const erases = kept.length < fresh.length ? [/** @type {Item} */ ([ERASE, {}])] : [];
    if (words.get(id)?.word === "take")
      return [
        ...refused.flatMap(({ by }) => by.map((strike) => /** @type {Item} */ (["strike", { entry: strike.id }]))),
        ...erases,
      ];
    return kept.map(
      (entry) => /** @type {Item} */ (["strike", { entry: entry.id, refused: true, saw: ids.slice(0, MOST) }]),
    );
  });

/**
 * Of records that come and are here already, those that are out because they were refused.
 * @param {Entry[]} here
 * @param {Sheet} was
 * @param {Set<string>} came ids
 * @returns {{ entry: Entry, by: Entry[] }[]}
 */
export function refusedOf(here, was, came) {
  const all = new Map(here.map((entry) => [entry.id, entry]));
  return was.struck.flatMap(({ id, by }) => {
    const entry = all.get(id);
    const strikes = by.flatMap((name) => all.get(name) ?? []);
    return came.has(id) && entry && strikes.length && strikes.every(({ body }) => body.refused)
      ? [{ entry, by: strikes }]
      : [];
  });
}
