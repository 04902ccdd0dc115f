/* The front of the hand-over sheet, for the owner: the request and the target, what was done, how the car stands,
   what to do next, and where to sign. No trade words that an owner would have to look up; figures for the next mechanic
   are behind. */

import { h } from "../../parts/dom.js";
import { rearHeights } from "../../parts/rear-heights.js";
import { sprungOf } from "../../work/adjuster.js";
import { checksOf, LATER } from "../../work/checks.js";
import { shortDate } from "../../work/dates.js";
import { STANDING } from "../../work/safety.js";
import { STEPS } from "../../work/step-cautions.js";
import { titled } from "../../work/sentence.js";
import { thereWords } from "../../work/there-words.js";
import {
  begun,
  doneLines,
  crossLine,
  heightRows,
  levelWords,
  ofTheDay,
  recheckLine,
  settledStage,
  targetLine,
} from "../../work/pc/sheet-words.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { Letterhead } from "../../types/wire.d.ts" */
/** @import { Sheet, Stage } from "../../types/sheet.d.ts" */
/** @import { Dispute, Job } from "../../work/pc/sheet-words.js" */

/** @typedef {(text: string, own?: number) => string} Cut shortens a text, to `own` letters at most */

/** The checks as an owner reads them, by the names of close.js.
 * @type {Record<string, string>} */
const PLAIN = {
  "handover-locked": "Lock nuts and clamps tight",
  "handover-link": "Anti-roll bar joined again, without strain",
  "handover-pivots": "Rubbers of the pivots tightened at the final height",
  "handover-joints": "Drive joints, steering and stop rubbers free over the whole travel",
  "handover-torque": "Every bolt that was undone tightened as the car’s manual says",
  "handover-clearance": "Wheels, hoses and shock absorbers free over the whole travel",
  "handover-brakes": "Steering and brakes checked by someone qualified",
  "handover-regulator": "Brake-pressure regulator set for the new height",
  "handover-alignment": "Wheel alignment set",
  "handover-headlamps": "Headlamps aimed",
  "handover-rules": "Local rules on a changed ride height looked up",
  "handover-recheck": "Heights rechecked and bolts tightened again after some hundred kilometres",
};
/** Cautions for the owner: the springs, the road, the figures. */
const CAUTIONS = [...STEPS["owner-sheet"], ...STANDING.slice(-2)];
/** How many sentences about what is in dispute are printed. */
const DISPUTES = 4;
const SAID = {
  front: "Front, for the owner",
  noName: "Car without a name",
  owner: (/** @type {string} */ name) => `Owner: ${name}`,
  plate: (/** @type {string} */ plate) => `Plate: ${plate}`,
  chassis: (/** @type {string} */ chassis) => `Chassis: ${chassis}`,
  odometer: (/** @type {string} */ shown) => `Odometer: ${shown}`,
  job: (/** @type {number} */ number) => `Job ${number}`,
  handedOver: "Handed over",
  notYet: "Not handed over yet",
  asOf: (/** @type {string} */ day) => `as of ${day}`,
  request: "Your request",
  noRequest: "Nothing was written down.",
  done: "What was done",
  stands: "How it stands",
  target: "Target",
  asFound: "As found",
  now: "Now",
  hub: (/** @type {string} */ axle) => `Height of the body over the middle of the ${axle} wheels`,
  floor: (/** @type {string} */ axle) => `Height of the body over the ${axle} wheels, from the floor`,
  solid: "Heights to scale from behind. Solid: now. Dashed: as found. Hatched: target.",
  found: "Heights to scale from behind, as found. Hatched: target.",
  open: "Not resolved",
  openWhy: "Two records do not agree. This sheet does not choose between them; ask the workshop.",
  more: (/** @type {number} */ n) => `And ${n} more.`,
  next: "What comes next",
  notBegun: "The car has not been worked on. The checks before the road follow the work.",
  look: "If the car leans, knocks, scrapes or pulls to one side, stop driving it and have it looked at.",
  tickedOn: (/** @type {string} */ day) => ` (done, ${day})`,
  toDo: " (still to do)",
  safety: "Safety",
  signed: "For the workshop",
  received: "Received by the owner",
  recheck: "Recheck on",
  notes: "Notes",
  simulated: "Simulated season: this car, its owner and every figure are invented.",
};

/** @param {Job} job @param {Dispute} open */
function heights(job, open) {
  const { hub, rows } = heightRows(job, open);
  const moved = rows.some(({ now }) => now !== null);
  const heads = [SAID.target, SAID.asFound, ...(moved ? [SAID.now] : [])];
  return h(
    "table",
    { class: "sheet-heights" },
    h("caption", { text: (hub ? SAID.hub : SAID.floor)(sprungOf(job.sheet.car)) }),
    h(
      "thead",
      null,
      h(
        "tr",
        null,
        h("td"),
        heads.map((text) => h("th", { scope: "col", text })),
      ),
    ),
    h(
      "tbody",
      null,
      rows.map(({ side, target, found, now }) =>
        h(
          "tr",
          null,
          h("th", { scope: "row", text: titled(side) }),
          h("td", { text: target }),
          h("td", { text: found }),
          now === null ? null : h("td", null, h("strong", { text: now })),
        ),
      ),
    ),
  );
}

/** The rear of the car to scale between its gates, or null where no height can be drawn.
 * @param {Stage[]} stages @param {Dispute} open @param {boolean} front */
function figure(stages, open, front) {
  if (!stages.length) return null;
  const [first, last] = [settledStage(stages[0], open), settledStage(stages[stages.length - 1], open)];
  const twice = stages.length > 1;
  const art = rearHeights({ found: twice ? first : null, stage: last, body: true, front });
  return art
    ? h("figure", { class: "sheet-rear" }, art, h("figcaption", { text: twice ? SAID.solid : SAID.found }))
    : null;
}

/** @param {Sheet} sheet */
const checks = (sheet) =>
  h(
    "ul",
    { class: "sheet-checks" },
    [...checksOf(sheet), LATER].map(([name]) => {
      const row = sheet.steps.findLast(({ step }) => step === name);
      const is = row && row.done !== false;
      return h(
        "li",
        { class: is ? "is-done" : "is-open" },
        h("span", { class: "box", "aria-hidden": "true", text: is ? "☑" : "☐" }),
        h("span", null, PLAIN[name], h("strong", { text: is ? SAID.tickedOn(shortDate(row.at)) : SAID.toDo })),
      );
    }),
  );

/** @param {Dispute} open @param {Cut} cut */
const disputed = ({ lines }, cut) =>
  h(
    "div",
    { class: "disputed" },
    h("h3", { text: SAID.open }),
    h("p", { text: SAID.openWhy }),
    lines.slice(0, DISPUTES).map((text) => h("p", { text: cut(text, 300) })),
    lines.length > DISPUTES ? h("p", { text: SAID.more(lines.length - DISPUTES) }) : null,
  );

/** A line to write on. */
export const noteLine = () => h("div", { class: "sheet-line", "aria-hidden": "true" });

/** Where to sign, when to come again, and lines to write on: sheet-fit.js adds as many as the page has room for. */
const signing = () =>
  h(
    "div",
    { class: "sheet-sign" },
    h(
      "div",
      { class: "sheet-signs" },
      [SAID.signed, SAID.received, SAID.recheck].map((text) => h("p", { text })),
    ),
    h("div", { class: "sheet-lines" }, h("p", { text: SAID.notes }), noteLine(), noteLine()),
  );

/** What tells the car: owner, plate, chassis number, odometer, as far as they are known.
 * @param {Sheet} sheet @param {Cut} cut */
function carLines({ owner, about }, cut) {
  const beside = [
    about.plate ? SAID.plate(cut(about.plate, 40)) : "",
    about.chassis ? SAID.chassis(cut(about.chassis, 40)) : "",
    about.odometer ? SAID.odometer(cut(about.odometer, 40)) : "",
  ].filter(Boolean);
  return [
    owner ? h("p", { text: SAID.owner(cut(owner, 120)) }) : null,
    beside.length
      ? h(
          "p",
          { class: "sheet-car" },
          beside.map((text) => h("span", { text })),
        )
      : null,
  ];
}

/** @param {Letterhead} shop */
const shopLines = ({ name, address, phone }) => [
  name ? h("p", { class: "shop-name", text: name }) : null,
  address || phone
    ? h(
        "p",
        { class: "sheet-car" },
        [address, phone].filter(Boolean).map((text) => h("span", { text })),
      )
    : null,
];

/** @param {Sheet} sheet @param {Letterhead} shop @param {number | null} number @param {Cut} cut */
const header = (sheet, shop, number, cut) =>
  h(
    "header",
    { class: "sheet-head" },
    h(
      "div",
      null,
      shopLines(shop),
      h("h2", { text: cut(sheet.car_name || sheet.title || SAID.noName, 200) }),
      carLines(sheet, cut),
    ),
    h(
      "p",
      { class: "sheet-date" },
      number === null ? null : [h("strong", { class: "job-number", text: SAID.job(number) }), h("br")],
      h("strong", { text: sheet.closed ? SAID.handedOver : SAID.notYet }),
      h("br"),
      sheet.closed ? shortDate(sheet.closed.at) : SAID.asOf(shortDate(new Date().toISOString())),
    ),
  );

/**
 * The front.
 * @param {Job} all
 * @param {{ shop: Letterhead, number: number | null, open: Dispute, link: Child, cut: Cut }} what `shop` as its papers
 *   name it; `number` of the job there; `link` a block with the QR code, or null
 * @returns {HTMLElement}
 */
export function front(all, { shop, number, open, link, cut }) {
  const { sheet } = all;
  const stages = ofTheDay(all.stages);
  const there = thereWords(sheet);
  const request = [sheet.wish, targetLine(stages[0], sheet.target)].filter(Boolean);
  const said = (/** @type {string[]} */ texts) => texts.map((text) => h("p", { text: cut(text) }));
  return h(
    "section",
    { class: "sheet-front", "aria-label": SAID.front },
    header(sheet, shop, number, cut),
    h(
      "div",
      { class: "two" },
      h("div", null, h("h3", { text: SAID.request }), said(request.length ? request : [SAID.noRequest])),
      h(
        "div",
        null,
        h("h3", { text: SAID.done }),
        said([...doneLines(all, open), ...(sheet.closed?.text ? [sheet.closed.text] : [])]),
      ),
    ),
    h("h3", { text: SAID.stands }),
    h("p", {
      class: "level",
      text: [levelWords(all, open), crossLine(all.stages), recheckLine(all.stages)].filter(Boolean).join(" "),
    }),
    h("div", { class: "two stands" }, heights(all, open), figure(stages, open, sprungOf(sheet.car) === "front")),
    there ? h("p", { class: "there", text: there }) : null,
    open.lines.length ? disputed(open, cut) : null,
    h("h3", { text: SAID.next }),
    begun(sheet) ? checks(sheet) : h("p", { text: SAID.notBegun }),
    h("p", { text: SAID.look }),
    h("h3", { text: SAID.safety }),
    h(
      "ul",
      { class: "sheet-cautions" },
      CAUTIONS.map(({ word, text }) => h("li", null, h("strong", { text: `${word}. ` }), text)),
    ),
    link,
    signing(),
    h("p", { class: "sheet-mark", text: SAID.simulated }),
  );
}
