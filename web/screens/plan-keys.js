/* The keys of a plan: what its deck offers, by how the plan stands (work/plan-deck.js), and the ways on below it.
   Whatever starts a teardown keeps first what the plan promises. */

import { disputedNames, holdingBack } from "../work/card-conflicts.js";
import { adjusterOf, workName } from "../work/adjuster.js";
import { inHundred } from "../work/numbers.js";
import { lowered, readingRoute } from "../work/plan-deck.js";
import { gainWords, TESTS } from "../work/plan-ways.js";
import { alreadyPromised, planFor, promised, stageName } from "../work/promise.js";
import { ofAxle } from "../work/sentence.js";
import { inDegrees } from "../work/sheet.js";
import { length } from "../work/units.js";
import { otherAxle } from "../work/weighing.js";
import { formOf, heightsAs } from "../work/wish.js";

/** @import { JobContext, Route } from "../types/context.d.ts" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { Advice, HeightsTarget, Option, SolveAnswer, Target } from "../types/wire.d.ts" */

/** @typedef {import("../work/plan-deck.js").Stand} Stand */
/** @typedef {import("../parts/deck.js").KeySpec} KeySpec */

const SAID = {
  start: "Start",
  goOn: "Go on",
  goOnWith: (/** @type {string} */ stage) => `with ${stage}`,
  readFirst: "Read first",
  readGain: (/** @type {number} */ odds) => `→ ${inHundred(odds)}`,
  lower: "Lower the target",
  raise: "Raise the target",
  by: (/** @type {number} */ mm) => `by ${length(Math.abs(mm))}`,
  target: "Change the target",
  bars: "Other bars",
  handOver: "Hand over",
  check: "Check the heights",
  after: (/** @type {string} */ stage) => `after ${stage}`,
  move: "Enter teeth already turned",
  moved: "Enter what was turned already",
  otherBars: "Try other bars or loads",
  saved: "the target",
  choose: "Choose",
  axle: (/** @type {string} */ axle) => `The ${axle}`,
};

/** Keep what an option promises, then go on. Whoever starts by a height that was only tried, wants it.
 * @param {JobContext} ctx @param {SolveAnswer} answer @param {Option} option @param {Target} target
 * @param {typeof import("../work/both-deck.js").untilBoth} [untilBoth] what is promised until the other axle is set */
export function starting(ctx, answer, option, target, untilBoth) {
  const teardown = ctx.sheet.teardowns + 1;
  return async (/** @type {Route} */ to) => {
    const all = promised({ option, answer, target, teardown });
    const body = untilBoth ? untilBoth(all, answer, option) : all;
    const kept = ctx.sheet.target;
    const tried = formOf(target) === "heights" ? /** @type {HeightsTarget} */ (target) : null;
    const wanted = !tried || (tried.left_mm === kept.left_mm && tried.right_mm === kept.right_mm);
    const items = [
      ...(wanted ? [] : [/** @type {Item} */ (["target", heightsAs(kept, tried)])]),
      ...(alreadyPromised(planFor(ctx.sheet, teardown), body) ? [] : [/** @type {Item} */ (["plan", body])]),
    ];
    if (items.length && !(await ctx.save(items))) return;
    ctx.go(to);
  };
}

/** A key that keeps the plan before it leads on.
 * @param {JobContext} ctx @param {(to: Route) => void} keep @param {Route} route */
const keeping = (ctx, keep, route) => ({
  href: ctx.href(route),
  ontap: (/** @type {Event} */ event) => {
    event.preventDefault();
    keep(route);
  },
});

/** The keys of a plan that a limit forbids: what lifts it.
 * @param {JobContext} ctx @param {Stand} stand @param {() => void} redo */
function liftingKeys(ctx, { obstacle, lower }, redo) {
  const bars = { words: SAID.bars, href: ctx.href({ words: ["whatif"] }) };
  const target = { words: SAID.target, href: ctx.href({ words: ["target"] }) };
  const body = lower ? lowered(ctx.sheet.target, lower) : null;
  if (body) {
    const ontap = async () => (await ctx.save([["target", body]], { said: SAID.saved })) && redo();
    return { main: { words: lower > 0 ? SAID.lower : SAID.raise, small: SAID.by(lower), ontap }, quiet: bars };
  }
  return obstacle?.what === "stress" ? { main: bars, quiet: target } : { main: target, quiet: bars };
}

/** The key of a reading that is offered. @param {JobContext} ctx @param {Stand} stand @param {Advice} reading
 * @param {string} [both] the axle, where both are planned */
function readKey(ctx, { kind, from }, reading, both) {
  const href = ctx.href(readingRoute(reading, ctx.sheet));
  // Beside the chance of both axles, what it does for one of them would mislead.
  if (both) return { words: SAID.readFirst, small: TESTS[reading.what]?.first ?? "", href };
  if (kind !== "read") return { words: SAID.readFirst, small: SAID.readGain(reading.odds_after), href };
  return { words: TESTS[reading.what]?.first ?? SAID.readFirst, small: gainWords(from, reading.odds_after), href };
}

/** The keys where nothing is to be turned: the hand-over, or the target that cannot be had.
 * @param {JobContext} ctx @param {Stand} stand @param {{target: KeySpec, axle: KeySpec}} keys */
function stayKeys(ctx, { hand, next }, { target, axle }) {
  const over = { words: SAID.handOver, href: ctx.href({ words: ["close"] }) };
  if (hand) return { main: over, quiet: target };
  return { main: next?.words[0] === "axle" ? axle : target, quiet: over };
}

/** The key that starts the other axle's teardown, goes on with it, or lifts what is in its way.
 * @param {JobContext} ctx @param {Stand} stand @param {(to: Route) => void} begin @param {string} small */
function thereKey(ctx, { begins, key, next }, begin, small) {
  const words = ofAxle(otherAxle(ctx.sheet.car), begins ? SAID.start : SAID.goOn);
  const href = next ? ctx.href(next) : "";
  return { words, small, href, ...key, ...(begins && next ? keeping(ctx, begin, next) : {}) };
}

/** What the deck offers, by how the plan stands.
 * @param {JobContext} ctx @param {Stand} stand
 * @param {{keep: (to: Route) => void, begin: (to: Route) => void, redo: () => void, dispute: () => void,
 *   option: Option, own?: string}} does `dispute` leads to what is in dispute, on this page; `begin` keeps the other
 *   axle's plan; `own` the job's axle, where both are planned: a key that works on one then says which
 * @returns {{main: KeySpec | null, quiet: KeySpec | null}} */
export function keysOf(ctx, stand, { keep, begin, redo, dispute, option, own }) {
  const { kind, number, reading, next } = stand;
  const href = next ? ctx.href(next) : "";
  const axle = { words: SAID.axle(otherAxle(ctx.sheet.car)), href: ctx.href({ words: ["axle"] }) };
  const target = { words: SAID.target, href: ctx.href({ words: ["target"] }) };
  const on = SAID.goOnWith(stageName(ctx.sheet, number));
  if (kind === "under-way") {
    const to = ctx.href({ words: ["propped", String(number)] });
    return { main: { words: ofAxle(own, SAID.goOn), small: on, href: to }, quiet: null };
  }
  if (kind === "unread")
    return { main: { words: SAID.check, small: SAID.after(stageName(ctx.sheet, number)), href }, quiet: null };
  if (kind === "there") return { main: thereKey(ctx, stand, begin, on), quiet: axle };
  if (kind === "forbidden") return liftingKeys(ctx, stand, redo);
  if (kind === "stay") return stayKeys(ctx, stand, { target, axle });
  if (kind === "disputed") {
    const small = disputedNames(holdingBack(ctx.sheet)).toLowerCase();
    return {
      main: { words: SAID.choose, small, ontap: dispute },
      quiet: reading ? readKey(ctx, stand, reading, own) : null,
    };
  }
  const route = { words: ["propped", String(number)] };
  const stage = `${workName(option)} ${number}`;
  const words = ofAxle(own, SAID.start);
  const start = {
    words,
    small: own && stage,
    heard: `${words} ${stage}`,
    ...keeping(ctx, keep, route),
  };
  if (!reading) return { main: start, quiet: null };
  const read = readKey(ctx, stand, reading, own);
  return kind === "read" ? { main: read, quiet: start } : { main: start, quiet: read };
}

/**
 * The ways on below a plan: to the bench, and to the teeth that were turned already.
 * @param {JobContext} ctx
 * @param {Option} option
 * @param {Stand} stand
 * @param {(to: Route) => void} keep
 */
export function waysOn(ctx, option, stand, keep) {
  const bench = { words: SAID.otherBars, href: ctx.href({ words: ["whatif"] }) };
  if (!["start", "read"].includes(stand.kind) || inDegrees(option)) return [bench];
  const { left, right } = option;
  const [li, lo, ri, ro] = [left.inner, left.outer, right.inner, right.outer].map((count) => count ?? 0);
  const adjuster = adjusterOf(ctx.sheet.car);
  const query = { li, lo, ri, ro, ...(adjuster ? { lt: left.turns ?? 0, rt: right.turns ?? 0 } : {}) };
  const { href, ontap } = keeping(ctx, keep, { words: ["move"], query });
  return [{ words: adjuster ? SAID.moved : SAID.move, href, ontap: /** @type {any} */ (ontap) }, bench];
}
