/* Rows of the back of the hand-over sheet, for the next mechanic: what was turned at each teardown, what was predicted
   and what came; what lifting takes; bars and arms as entered; who entered what and when. Words; draws nothing. */

import { adjusterOf, adjustsAlone, turnWords, turnsNothing } from "../adjuster.js";
import { shortDate } from "../dates.js";
import { liftWords } from "../lift.js";
import { NINETY, inHundred, plain, short, spread, teeth } from "../numbers.js";
import { afterStage, stageName as stageOf } from "../promise.js";
import { SIDES, titleOf, valueOf } from "../readings.js";
import { titled } from "../sentence.js";
import { inches, onPaper, spreadOnPaper } from "../units.js";
import { aimWords, withinWords } from "../wish.js";

/** @import { Entry } from "../../types/log.d.ts" */
/** @import { ReadingRow, Sheet, Side, Sides, Stage } from "../../types/sheet.d.ts" */
/** @import { Dispute, Job } from "./sheet-words.js" */

const ENDS = /** @type {const} */ (["inner", "outer"]);
/** Readings of one kind that are named at once. */
const NAMED = 6;
const NONE = "–";
const SAID = {
  disputed: "in dispute",
  km: (/** @type {string} */ km) => `After ${km} km`,
  found: "As found",
  entered: (/** @type {string} */ stage, /** @type {string} */ when) => `${stage}, ${when}`,
  notEntered: "not entered",
  noPlan: "no plan kept",
  other: (/** @type {string} */ chance) => `${chance}, turned otherwise`,
  otherTurned: (/** @type {string} */ n) => `${n}, turned otherwise`,
  within: "within",
  off: "off",
  slack: "slack",
  notRead: "height not read",
  stands: (/** @type {string} */ side, /** @type {string} */ height, /** @type {string} */ load) =>
    `${side} ${height}, carries ${load}`,
  lean: (/** @type {string} */ lean) => `; lean ${lean}`,
  target: (/** @type {string} */ aim, /** @type {string} */ within) => ` Target: ${aim}each ${within}.`,
  thick: (/** @type {string} */ mm) => `${mm} mm thick`,
  bore: (/** @type {string} */ mm) => `bore ${mm} mm`,
  long: (/** @type {string} */ mm) => `${mm} mm long`,
  inner: (/** @type {number} */ n) => `inner ${n}`,
  outer: (/** @type {number} */ n) => `outer ${n}`,
  axle: (/** @type {string} */ axle) => `${axle} axle`,
  bump: (/** @type {string} */ mm) => `${mm} mm to bump`,
  droop: (/** @type {string} */ mm) => `${mm} mm to droop`,
  wrote: (/** @type {string} */ day, /** @type {string} */ hours, /** @type {string} */ who) =>
    `${day}, ${hours}, ${who}`,
  hours: (/** @type {string} */ from, /** @type {string} */ to) => `${from} to ${to}`,
  more: (/** @type {number} */ n) => ` and ${n} more`,
};
const HEAD = {
  step: "Work step",
  teeth: ["Left teeth", "Right teeth"],
  turned: ["Left turned", "Right turned"],
  angles: ["Hanging angle", "Riding angle"],
  plan: ["Predicted", "Chance"],
  came: ["Measured", "Lean", "Verdict"],
};
/** @type {Record<string, string>} */
const KINDS = {
  car: "car",
  close: "hand-over",
  job: "job’s card",
  known: "known before",
  move: "teeth turned",
  note: "note",
  photo: "photo",
  plan: "plan",
  reading: "reading",
  settle: "conflict resolved",
  step: "step",
  strike: "removal",
  target: "target",
};

const degrees = (/** @type {number | null} */ value) => (value === null ? NONE : `${plain(value, 1)}°`);
const pair = (/** @type {(side: Side) => string} */ of) => SIDES.map(of).join(" / ");
/** Heights of the table: millimetres, in inches as well where those are used. */
const mm = (/** @type {number | null} */ value) =>
  value === null ? NONE : inches() ? onPaper(value, 1) : plain(value, 1);

/** @param {number | null} value @param {number | null} sd */
function predicted(value, sd) {
  if (value === null) return NONE;
  const estimate = { value, sd: sd ?? 0 };
  return inches() ? spreadOnPaper(estimate) : `${plain(value, 0)} ± ${plain(NINETY * estimate.sd, 0)}`;
}

/** "3 up, 4 down": teeth at the inner and the outer end, arm down positive; "raise 2 1/4 turns" of an adjuster, after
 * the teeth where both were turned.
 * @param {import("../sheet.js").Turned | null | undefined} side
 * @param {{ kind?: import("../adjuster.js").Adjusts, alone: boolean }} how `alone`: no tooth was turned on either side
 */
function turned(side, { kind, alone }) {
  const ends = ENDS.map((end) => {
    const count = side?.[end];
    return count ? teeth(count).replace(/ (tooth|teeth) arm/, "") : "0";
  }).join(", ");
  if (alone) return turnWords(side?.turns ?? 0, kind);
  return side?.turns ? `${ends}; ${turnWords(side.turns, kind)}` : ends;
}

/** What was turned on both sides, as cells.
 * @param {Sheet} sheet @param {Stage} stage @param {Dispute} open */
function turnedCells(sheet, { teardown, after_km: km }, open) {
  if (!teardown || km !== null) return SIDES.map(() => "");
  const move = sheet.moves.find((each) => each.teardown === teardown);
  const how = { kind: adjusterOf(sheet.car)?.kind, alone: Boolean(move) && adjustsAlone(move) };
  return SIDES.map((side) => (open.moves.has(teardown) ? SAID.disputed : move ? turned(move[side], how) : NONE));
}

/** What was predicted, as cells. @param {Stage} stage */
function planCells({ teardown, after_km: km, promised, followed }) {
  if (!promised) return [teardown && km === null ? SAID.noPlan : "", ""];
  const chance = inHundred(promised.odds);
  return [
    pair((side) => predicted(promised[`${side}_mm`], promised[`${side}_sd_mm`])),
    followed === false ? SAID.other(chance) : chance,
  ];
}

/** What came of it, as cells. @param {Stage} stage @param {Dispute} open */
function cameCells(stage, open) {
  const { teardown, after_km: km, reached, hit, still_within: still } = stage;
  const disputed = (/** @type {Side} */ side) => open.readings.has(`body-height ${teardown} ${side}`);
  const any = SIDES.some(disputed);
  const met = km === null ? hit : still;
  const verdict = met === null ? NONE : met ? SAID.within : SAID.off;
  return [
    pair((side) => (disputed(side) ? SAID.disputed : mm(reached[`${side}_mm`]))),
    any ? SAID.disputed : mm(reached.lean_mm),
    teardown || km !== null ? (any ? SAID.disputed : verdict) : "",
  ];
}

/** @param {Sheet} sheet @param {Stage} stage */
function stageName(sheet, { teardown, after_km: km }) {
  if (km !== null) return SAID.km(plain(km, 0));
  if (!teardown) return SAID.found;
  const move = sheet.moves.find((each) => each.teardown === teardown);
  return SAID.entered(titled(stageOf(sheet, teardown)), move ? shortDate(move.at) : SAID.notEntered);
}

/**
 * The table of the work: a row a stage. What was predicted has columns only where there was a plan,
 * what was turned only where something was.
 * @param {Job} job
 * @param {Dispute} open
 * @returns {{ head: string[], rows: string[][], planned: boolean }}
 */
export function workTable({ sheet, stages }, open) {
  const planned = stages.some(({ promised }) => promised);
  // Before anything was turned there are no teeth, and nothing that could be within.
  const moved = stages.some(({ teardown, after_km: km }) => teardown > 0 || km !== null);
  const angles = (
    /** @type {Stage} */ { teardown },
    /** @type {string} */ what,
    /** @type {Sides<number | null>} */ of,
  ) => pair((side) => (open.readings.has(`${what} ${teardown} ${side}`) ? SAID.disputed : degrees(of[side])));
  return {
    planned,
    head: [
      HEAD.step,
      ...(moved ? (adjusterOf(sheet.car) ? HEAD.turned : HEAD.teeth) : []),
      ...HEAD.angles,
      ...(planned ? HEAD.plan : []),
      ...(moved ? HEAD.came : HEAD.came.slice(0, -1)),
    ],
    rows: stages.map((stage) => [
      stageName(sheet, stage),
      ...(moved ? turnedCells(sheet, stage, open) : []),
      angles(stage, "hanging-angle", stage.hanging_deg),
      angles(stage, "riding-angle", stage.riding_deg),
      ...(planned ? planCells(stage) : []),
      ...(moved ? cameCells(stage, open) : cameCells(stage, open).slice(0, -1)),
    ]),
  };
}

/** What it took to let each arm down and to lift it onto its stop, by the plan each teardown was done by.
 * @param {Job} job @returns {string[][]} */
export function liftRows({ sheet, stages }) {
  const figure = (/** @type {any} */ lift) => {
    if (!lift) return NONE;
    const words = liftWords(lift);
    return words ? `${words.torque.replace(" at the bar", "")}, ${words.force}, ${words.energy}` : SAID.slack;
  };
  return stages.flatMap(({ teardown, plan: id, followed }) => {
    const plan = teardown && id ? sheet.plans.find((each) => each.id === id) : null;
    if (!plan || !SIDES.some((side) => plan[side]?.lift)) return [];
    const name =
      followed === false ? SAID.otherTurned(titled(stageOf(sheet, teardown))) : titled(stageOf(sheet, teardown));
    return [[name, ...SIDES.map((side) => figure(plan[side]?.lift))]];
  });
}

/** How the car stands by all readings, and the target, in a sentence.
 * @param {any} answer @param {any} target */
export function standsWords(answer, target) {
  const leave = answer.options.find(turnsNothing);
  const heightOf = (/** @type {Side} */ side) => answer.now[side].body_height_mm;
  const sides = SIDES.map((side) => {
    const height = heightOf(side) ? spreadOnPaper(heightOf(side), 1) : SAID.notRead;
    return SAID.stands(side, height, spread(answer.now[side].load_kg, "kg"));
  }).join("; ");
  const lean = leave && SIDES.every(heightOf) ? SAID.lean(spreadOnPaper(leave.lean_mm, 1)) : "";
  const aim = target.as && target.as !== "heights" ? aimWords(target) : "";
  return `${sides}${lean}.${SAID.target(aim ? `${aim}, ` : "", withinWords(target))}`;
}

/** Bars and arms as entered, by names; those nobody entered are left out.
 * @param {any} car @returns {[name: string, text: string][]} */
export function barRows({ bar, limits, arm_mm: arm, axle }) {
  const figure = (/** @type {unknown} */ value, /** @type {(text: string) => string} */ words) =>
    typeof value === "number" ? words(short(value)) : "";
  const teethOf = (/** @type {unknown} */ value, /** @type {(n: number) => string} */ words) =>
    typeof value === "number" ? words(value) : "";
  /** @type {[string, string[]][]} */
  const rows = [
    [
      "Bar",
      [
        figure(bar?.diameter_mm, SAID.thick),
        bar?.bore_mm ? figure(bar.bore_mm, SAID.bore) : "",
        figure(bar?.length_mm, SAID.long),
      ],
    ],
    ["Teeth", [teethOf(bar?.inner_teeth, SAID.inner), teethOf(bar?.outer_teeth, SAID.outer)]],
    ["Arm", [figure(arm, (text) => `${text} mm`), axle ? SAID.axle(axle) : ""]],
    ["Stop", [typeof limits?.stop_deg === "number" ? `${plain(limits.stop_deg, 1)}°` : ""]],
    ["Travel as taken in", [figure(limits?.bump_mm, SAID.bump), figure(limits?.droop_mm, SAID.droop)]],
    ["Permissible stress", [figure(limits?.permissible_stress_mpa, (text) => `${text} MPa`)]],
  ];
  return rows.flatMap(([name, parts]) => {
    const text = parts.filter(Boolean).join(", ");
    return text ? [/** @type {[string, string]} */ ([name, text])] : [];
  });
}

/** One line for each device and day: "25 Nov 2026, 10:00 to 11:20, this device: reading × 6, plan × 2".
 * @param {Entry[]} entries @param {(by: { device: string, writer?: string | null }) => string} nameOf
 * @returns {string[]} */
export function writtenLines(entries, nameOf) {
  /** @type {Map<string, { at: string, name: string, from: string, to: string, counts: Map<string, number> }>} */
  const groups = new Map();
  for (const entry of [...entries].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    const { at, kind } = entry;
    const name = nameOf(entry);
    const key = `${at.slice(0, 10)} ${name}`;
    const time = at.slice(11, 16);
    const group = groups.get(key) ?? { at, name, from: time, to: "", counts: new Map() };
    groups.set(key, group);
    group.to = time;
    group.counts.set(kind, (group.counts.get(kind) ?? 0) + 1);
  }
  return [...groups.values()].map(({ at, name, from, to, counts }) => {
    const kinds = [...counts].map(([kind, n]) => (n > 1 ? `${KINDS[kind] ?? kind} × ${n}` : (KINDS[kind] ?? kind)));
    const hours = to === from ? from : SAID.hours(from, to);
    return `${SAID.wrote(shortDate(at), hours, name)}: ${kinds.join(", ")}`;
  });
}

/** Rows in groups by a key, in order.
 * @template R, K @param {R[]} rows @param {(row: R) => K} key @returns {[K, R[]][]} */
function grouped(rows, key) {
  /** @type {Map<K, R[]>} */
  const groups = new Map();
  for (const row of rows) groups.set(key(row), [...(groups.get(key(row)) ?? []), row]);
  return [...groups];
}

/** Tests that were read beside the plain readings: "after teardown 1 ride height L 214 mm; ...", or "".
 * @param {Sheet} sheet */
export function otherWords(sheet) {
  const { readings } = sheet;
  const list = readings.filter(
    ({ what, pose }) => what === "hub-to-body" || what === "wheel-load" || (pose && Object.values(pose).some(Boolean)),
  );
  const named = (/** @type {ReadingRow[]} */ rows) =>
    rows
      .slice(0, NAMED)
      .map((row) => `${row.side[0].toUpperCase()} ${valueOf(row)}`)
      .join(", ") + (rows.length > NAMED ? SAID.more(rows.length - NAMED) : "");
  return grouped(list, ({ teardown }) => teardown ?? 0)
    .map(([teardown, rows]) => {
      // A wheel of the other axle has its axle beside it.
      const title = (/** @type {ReadingRow} */ { what, axle }) => titleOf({ what, axle }).toLowerCase();
      const kinds = grouped(rows, title).map(([name, some]) => `${name} ${named(some)}`);
      return `${afterStage(sheet, teardown)} ${kinds.join("; ")}`;
    })
    .join(". ");
}
