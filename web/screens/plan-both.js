/* The plan of both axles: what to turn at each, in the order in which they are set, the heights of all four corners to
   expect, and what cannot be had together. Fetched where a job asks for both. */

import { h } from "../parts/dom.js";
import { adjusterOf, adjusts, sprungOf, turnsNothing } from "../work/adjuster.js";
import { expectedOf, readNow } from "../work/outlook.js";
import { about, figureOf, rangeOf, riseOf } from "../work/plan-figures.js";
import { NINETY, inHundred, plain } from "../work/numbers.js";
import { movedThere, onThere } from "../work/both-deck.js";
import { ofAxle, titled } from "../work/sentence.js";
import { heightsNow, seenThere } from "../work/there.js";
import { turnRows } from "../work/turn-facts.js";
import { lengthUnit, masses } from "../work/units.js";
import { begunElsewhere, begunHere, planOf, promisedThere } from "../work/walk.js";
import { CROSS, shareAbout } from "../work/weighing.js";
import { rearOf } from "./plan-front.js";
import { planSide } from "./plan-side.js";

/** @import { JobContext, Route } from "../types/context.d.ts" */
/** @import { Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {{axle: "rear" | "front", option: Option, target: any, headline: string, withheld: boolean, car: any,
 *   now: {left: number | null, right: number | null}, wait: string}} Axle One axle; `wait` what its teardown
 *   waits for, "" where it may begin. */

const SIDES = /** @type {const} */ (["left", "right"]);
const SAID = {
  order: (/** @type {number} */ n, /** @type {string} */ axle) => `${n}. ${titled(axle)} axle`,
  alone: (/** @type {number} */ odds) => `${inHundred(odds)} that this axle is on target, once both are set.`,
  expected: (/** @type {string} */ side) => `${titled(side)}, expected`,
  now: (/** @type {string} */ was) => ` (read ${was})`,
  change: "Cross-weight (RF + LR) changes by",
  share: `${CROSS} then`,
  wait: (/** @type {string} */ axle) =>
    `The ${axle} is being worked on: no teardown is begun here before that one is done.`,
  then: (/** @type {string} */ axle) =>
    `Its teardown begins once the ${axle} is set and the heights of both axles are read again.`,
  moved: "Enter what was turned already",
  doubt: "Check the readings of this axle that are doubted before you turn anything at it.",
};

/** How the plan stands while a teardown of the other axle is under way. @param {JobContext} ctx */
export const walk = (ctx) => onThere(begunElsewhere(ctx));

/** Keep what the plan promises of the other axle, then go to its steps.
 * @param {JobContext} ctx @param {SolveAnswer} answer @param {Route} to */
export function startThere(ctx, answer, to) {
  const plan = promisedThere(answer, ctx.sheet);
  if (ctx.kept(() => ctx.drafts.keep(ctx.job, planOf(ctx.sheet.car), plan))) ctx.go(to);
}

/** The way on for whoever has turned the other axle already. @param {JobContext} ctx @param {SolveAnswer} answer */
export function movedRows(ctx, { both }) {
  const to = both && movedThere(both);
  return to ? [{ words: ofAxle(both.axle, SAID.moved), href: ctx.href(to) }] : [];
}

/** A line of figures. @param {string} name @param {string} value */
const row = (name, value) => h("div", { class: "row" }, h("dt", { text: name }), h("dd", { text: value }));

/** What a side comes to. @param {Axle} axle @param {"left" | "right"} side */
function expectedRow({ option, target, now }, side) {
  const expected = expectedOf(option, target);
  const estimate = expected[side];
  if (expected.by === "rise")
    return row(SAID.expected(side), `${riseOf(estimate.value)} ${rangeOf(estimate.sd)} ${lengthUnit()} against now`);
  const was = now[side];
  return row(SAID.expected(side), about(estimate) + (was === null ? "" : SAID.now(figureOf(was))));
}

/** One axle: its headline, what to turn on each side, what to expect. @param {Axle} axle @param {number} place */
function axleOf(axle, place) {
  const { option, car, headline, withheld, wait } = axle;
  const kind = adjusterOf(car)?.kind ?? null;
  const sides = SIDES.map((side) => planSide({ side, car, bar: car.bar ?? {}, kind }));
  for (const side of sides) side.show(option);
  const more = kind && adjusts(option) ? turnRows(option, kind).map(({ name, value }) => row(name, value)) : [];
  return h(
    "section",
    { class: "plan-axle", "data-axle": axle.axle, "aria-label": `${titled(axle.axle)} axle` },
    h("h2", { text: SAID.order(place + 1, axle.axle) }),
    h("p", { class: "axle-headline", text: withheld ? SAID.doubt : headline }),
    withheld
      ? null
      : [
          h(
            "div",
            { class: "corner-cards" },
            sides.map(({ node }) => node),
          ),
          h(
            "dl",
            { class: "facts turn-facts" },
            SIDES.map((side) => expectedRow(axle, side)),
            more,
          ),
          (option.obstacles ?? []).map(({ words }) => h("p", { class: "assumed", text: `${words}.` })),
          h("p", { class: "foot-note", text: SAID.alone(option.odds) }),
          wait && !turnsNothing(option) ? h("p", { class: "assumed", text: wait }) : null,
        ],
  );
}

/** Both axles of an answer, the one to set first before the other. @param {JobContext} ctx @param {SolveAnswer} answer
 * @returns {Axle[]} */
function axlesOf(ctx, answer) {
  const { sheet, stages } = ctx;
  const both = /** @type {NonNullable<SolveAnswer["both"]>} */ (answer.both);
  const [here, under] = [begunHere(sheet), begunElsewhere(ctx)];
  const turned = [answer.options[0], both.options[0]].every((option) => !turnsNothing(option));
  /** What the teardown of an axle waits for. */
  const waits = (/** @type {"rear" | "front"} */ axle, /** @type {number | null} */ begun) => {
    const other = axle === both.axle ? sprungOf(sheet.car) : both.axle;
    return begun ? SAID.wait(other) : turned && both.first !== axle ? SAID.then(other) : "";
  };
  /** @type {Axle} */
  const own = {
    axle: sprungOf(sheet.car),
    option: answer.options[0],
    target: answer.target,
    headline: answer.headline.words,
    withheld: answer.withheld,
    car: sheet.car,
    now: readNow(stages, sheet.teardowns),
    wait: waits(sprungOf(sheet.car), under),
  };
  const there = seenThere(sheet);
  /** @type {Axle} */
  const other = {
    axle: both.axle,
    option: both.options[0],
    target: both.target,
    headline: both.headline.words,
    withheld: both.withheld,
    car: there.car,
    now: heightsNow(there),
    wait: waits(both.axle, here),
  };
  return both.first === own.axle ? [own, other] : [other, own];
}

/**
 * The plan of both.
 * @param {JobContext} ctx
 * @param {SolveAnswer} answer with `both`
 * @param {HTMLElement} picture where the axle that is set first is drawn
 * @returns {HTMLElement}
 */
export function planBoth(ctx, answer, picture) {
  const both = /** @type {NonNullable<SolveAnswer["both"]>} */ (answer.both);
  const { figure, unit } = masses();
  const { value, sd } = both.cross_weight_kg;
  const change = `${plain(figure(value), 0)} ± ${plain(Math.max(1, NINETY * figure(sd)), 0)} ${unit}`;
  const share = both.cross_percent;
  const [first, then] = axlesOf(ctx, answer);
  const { axle, option, target, now } = first;
  picture.replaceChildren(rearOf({ answer: { target }, option, read: now }, axle === "front"));
  return h(
    "div",
    { class: "plan-both" },
    [first, then].map(axleOf),
    both.words.map((text) => h("p", { class: "together", text })),
    h("dl", { class: "facts" }, row(SAID.change, change), share ? row(SAID.share, shareAbout(share)) : null),
  );
}
