/* A car that returns: what earlier visits left of it, piece by piece, and what a job takes up of that. The pieces are
   kept in the job's card of what is known, so that each can be refused or taken up later too. Draws nothing. */

import { shortDate } from "./dates.js";
import { merged } from "./next-job.js";
import { short } from "./numbers.js";
import { counted } from "./plural.js";
import { CAR, answerWords } from "./questions.js";
import { at, body } from "./sheet.js";

/** @import { Item } from "../types/log.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { CarBody, JobBody, KnownBody } from "../types/wire.d.ts" */

/** @typedef {{ key: string, text: string, paths: string[][] }} Piece `paths` in the car's card; none of what was
 *   learned. */
/**
 * What earlier visits of a car left: the cards that a job can begin with, the last visit and its day.
 * @typedef {{ key: string, job: Partial<JobBody>, car: Partial<CarBody>, known: Partial<KnownBody> | null,
 *   visit: string, day: string }} Left
 */

const SAID = {
  bar: "Torsion bars",
  /** @type {{ [name: string]: (value: string) => string }} */
  of: {
    diameter_mm: (value) => `${value} diameter`,
    length_mm: (value) => `${value} long`,
    bore_mm: (value) => `bore ${value}`,
    inner_teeth: (value) => `${value} teeth inner end`,
    outer_teeth: (value) => `${value} teeth outer end`,
  },
  axle: "Axle",
  other: "Other axle",
  rest: "Other sizes",
  learned: "Stiffness and lever, as its readings showed",
  here: (/** @type {string} */ text, /** @type {string} */ own) => `${text}; this job has ${own}`,
  was: (/** @type {string} */ day) => `This car was here on ${day}`,
  earlier: "Earlier visit",
  used: (/** @type {string} */ day, /** @type {number} */ some, /** @type {number} */ all) =>
    `${day}: ${some} of ${all} used`,
};
/** Pieces with names of their own. */
export const LEARNED = "learned";
export const BAR = "bar";
const OTHER = "other";

/** Paths of everything a card says. @param {any} card @param {string[]} [above] @returns {string[][]} */
const leaves = (card, above = []) =>
  Object.entries(card ?? {}).flatMap(([name, value]) => {
    if (value === null || value === undefined) return [];
    return typeof value === "object" && !Array.isArray(value) ? leaves(value, [...above, name]) : [[...above, name]];
  });

/** A question's own path in the car's card, as a text. */
const pathOf = (/** @type {string[]} */ path) => path.slice(1).join(".");

/** What a leaf is said as: by its question, else by its name.
 * @param {string[]} path @param {any} value @returns {string} */
function said(path, value) {
  if (path[0] === OTHER) {
    const [, ...own] = path;
    return own[0] === BAR ? said(own, value) : `${nameOf(pieceOf(own))} ${said(own, value)}`.toLowerCase();
  }
  const question = CAR.find((each) => pathOf(each.path) === path.join("."));
  const words = typeof value === "number" ? (question ? answerWords(question, value) : short(value)) : String(value);
  const name = path.at(-1) ?? "";
  if (path[0] === BAR && SAID.of[name]) return SAID.of[name](words);
  return name.includes("_sd") ? `± ${words}` : words;
}

/** Where a size stands among the questions, which is how they are said. */
const placeOf = (/** @type {string[]} */ path) => {
  const own = path[0] === OTHER ? path.slice(1) : path;
  return CAR.findIndex((each) => pathOf(each.path) === own.join("."));
};

/** Which piece a size belongs to: the bar's stand together, a spread goes with what it is the spread of. */
function pieceOf(/** @type {string[]} */ path) {
  if (path[0] === BAR || path[0] === OTHER) return path[0];
  if (path.join() === "axle") return "axle";
  const own = path.join(".");
  const found = CAR.find(
    ({ path: of }) => pathOf(of) === own || pathOf(of).replace("_sd", "") === own.replace("_sd", ""),
  );
  return found ? found.key.replace("_sd", "") : "rest";
}

/** The name of a piece. @param {string} key */
function nameOf(key) {
  if (key === BAR) return SAID.bar;
  if (key === "axle") return SAID.axle;
  if (key === OTHER) return SAID.other;
  return CAR.find((question) => question.key.replace("_sd", "") === key)?.title ?? SAID.rest;
}

/** The sizes of a piece in words. */
const valueWords = (/** @type {string[][]} */ paths, /** @type {any} */ card) =>
  paths.map((path) => said(path, at(card, path))).join(", ");

/**
 * The pieces of what was left, the bars first and what was learned last.
 * @param {Pick<Left, "car" | "known">} left
 * @param {Partial<CarBody>} [own] the job's own card, where it says something else of a piece
 * @returns {Piece[]}
 */
export function piecesOf({ car, known }, own = {}) {
  /** @type {Map<string, string[][]>} */
  const found = new Map();
  for (const path of leaves(car)) {
    const key = pieceOf(path);
    found.set(key, [...(found.get(key) ?? []), path]);
  }
  const order = [BAR, ...CAR.map(({ key }) => key.replace("_sd", "")), "axle", OTHER, "rest"];
  const keys = [...found.keys()].sort((a, b) => order.indexOf(a) - order.indexOf(b));
  const sizes = keys.map((key) => {
    const paths = /** @type {string[][]} */ (found.get(key)).sort((a, b) => placeOf(a) - placeOf(b));
    const text = `${nameOf(key)}: ${valueWords(paths, car)}`;
    const others = paths.filter((path) => at(own, path) !== undefined);
    const differs = others.some((path) => at(own, path) !== at(car, path));
    return { key, paths, text: differs ? SAID.here(text, valueWords(others, own)) : text };
  });
  return known?.posterior ? [...sizes, { key: LEARNED, paths: [], text: SAID.learned }] : sizes;
}

/**
 * The pieces that a job uses as they were left, or would where it says nothing of them (`fresh`).
 * @param {Piece[]} pieces
 * @param {Pick<Left, "car">} left
 * @param {Pick<Sheet, "car" | "known">} sheet
 * @param {boolean} fresh whether they are offered for the first time
 */
export function usedOf(pieces, { car }, sheet, fresh) {
  const fits = (/** @type {string[]} */ path) => {
    const own = at(sheet.car, path);
    return own === at(car, path) || (fresh && own === undefined);
  };
  const used = pieces.filter(({ key, paths }) => (key === LEARNED ? fresh || learnedIn(sheet) : paths.every(fits)));
  const keys = new Set(used.map(({ key }) => key));
  if (!allows(pieces, keys)) keys.delete(LEARNED);
  return keys;
}

/** Whether a job goes by what was learned at an earlier visit. @param {Pick<Sheet, "known">} sheet */
const learnedIn = ({ known }) => Boolean(known.posterior) && known.use !== false;

/**
 * Whether what was learned may be used with the pieces chosen: with other bars it says nothing.
 * @param {Piece[]} pieces
 * @param {Set<string>} chosen
 */
export const allows = (pieces, chosen) => chosen.has(BAR) || pieces.every(({ key }) => key !== BAR);

/** What a car is called: "Gannet, Maren"; "" where nobody said anything.
 * @param {{ car?: string | null, owner?: string | null }} car */
export const titleOf = ({ car, owner }) => [car, owner].filter(Boolean).join(", ");

/** The record of what was left. @param {Left} left @param {boolean} use @returns {Item} */
const knownItem = ({ car, known, visit, day }, use) => [
  "known",
  {
    use,
    job: known?.job ?? visit,
    at: day,
    car,
    ...(known?.posterior ? { posterior: known.posterior } : {}),
    ...(known?.learned ? { learned: known.learned } : {}),
  },
];

/** Who the car is, with an id that its visits have in common from now on. @param {Left} left */
const sameCar = ({ key, job }) => ({ ...job, ...(job.car_id ? {} : { car_id: key }) });

/**
 * The entries of a new job for a car that was here.
 * @param {Left} left
 * @param {Set<string>} chosen keys of pieces
 * @param {string} wish the customer's request, or ""
 * @returns {Item[]}
 */
export function beginWith(left, chosen, wish) {
  const sizes = piecesOf(left)
    .filter(({ key }) => chosen.has(key))
    .flatMap(({ paths }) => paths.map((path) => body(path, at(left.car, path))))
    .reduce(merged, {});
  return [
    ["job", { title: titleOf(left.job), ...sameCar(left), ...(wish ? { wish } : {}) }],
    ...(Object.keys(sizes).length ? [/** @type {Item} */ (["car", sizes])] : []),
    knownItem(left, chosen.has(LEARNED)),
  ];
}

/**
 * The entries that make a job use these pieces and no other; none where nothing changes.
 * @param {Left} left
 * @param {Set<string>} chosen
 * @param {Pick<Sheet, "about" | "car" | "known">} sheet
 * @param {boolean} fresh whether they were offered for the first time
 * @returns {Item[]}
 */
export function changesTo(left, chosen, sheet, fresh) {
  const patches = piecesOf(left).flatMap(({ key, paths }) =>
    paths.flatMap((path) => {
      const [own, was] = [at(sheet.car, path), at(left.car, path)];
      if (chosen.has(key)) return own === was ? [] : [body(path, was)];
      return !fresh && own === was ? [body(path, null)] : [];
    }),
  );
  const card = patches.reduce(merged, {});
  const use = chosen.has(LEARNED);
  const known = fresh ? knownAfter(left, use, sheet) : use === learnedIn(sheet) ? [] : [["known", { use }]];
  const { about } = sheet;
  const said = Object.entries(sameCar(left)).filter(([name]) => !(/** @type {any} */ (about)[name]));
  // A job that nobody has named yet is called by its car.
  if (!about.car && left.job.car) said.push(["title", titleOf({ ...left.job, ...about, car: left.job.car })]);
  return /** @type {Item[]} */ ([
    ...(fresh && said.length ? [["job", Object.fromEntries(said)]] : []),
    ...(Object.keys(card).length ? [["car", card]] : []),
    ...known,
  ]);
}

/** What was left, in place of what another car had left in this job. */
function knownAfter(/** @type {Left} */ left, /** @type {boolean} */ use, /** @type {any} */ sheet) {
  const [kind, said] = knownItem(left, use);
  const gone = leaves(sheet.known.car)
    .filter((path) => at(left.car, path) === undefined)
    .map((path) => body(path, null))
    .reduce(merged, {});
  const none = { posterior: null, learned: null };
  return [[kind, { ...none, ...said, car: merged(gone, left.car) }]];
}

/**
 * What a job has of an earlier visit, as it was left; null where it began with nothing.
 * @param {Pick<Sheet, "about" | "known">} sheet
 * @returns {Left | null}
 */
export function leftIn({ about, known }) {
  if (!known.job) return null;
  const { car = {}, job, at: day = "" } = known;
  return { key: about.car_id ?? "", job: {}, car: car ?? {}, known, visit: job, day: day ?? "" };
}

/** "This car was here on 12 Mar 2026". @param {string} day */
export const wasHere = (day) => SAID.was(shortDate(day));

/** "2 visits" @param {{ visits: number }} line */
export const visitsOf = ({ visits }) => counted(visits, "{n} visit", "{n} visits");

/** "Gannet, Maren; 2 visits". @param {{ car: string, owner: string, visits: number }} line */
export const lineWords = (line) => `${titleOf(line)}; ${visitsOf(line)}`;

/**
 * "12 Mar 2026: 3 of 4 used"; "" where the job has nothing of an earlier visit.
 * @param {Pick<Sheet, "about" | "car" | "known">} sheet
 */
export function usedWords(sheet) {
  const left = leftIn(sheet);
  const pieces = left ? piecesOf(left) : [];
  if (!left || !pieces.length) return "";
  return SAID.used(
    left.day ? shortDate(left.day) : SAID.earlier,
    usedOf(pieces, left, sheet, false).size,
    pieces.length,
  );
}
