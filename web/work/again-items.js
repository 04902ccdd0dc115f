/* The records by which a job takes up what earlier visits of its car left, or refuses it. Draws nothing. */

import { LEARNED, learnedIn, leaves, piecesOf, titleOf } from "./again.js";
import { merged } from "./next-job.js";
import { at, body } from "./sheet.js";

/** @import { Left } from "./again.js" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */

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
