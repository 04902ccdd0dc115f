/* The verdict after a teardown, in place of the page on which the heights were read: on or off target, by how
   much, what was predicted, and the way on. */

import { h } from "../parts/dom.js";
import { keyRows, plate, rowPlates } from "../parts/plate.js";
import { rearHeights } from "../parts/rear-heights.js";
import { shell } from "../parts/shell.js";
import { sprungOf } from "../work/adjuster.js";
import { HARDLY, worthOf } from "../work/flow.js";
import { needs, readRoute } from "../work/guide.js";
import { inHundred } from "../work/numbers.js";
import { inPart, stageName } from "../work/promise.js";
import { titled } from "../work/sentence.js";
import { stageOf } from "../work/sheet.js";

import { gateWords, looseWords, predictedWords, unsettled } from "../work/verdict.js";
import { heightsThere, wantsBoth } from "../work/there.js";
import { asksCross, otherAxle, unweighed } from "../work/weighing.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { SolveAnswer } from "../types/wire.d.ts" */

/** @import { Stage } from "../types/sheet.d.ts" */
/** @import { Verdict } from "../work/verdict.js" */
/** @typedef {{number: number, stage: Stage, verdict: Verdict, under: number | null}} Shown */

const SAID = {
  title: "Verdict",
  loose: (/** @type {string} */ words) => `${words} Settle the car and read again.`,
  replan: "The next plan counts these readings.",
  unjudged: "The target counts from as found, and that was not read on both sides.",
  unweighed: "Weigh all four wheels as the car stands now, at once or in pairs.",
  weigh: "Weigh",
  four: "all four wheels",
  open: (/** @type {string} */ name) => `${titled(name)} is not finished.`,
  part: "Part of the planned turns was made. The next plan is made from what they did.",
  legend: (/** @type {string} */ gate) =>
    `Solid: read now. Dashed: as found.${gate ? ` Hatched: target, ${gate}.` : ""}`,
  there: (/** @type {string} */ axle) => `Read the ${axle}`,
  allFour: "all four heights, then the plan",
  both: "of both axles",
  alone: (/** @type {string} */ axle) => `This is the ${axle} alone: both axles are to be set.`,
  again: "Read again",
  over: "Hand over",
  overAsItIs: "Hand over as it is",
  settle: "Settle and read once more",
  settleWorth: (/** @type {string} */ minutes, /** @type {string} */ from, /** @type {string} */ to) =>
    `${minutes} min: ${from} → ${to}`,
};

/** The wheels that a verdict on a target of cross-weight still wants weighed. */
const toWeigh = (/** @type {JobContext} */ { sheet }, /** @type {number} */ number) =>
  asksCross(sheet) && !sheet.closed ? unweighed(sheet, number) : [];

/** What the plate says under its title. */
function saysOf(/** @type {JobContext} */ ctx, /** @type {Shown} */ { number, verdict, under }) {
  const loose = !verdict.angles && unsettled(ctx.sheet, number).length > 0;
  return [
    wantsBoth(ctx.sheet) ? SAID.alone(sprungOf(ctx.sheet.car)) : "",
    under === number ? SAID.open(stageName(ctx.sheet, number)) : "",
    verdict.state === "off" && inPart(ctx.sheet, number) ? SAID.part : "",
    verdict.state === "unjudged" ? (toWeigh(ctx, number).length ? SAID.unweighed : SAID.unjudged) : "",
    loose ? SAID.loose(looseWords()) : verdict.state === "off" && under === null ? SAID.replan : "",
  ].filter(Boolean);
}

/** The main key: what comes next. */
function mainOf(/** @type {JobContext} */ ctx, /** @type {Shown} */ { number, verdict, under }) {
  const to = (/** @type {string[]} */ ...words) => ctx.href({ words });
  if (ctx.sheet.closed) return { words: "Hand-over", href: to("close") };
  if (under) return { words: "Go on", small: stageName(ctx.sheet, under), href: to("propped", String(under)) };
  if (number < ctx.sheet.teardowns) return { words: "Latest check", href: to("ground", String(ctx.sheet.teardowns)) };
  const wheel = toWeigh(ctx, number)[0];
  if (wheel) return { words: SAID.weigh, small: SAID.four, href: ctx.href(readRoute({ ...wheel, teardown: number })) };
  if (wantsBoth(ctx.sheet)) {
    const there = heightsThere(ctx.sheet);
    if (there) return { words: SAID.there(otherAxle(ctx.sheet.car)), small: SAID.allFour, href: ctx.href(there) };
    return { words: "Plan", small: SAID.both, href: to("plan") };
  }
  if (verdict.state === "off") return { words: "Replan", small: "with these readings", href: to("plan") };
  return { words: SAID.over, href: to("close") };
}

/** A second settling, where friction decides: shown once the model has said what it would bring. */
function settlingOffer(/** @type {JobContext} */ ctx, /** @type {number} */ number) {
  const place = h("div", { class: "offer" });
  let gone = false;
  ctx.whileShown(() => (gone = true));
  const { request, stops } = ctx.request;
  if (ctx.sheet.closed || stops.length || needs(ctx.sheet).length) return place;
  ctx.model.askForPlan(request).then(
    (/** @type {{ answer: SolveAnswer }} */ { answer }) => {
      const worth = worthOf(answer, { key: "settling" });
      if (gone || !worth || worth.to - worth.from < HARDLY) return;
      const small = SAID.settleWorth(String(worth.minutes), inHundred(worth.from), inHundred(worth.to));
      const href = ctx.href({ words: ["ground", String(number), "again"] });
      place.replaceChildren(keyRows([{ words: SAID.settle, small, href }]));
    },
    // What the next plan says of it stands on the plan; the verdict needs no model.
    () => {},
  );
  return place;
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @param {Shown} shown
 */
export function verdictScreen(ctx, shown) {
  const { number, stage, verdict, under } = shown;
  const off = verdict.state === "off";
  const latest = number === ctx.sheet.teardowns && !under;
  const predicted = verdict.angles ? "" : predictedWords(stage, inPart(ctx.sheet, number));
  const picture = rearHeights({ found: stageOf(ctx.stages, 0), stage, front: sprungOf(ctx.sheet.car) === "front" });
  const legend = picture ? h("p", { class: "foot-note", text: SAID.legend(gateWords(stage.target)) }) : null;
  const screen = shell({
    title: SAID.title,
    verdict: plate({
      good: verdict.state === "on",
      title: verdict.title,
      text: saysOf(ctx, shown).map((text) => h("p", { text })),
      level: "h1",
    }),
    picture,
    body: [
      rowPlates(verdict.rows),
      predicted ? h("p", { class: "foot-note", text: predicted }) : null,
      legend,
      latest ? settlingOffer(ctx, number) : null,
      off && latest && !ctx.sheet.closed
        ? keyRows([{ words: SAID.overAsItIs, href: ctx.href({ words: ["close"] }) }])
        : null,
    ],
    quiet: { words: SAID.again, href: ctx.href({ words: ["ground", String(number), "again"] }) },
    main: mainOf(ctx, shown),
  });
  return { title: SAID.title, focus: screen.title, node: screen.node };
}
