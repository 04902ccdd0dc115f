/* The back of the hand-over sheet, for the next mechanic: what was turned, what was predicted and what came, what
   lifting takes, the car's constants, its bars, who entered what and when. */

import { dataTable } from "../../parts/data-table.js";
import { h } from "../../parts/dom.js";
import { titleOf } from "../../work/again.js";
import { shortDate } from "../../work/dates.js";
import { erasedWords } from "../../work/erased-words.js";
import { NINETY, plain } from "../../work/numbers.js";
import { barRows, liftRows, otherWords, standsWords, workTable, writtenLines } from "../../work/pc/sheet-rows.js";
import { STANDING } from "../../work/safety.js";
import { photoBlock } from "./sheet-photos.js";
import { writerWords, writtenBy } from "../../work/writer.js";
import { estimateOnPaper, inches, spans, spreadOnPaper, stiffnesses, turningRates } from "../../work/units.js";

/** @import { Entry } from "../../types/log.d.ts" */
/** @import { Sheet } from "../../types/sheet.d.ts" */
/** @import { Dispute, Job } from "../../work/pc/sheet-words.js" */
/** @import { Cut } from "./sheet-front.js" */
/** @import { Pictured } from "./sheet-photos.js" */

/** @typedef {{ value: number, sd: number }} Estimate */

/** @type {[name: string, label: string, words: (value: Estimate) => string][]} */
const CONSTANTS = [
  ["bar_nm_per_deg", "Bar", (v) => estimateOnPaper(v, turningRates(), 1)],
  ["arm_mm", "Arm", (v) => spreadOnPaper(v)],
  ["mm_per_deg", "Height per degree", (v) => estimateOnPaper(v, spans(), 2)],
  ["roll_support_n_per_mm", "Roll stiffness, rest of car", (v) => estimateOnPaper(v, stiffnesses(), 1)],
  [
    "bush_ratio",
    "Bush, part of the bar’s rate",
    (v) => `${plain(100 * v.value, 1)} ± ${plain(100 * NINETY * v.sd, 1)} %`,
  ],
  ["tyre_n_per_mm", "Tyre", (v) => estimateOnPaper(v, stiffnesses(), 0)],
];
const SAID = {
  back: "Back, for the next mechanic",
  head: (/** @type {string} */ car) => `For the next mechanic: ${car}`,
  noName: "car without a name",
  job: (/** @type {string} */ id) => `Job …${id}`,
  numbered: (/** @type {number} */ number, /** @type {string} */ id) => `Job ${number} (…${id})`,
  none: "Nothing turned was entered.",
  work: "Work done",
  unplanned: "No plan was kept: nothing was predicted.",
  how: (/** @type {string} */ unit) =>
    "Teeth as inner, outer; down is arm down and raises the car. Turns are those of the adjuster. Angles against the " +
    `body, wheel below the bar positive. Heights in ${unit}, ± holds 90 in 100. Left / right.`,
  both: "inches and mm",
  mm: "mm",
  lifting: "Lifting the arm onto its stop by the plan: torque at the bar, force at the wheel end, energy stored",
  liftHead: ["Work step", "Left", "Right"],
  noLift: "Lift figures: no plan kept that has them.",
  stands: "As it stands, by all readings: ",
  learned: "Learned about this car",
  learnedHead: ["Constant", "Learned, ± holds 90 in 100"],
  notLearned: (/** @type {string} */ why) => `Learned about this car: ${why}`,
  bars: "Bars and arms as entered",
  barsHead: ["Part", "Figure"],
  noBars: "No bars were entered.",
  also: "Also read: ",
  notes: "Notes",
  written: "Who entered what, and when",
  inLog: (/** @type {number} */ n) => `And ${n} more, in the job’s log.`,
  more: (/** @type {number} */ n) => `And ${n} more.`,
  simulated: "Simulated season: this car, its owner and every figure are invented.",
};

/** @param {Job} all @param {Dispute} open */
function work(all, open) {
  const { head, rows, planned } = workTable(all, open);
  return h(
    "div",
    { class: "work-done" },
    h("h3", { text: SAID.work }),
    h("p", { text: SAID.how(inches() ? SAID.both : SAID.mm) }),
    all.sheet.moves.length && !planned ? h("p", { text: SAID.unplanned }) : null,
    dataTable({ label: SAID.work, head, rows }),
  );
}

/** @param {Job} all */
function lifts(all) {
  const rows = liftRows(all);
  return rows.length ? dataTable({ caption: SAID.lifting, head: SAID.liftHead, rows }) : h("p", { text: SAID.noLift });
}

/** @param {any} learned @param {string} why */
function constants(learned, why) {
  const rows = CONSTANTS.filter(([name]) => learned?.[name]).map(([name, label, words]) => [
    label,
    words(learned[name]),
  ]);
  return rows.length
    ? dataTable({ caption: SAID.learned, head: SAID.learnedHead, rows })
    : h("p", { text: SAID.notLearned(why) });
}

/** @param {any} car */
function bars(car) {
  const rows = barRows(car);
  return rows.length ? dataTable({ caption: SAID.bars, head: SAID.barsHead, rows }) : h("p", { text: SAID.noBars });
}

/** A list under a heading that says how many lines it leaves out; null for none.
 * @param {string} heading @param {string[]} lines @param {number} most */
function shortened(heading, lines, most) {
  if (!lines.length) return null;
  const left = lines.length - most;
  return h(
    "div",
    null,
    h("h3", { text: heading }),
    h(
      "ul",
      null,
      lines.slice(0, most).map((text) => h("li", { text })),
      left > 0 ? h("li", { text: SAID.inLog(left) }) : null,
    ),
  );
}

/** @param {Dispute} open @param {number} most @param {Cut} cut */
const disputed = ({ lines }, most, cut) =>
  h(
    "div",
    { class: "disputed" },
    lines.slice(0, most).map((text) => h("p", { text: cut(text, 240) })),
    lines.length > most ? h("p", { text: SAID.more(lines.length - most) }) : null,
  );

/** @param {Sheet} sheet @param {number | null} number */
const called = ({ job }, number) =>
  number === null ? SAID.job(job.slice(-12)) : SAID.numbered(number, job.slice(-12));

/**
 * The back. `answer` is the solver's or null and `why` says why not; `most` how many lines of each list.
 * @param {Job & { entries: Entry[] }} all
 * @param {{ answer: any, learned: any, why: string, open: Dispute, nameOf: (device: string) => string,
 *   number: number | null, photos: Pictured[], most: number, cut: Cut }} what
 * @returns {HTMLElement}
 */
export function back(all, { answer, learned, why, open, nameOf, number, photos, most, cut }) {
  const { sheet } = all;
  const others = otherWords(sheet);
  // One whose words were erased says nothing.
  const said = sheet.notes.filter(({ text }) => text);
  const notes = said.map(
    (note) => `${shortDate(note.at)}, ${writerWords(note, nameOf)}: ${cut(note.text ?? "", most > 6 ? 400 : 160)}`,
  );
  const name = titleOf({ car: sheet.car_name || sheet.title || SAID.noName, owner: sheet.owner });
  const stands = answer ? standsWords(answer, sheet.target) : "";
  return h(
    "section",
    { class: "sheet-back", "aria-label": SAID.back },
    h(
      "header",
      { class: "sheet-head" },
      h("h2", { text: SAID.head(cut(name, 160)) }),
      h("p", { class: "sheet-date", text: called(sheet, number) }),
    ),
    sheet.erased ? h("p", { text: `${erasedWords(sheet)}.` }) : null,
    sheet.moves.length ? null : h("p", { text: SAID.none }),
    work(all, open),
    stands ? h("p", null, h("strong", { text: SAID.stands }), stands) : null,
    open.lines.length ? disputed(open, most, cut) : null,
    photoBlock(photos),
    lifts(all),
    h("div", { class: "two" }, h("div", null, constants(learned, why)), h("div", null, bars(sheet.car))),
    others ? h("p", null, h("strong", { text: SAID.also }), others, ".") : null,
    shortened(SAID.notes, notes, most),
    shortened(
      SAID.written,
      writtenLines(all.entries, (entry) => writerWords(writtenBy(entry, all.sheet), nameOf)),
      most,
    ),
    h(
      "ul",
      { class: "sheet-cautions" },
      STANDING.map(({ word, text }) => h("li", null, h("strong", { text: `${word}. ` }), text)),
    ),
    h("p", { class: "sheet-mark", text: SAID.simulated }),
  );
}
