/* The front of the hand-over sheet, for the owner: the request and the target, what was done, how the car stands,
   what to do next. No trade words that an owner would have to look up; figures for the next mechanic are behind. */

import { tolerant } from "../../work/sheet.js";
import { plain } from "../../work/numbers.js";
import { h } from "../../parts/dom.js";
import { onPaper } from "../../work/units.js";
import { shortDate } from "../../work/dates.js";
import { SIDES } from "../../work/readings.js";
import { aimWords, formOf, markOf, withinWords } from "../../work/wish.js";
import { rearHeights } from "../../parts/rear-heights.js";
import { STANDING, STEPS } from "../../work/safety.js";
import { CHECKS } from "../../work/checks.js";

/** The checks as an owner reads them, by the names of close.js. */
const PLAIN = {
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
const LOOK = "If the car leans, knocks, scrapes or pulls to one side, stop driving it and have it looked at.";

const SOLID = "Heights to scale from behind. Solid: now. Dashed: as found. Hatched: target.";
const FOUND = "Heights to scale from behind, as found. Hatched: target.";
const TIMES = ["", "once", "twice"];
const times = (n) => TIMES[n] ?? `${n} times`;
const cap = (text) => text.replace(/^./, (c) => c.toUpperCase());

/** The stages of hand-over day: what is read when the car comes back is a matter of its own. */
const ofTheDay = (stages) => stages.filter(({ after_km: km }) => (km ?? null) === null);

/** A stage's heights with what is in dispute left out: {left_mm, right_mm}. */
const settledHeights = (stage, open) =>
  stage
    ? Object.fromEntries(
        SIDES.map((side) => [
          `${side}_mm`,
          open.heights.has(`${stage.teardown} ${side}`) ? null : stage.reached[`${side}_mm`],
        ]),
      )
    : null;

/** A stage of which the drawing shows nothing that is in dispute; null for none. */
const settledStage = (stage, open) =>
  stage ? { ...stage, reached: settledHeights(stage, open), target: { ...stage.target } } : null;

/** What was read of a side by the mark that the target is of, [mm], or null. */
const readOf = (stage, side, target) =>
  (markOf(target) === "hub-to-body" ? stage.hub_mm[side] : stage.reached[`${side}_mm`]) ?? null;

/** How often each side was taken apart: {left, right, any}; what is in dispute counts on neither side. */
function apart(sheet, open) {
  const moved = (side) =>
    sheet.moves.filter(
      (move) => !open.moves.has(move.teardown) && ((move[side]?.inner ?? 0) !== 0 || (move[side]?.outer ?? 0) !== 0),
    ).length;
  return { left: moved("left"), right: moved("right") };
}

function done({ sheet, stages: all }, open) {
  const stages = ofTheDay(all);
  if (!sheet.moves.length) return ["Nothing was taken apart. The car was measured."];
  const { left, right } = apart(sheet, open);
  const which = left && right ? "on both sides" : left ? "on the left side" : right ? "on the right side" : "";
  const lines = [
    `Rear springs adjusted ${times(sheet.moves.length)}${which ? `, ${which}` : ""}. That sets the height of this car.`,
  ];
  const [first, last] = [settledHeights(stages[0], open), settledHeights(stages.at(-1), open)];
  if (stages.length > 1) {
    const change = SIDES.map((side) => {
      const [from, to] = [first?.[`${side}_mm`], last?.[`${side}_mm`]];
      if (from == null || to == null) return "";
      const mm = Math.round(to - from);
      return `the ${side} side now stands ${mm === 0 ? "as high as before" : `${onPaper(Math.abs(mm))} ${mm > 0 ? "higher" : "lower"}`}`;
    }).filter(Boolean);
    if (change.length) lines.push(`${cap(change.join(", "))}.`);
  }
  const unplanned = stages
    .filter(({ teardown, promised }) => teardown > 0 && !promised)
    .map(({ teardown }) => teardown);
  if (unplanned.length)
    lines.push(
      `${unplanned.length === sheet.moves.length ? "No plan was kept of this work" : `Of work step ${unplanned.join(", ")} no plan was kept`}: what was done is on record, what was predicted is not.`,
    );
  return lines;
}

function heights({ sheet, stages: all }, open) {
  const stages = ofTheDay(all);
  const first = stages[0];
  const last = stages.at(-1);
  const cell = (stage, side) =>
    open.heights.has(`${stage.teardown} ${side}`)
      ? "in dispute"
      : readOf(stage, side, target) === null
        ? "not measured"
        : onPaper(readOf(stage, side, target));
  const target = { ...first?.target, ...sheet.target };
  const aimed = (side) => (typeof target[`${side}_mm`] === "number" ? onPaper(target[`${side}_mm`]) : "not said");
  const moved = last && last.teardown > 0;
  return h(
    "table",
    { class: "sheet-heights" },
    h("caption", {
      text:
        markOf(target) === "hub-to-body"
          ? "Height of the body over the middle of the rear wheels"
          : "Height of the body over the rear wheels, from the floor",
    }),
    h(
      "thead",
      null,
      h(
        "tr",
        null,
        h("td"),
        ["Target", "As found", ...(moved ? ["Now"] : [])].map((text) => h("th", { scope: "col", text })),
      ),
    ),
    h(
      "tbody",
      null,
      SIDES.map((side) =>
        h(
          "tr",
          null,
          h("th", { scope: "row", text: cap(side) }),
          h("td", { text: aimed(side) }),
          h("td", { text: first ? cell(first, side) : "not measured" }),
          moved ? h("td", null, h("strong", { text: cell(last, side) })) : null,
        ),
      ),
    ),
  );
}

/** Whether it is level and on target, in a sentence. */
function level({ sheet, stages }, open) {
  const last = ofTheDay(stages).at(-1);
  if (!last) return "Heights have not been measured yet.";
  if (SIDES.some((side) => open.heights.has(`${last.teardown} ${side}`)))
    return "Whether the car is level is in dispute: see below.";
  if (formOf(last.target) === "hanging-angle")
    return last.hit == null
      ? "Whether the arms are on target has not been measured since the last work."
      : last.hit
        ? "On target: both arms are within what was set."
        : "Off target: an arm is further off than was set.";
  const [left, right] = SIDES.map((side) => readOf(last, side, sheet.target));
  if (left == null || right == null)
    return "Both heights have not been measured since the last work, so whether it is level is not known.";
  const {
    left_mm: wantLeft,
    right_mm: wantRight,
    tolerance_mm: off,
    lean_mm: lean,
  } = tolerant({ ...sheet.target, ...last.target });
  const leans = Math.round(left - right);
  const agreed = typeof wantLeft === "number" && typeof wantRight === "number";
  const apartBy = agreed ? left - wantLeft - (right - wantRight) : left - right;
  const how =
    leans === 0
      ? "both sides are equally high"
      : `the ${leans > 0 ? "left" : "right"} side is ${onPaper(Math.abs(leans))} higher`;
  const isLevel = Math.abs(apartBy) <= lean + 1e-6;
  const words = `${isLevel ? "Level" : "Not level"}: ${how}; target: within ${onPaper(lean)}.`;
  if (!agreed) return words;
  const near = Math.abs(left - wantLeft) <= off + 1e-6 && Math.abs(right - wantRight) <= off + 1e-6;
  return `${words} ${near ? `On target: both heights are within ${onPaper(off)}.` : `Off target: a height is more than ${onPaper(off)} off.`}`;
}

function checks(sheet) {
  const ticked = (name) => sheet.steps.findLast(({ step }) => step === name);
  return h(
    "ul",
    { class: "sheet-checks" },
    CHECKS.map(([name]) => {
      const row = ticked(name);
      const is = row && row.done !== false;
      return h(
        "li",
        { class: is ? "is-done" : "is-open" },
        h("span", { class: "box", "aria-hidden": "true", text: is ? "☑" : "☐" }),
        h("span", null, PLAIN[name], h("strong", { text: is ? ` (done, ${shortDate(row.at)})` : " (still to do)" })),
      );
    }),
  );
}

/** The target in a sentence, or "". */
function aimOf(first, target) {
  const aim = aimWords({ ...first?.target, ...target });
  return aim ? `Target: ${aim}, each ${withinWords(target).replace(/;.*/, "")}.` : "";
}

/** How far it has settled since hand-over, in a sentence, or "". */
function settled(stages) {
  const last = stages.findLast(({ after_km: km }) => (km ?? null) !== null);
  const sides = SIDES.filter((side) => last?.settled?.[`${side}_mm`] != null).map((side) => {
    const mm = Math.round(last.settled[`${side}_mm`]);
    const by = `${onPaper(Math.abs(mm))} ${mm > 0 ? "higher" : "lower"}`;
    return `the ${side} side ${mm === 0 ? "as on that day" : by}`;
  });
  return sides.length ? `Rechecked after ${plain(last.after_km, 0)} km: ${sides.join(", ")}.` : "";
}

/** The rear of the car to scale, or null where no height can be drawn. */
function figure(stages, open) {
  const [first, last] = [settledStage(stages[0], open), settledStage(stages.at(-1), open)];
  const twice = stages.length > 1;
  const art = last ? rearHeights({ found: twice ? first : null, stage: last }) : null;
  return art ? h("figure", { class: "sheet-rear" }, art, h("figcaption", { text: twice ? SOLID : FOUND })) : null;
}

/**
 * The front. `shop` is the shop's name or ""; `link` {node} a block with the picture code, or null; `cut(text)`
 * shortens.
 */
export function front(all, { shop, open, link, cut }) {
  const { sheet } = all;
  const stages = ofTheDay(all.stages);
  const closed = sheet.closed;
  const request = [sheet.wish, aimOf(stages[0], sheet.target)].filter(Boolean);
  return h(
    "section",
    { class: "sheet-front", "aria-label": "Front, for the owner" },
    h(
      "header",
      { class: "sheet-head" },
      h(
        "div",
        null,
        shop ? h("p", { class: "shop-name", text: shop }) : null,
        h("h2", { text: cut(sheet.car_name || sheet.title || "Car without a name", 200) }),
        sheet.owner ? h("p", { text: `Owner: ${cut(sheet.owner, 120)}` }) : null,
      ),
      h(
        "p",
        { class: "sheet-date" },
        h("strong", { text: closed ? "Handed over" : "Not handed over yet" }),
        h("br"),
        closed ? shortDate(closed.at) : `as of ${shortDate(new Date())}`,
      ),
    ),
    h(
      "div",
      { class: "two" },
      h(
        "div",
        null,
        h("h3", { text: "Your request" }),
        request.length
          ? request.map((text) => h("p", { text: cut(text) }))
          : h("p", { text: "Nothing was written down." }),
      ),
      h(
        "div",
        null,
        h("h3", { text: "What was done" }),
        done(all, open).map((text) => h("p", { text })),
        closed?.text ? h("p", { text: cut(closed.text) }) : null,
      ),
    ),
    h("h3", { text: "How it stands" }),
    h("p", { class: "level", text: [level(all, open), settled(all.stages)].filter(Boolean).join(" ") }),
    h("div", { class: "two stands" }, heights(all, open), figure(stages, open)),
    open.lines.length
      ? h(
          "div",
          { class: "disputed" },
          h("h3", { text: "Not resolved" }),
          h("p", { text: "Two records do not agree. This sheet does not choose between them; ask the workshop." }),
          open.lines.slice(0, 4).map((text) => h("p", { text: cut(text, 300) })),
          open.lines.length > 4 ? h("p", { text: `And ${open.lines.length - 4} more.` }) : null,
        )
      : null,
    h("h3", { text: "What comes next" }),
    checks(sheet),
    h("p", { text: LOOK }),
    h("h3", { text: "Safety" }),
    h(
      "ul",
      { class: "sheet-cautions" },
      CAUTIONS.map(({ word, text }) => h("li", null, h("strong", { text: `${word}. ` }), text)),
    ),
    link,
    h("p", { class: "sheet-mark", text: "Simulated season: this car, its owner and every figure are invented." }),
  );
}
