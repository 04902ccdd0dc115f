/* The page of a plan: built once an answer is there, then written anew in its place, so that nothing jumps under a
   finger: by another way that is looked at, and by the slider. */

import { cardConflicts } from "../parts/conflicts.js";
import { h, say } from "../parts/dom.js";
import { assumedLine, keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { assumedWords, otherLimits, passedOnce } from "../work/assumed.js";
import { startOf } from "../work/guide.js";
import { adjusterOf, adjustsAlone, sideWords, sprungOf } from "../work/adjuster.js";
import { inHundred } from "../work/numbers.js";
import { readNow } from "../work/outlook.js";
import { standOf } from "../work/plan-deck.js";
import { figureOf } from "../work/plan-figures.js";
import { stageWork } from "../work/promise.js";
import { SIDES } from "../work/readings.js";
import { wayName } from "../work/sentence.js";
import { underWay } from "../work/teardown-steps.js";
import { lengthUnit } from "../work/units.js";
import { WHERE } from "../work/where.js";
import { aimWords, formOf, heightsAs, withinWords } from "../work/wish.js";
import { doubtKeys, doubtList, doubtsOf } from "./plan-doubts.js";
import { assumedFold, cautionsFold, engineersFold, lazyFold, readFold, waysFold } from "./plan-folds.js";
import { planFront } from "./plan-front.js";
import { keysOf, starting, waysOn } from "./plan-keys.js";
import { named } from "../work/this-device.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Request } from "./plan-slider.js" */
/** @import { HeightsTarget, Option, SolveAnswer, SolveRequest } from "../types/wire.d.ts" */

const SAID = {
  title: "Plan",
  measure: "Measure",
  target: "Change the target",
  tryHeight: "Try another height",
  aim: "Target",
  range: "In 90 of 100 cases the true value is within ±.",
  trial: "Worked out on {here}, for the height that is tried.",
  doubt: "A reading does not fit",
  notPossible: "not possible",
};
const SOURCE = { ...WHERE, trial: SAID.trial };
const FOLDS = ["other-doubts", "read", "ways", "assumed", "height", "engineers", "cautions"];

/** @typedef {ReturnType<typeof layout>} Layout */
/** @typedef {typeof import("./plan-both.js") & typeof import("../work/both-deck.js")} Together What a plan of both
 *   axles is drawn and decided with, where a job asks for one. */

/** Assumed limits that the option passes, each a key to what measures it.
 * @param {JobContext} ctx @param {SolveAnswer} answer @param {Option} option */
function limitLines(ctx, answer, option) {
  const measured = passedOnce(answer, option).map((row) =>
    assumedLine({
      text: assumedWords(row),
      words: SAID.measure,
      href: ctx.href(startOf({ what: row.measure, side: null }, ctx.sheet)),
    }),
  );
  const others = otherLimits(option).map(({ text, field }) =>
    assumedLine({
      text: `${text}.`,
      words: SAID.measure,
      href: ctx.href({ words: ["ask", field], query: { from: "plan" } }),
    }),
  );
  return [...measured, ...others];
}

/** The target in words, and the way to change it. @param {JobContext} ctx @param {any} target */
const targetLine = (ctx, target) =>
  h(
    "div",
    { class: "target-line" },
    h("p", { text: `${SAID.aim}: ${aimWords({ ...target, ...ctx.sheet.target })}, ${withinWords(ctx.sheet.target)}.` }),
    h("a", { class: "key", href: ctx.href({ words: ["target"] }) }, SAID.target),
  );

/** An answer in a line, beside the slider. @param {SolveAnswer} answer @param {any} car */
function lineOf({ options: [option] }, car) {
  const how = { kind: adjusterOf(car)?.kind, alone: adjustsAlone(option) };
  const heights = SIDES.flatMap((side) => option[side].body_height_mm ?? option[side].hub_to_body_mm ?? []);
  const reached =
    heights.length === SIDES.length
      ? `${heights.map(({ value }) => figureOf(value)).join(" / ")} ${lengthUnit()}. `
      : "";
  const chance = option.stopped_by.length ? `${option.stopped_by[0]}.` : `${inHundred(option.odds)}.`;
  return `${chance} ${reached}Left ${sideWords(option.left, how)}. Right ${sideWords(option.right, how)}.`;
}

/** Readings that may not fit what was chosen. @param {JobContext} ctx @param {HTMLElement} place */
async function showUnsure(ctx, place) {
  const { unsureOf } = await import("../parts/unsure.js");
  unsureOf(ctx, place);
}

/** The parts of the page, empty. @param {JobContext} ctx */
function layout(ctx) {
  const front = planFront({
    bar: ctx.sheet.car.bar ?? {},
    car: ctx.sheet.car,
    work: (number) => stageWork(ctx.sheet, number),
  });
  const place = (/** @type {string} */ name) => h("div", { class: `plan-part ${name}` });
  const [disputes, doubts, both, lines, more] = [
    "disputes-part",
    "doubts-part",
    "both-part",
    "limit-lines",
    "more-part",
  ].map(place);
  const folds = Object.fromEntries(FOLDS.map((name) => [name, lazyFold(name)]));
  const source = h("p", { class: "source" });
  const trouble = h("p", { class: "trouble", role: "status" });
  const page = shell({
    title: SAID.title,
    verdict: front.head,
    lead: front.lead,
    picture: front.picture,
    body: [
      disputes,
      doubts,
      both,
      front.corners,
      front.facts,
      front.crossed,
      lines,
      front.cars,
      ...FOLDS.map((name) => folds[name].node),
      trouble,
      more,
      source,
    ],
    quiet: null,
    main: null,
  });
  const picture = /** @type {HTMLElement} */ (front.picture.parentElement);
  const told = cardConflicts(ctx);
  if (told) disputes.append(told);
  // Rare: only where something was chosen between two, and readings rest on the other.
  if (ctx.sheet.unsure.length) showUnsure(ctx, disputes).catch(() => {});
  const dispute = () => {
    told?.focus({ preventScroll: true });
    told?.scrollIntoView({ block: "start" });
  };
  return { front, both, dispute, doubts, lines, more, folds, source, trouble, page, picture };
}

/** What is shown of an option. @param {JobContext} ctx @param {SolveAnswer} answer @param {number} at
 * @param {Together | null} [together] */
function shownOf(ctx, answer, at, together = null) {
  const option = answer.options[at];
  const { sheet, stages } = ctx;
  const both = at === 0 && together ? (answer.both ?? null) : null;
  const there = both ? together?.nextThere : null;
  const walk = together?.walk(ctx) ?? null;
  const stand = standOf({ answer, option, sheet, stages, working: underWay(sheet), there, walk });
  return {
    answer,
    option,
    best: at === 0,
    stand,
    own: together ? sprungOf(sheet.car) : undefined,
    read: readNow(stages, sheet.teardowns),
    first: !sheet.teardowns,
    together: both && together ? together.bothWords(both, option) : null,
  };
}

/** The plan of both axles, where one is asked for and is not withheld. @param {JobContext} ctx
 * @param {ReturnType<typeof shownOf>} shown @param {Together | null} together @param {HTMLElement} picture */
const bothOf = (ctx, { answer, best, stand }, together, picture) =>
  best && answer.both && together && stand.kind !== "doubt" ? [together.planBoth(ctx, answer, picture)] : [];

/** The ways on below a plan. @param {JobContext} ctx @param {ReturnType<typeof shownOf>} shown
 * @param {ReturnType<typeof starting>} keep @param {Together | null} together */
const moreOf = (ctx, { answer, option, stand }, keep, together) => [
  ...((stand.begins && together?.movedRows(ctx, answer)) || []),
  ...waysOn(ctx, option, stand, keep),
];

/**
 * Everything about one option of an answer, into the page.
 * @param {JobContext} ctx
 * @param {Layout} layout
 * @param {{answer: SolveAnswer, at: number, target: any, ids: string[], redo: () => void,
 *   another: (at: number) => void, together: Together | null}} what
 */
function choose(
  ctx,
  { front, both, dispute, doubts, lines, more, folds, page, picture },
  { answer, at, target, ids, redo, another, together },
) {
  const all = shownOf(ctx, answer, at, together);
  const { option, stand } = all;
  const withheld = stand.kind === "doubt";
  const open = ["start", "read", "disputed"].includes(stand.kind);
  const told = doubtsOf(ctx, answer.doubts, ids);
  const keep = starting(ctx, answer, option, target, together?.untilBoth);
  const begin = (/** @type {any} */ to) => together?.startThere(ctx, answer, to);
  front.show(all);
  picture.hidden = withheld;
  both.replaceChildren(...bothOf(ctx, all, together, front.picture));
  doubts.replaceChildren(...(withheld ? [doubtList(ctx, told, redo, true)] : []));
  lines.replaceChildren(...(withheld || stand.kind === "forbidden" ? [] : limitLines(ctx, answer, option)));
  page.deck.show(
    withheld && told.length
      ? doubtKeys(ctx, told[0], redo)
      : keysOf(ctx, stand, { keep, begin, redo, dispute, option, own: all.own }),
  );
  const others = withheld || !told.length ? null : () => [doubtList(ctx, told, redo, false)];
  folds["other-doubts"].show(others && { title: SAID.doubt, more: String(told.length), make: others });
  folds.read.show(open ? readFold(ctx, answer) : null);
  folds.ways.show(withheld ? null : waysFold(answer, at, another, ctx.sheet.car));
  folds.assumed.show(withheld ? null : assumedFold(ctx, answer, option));
  folds.height.node.classList.toggle("away", withheld);
  folds.engineers.show(withheld ? null : engineersFold(answer, option));
  folds.cautions.show(cautionsFold(answer, option));
  more.replaceChildren(...(withheld ? [] : [keyRows(moreOf(ctx, all, keep, together))]));
}

/** The fold with the target, and with the slider where the target is heights; that is fetched when it is opened first.
 * @param {JobContext} ctx @param {Layout} layout @param {{request: SolveRequest, answer: SolveAnswer,
 *   live: (answer: SolveAnswer) => Promise<void>, rest: (answer: SolveAnswer, target: HeightsTarget) => void,
 *   redo: () => void}} what */
function heightFold(ctx, { folds, page, trouble }, { request, answer, live, rest, redo }) {
  const inHeights = formOf(request.target) === "heights";
  const box = h("div", { class: "try-height" });
  const sliding = (/** @type {boolean} */ on) => page.node.classList.toggle("sliding", on);
  const fetched = async () => {
    const { planSlider } = await import("./plan-slider.js");
    const slider = planSlider(ctx, {
      request: /** @type {Request} */ (request),
      tell: (/** @type {SolveAnswer} */ found) => lineOf(found, ctx.sheet.car),
      onstart: () => sliding(true),
      onlive: live,
      onrest: (/** @type {any} */ found, /** @type {any} */ target) => {
        sliding(false);
        rest(found, target);
      },
      onend: () => sliding(false),
      onkeep: async (/** @type {any} */ target) =>
        (await ctx.save([["target", heightsAs(ctx.sheet.target, target)]])) && redo(),
      ontrouble: (/** @type {any} */ problem) => {
        sliding(false);
        trouble.textContent = problem.detail ?? String(problem.message);
      },
    });
    box.replaceChildren(slider.node);
  };
  folds.height.show({
    title: inHeights ? SAID.tryHeight : SAID.aim,
    make: () => {
      if (inHeights) fetched().catch(() => {});
      return [targetLine(ctx, answer.target), box];
    },
  });
}

/**
 * The page of an answer.
 * @param {JobContext} ctx
 * @param {{found: {answer: SolveAnswer, where: string}, ids: string[], request: SolveRequest, redo: () => void,
 *   together?: Together | null}} what `redo` shows the plan again once something was kept
 * @returns {HTMLElement}
 */
export function planPage(ctx, { found, ids, request, redo, together = null }) {
  const parts = layout(ctx);
  const { front, page, source } = parts;
  let turn = 0;
  /** Another way, looked at from its beginning. */
  function another(/** @type {SolveAnswer} */ answer, /** @type {any} */ target, /** @type {number} */ at) {
    put(answer, target, at);
    for (const part of [page.stage, ...page.stage.children]) part.scrollTo(0, 0);
    /** @type {HTMLElement | null} */ (page.node.querySelector("h1"))?.focus();
    const { label, odds, stopped_by: stops } = answer.options[at];
    say(`${wayName(label)}: ${stops.length ? SAID.notPossible : inHundred(odds)}`);
  }
  function put(/** @type {SolveAnswer} */ answer, /** @type {any} */ target, at = 0) {
    const looked = (/** @type {number} */ place) => another(answer, target, place);
    choose(ctx, parts, { answer, at, target, ids, redo, another: looked, together });
  }
  /** The whole answer anew. */
  function fill(
    /** @type {SolveAnswer} */ answer,
    /** @type {keyof typeof SOURCE} */ where,
    /** @type {any} */ target,
  ) {
    turn += 1;
    put(answer, target);
    source.dataset.where = where;
    source.textContent = named(`${SOURCE[where]} ${SAID.range}`);
    const [best] = answer.options;
    const chance = best.stopped_by.length ? SAID.notPossible : inHundred(answer.both?.odds ?? best.odds);
    say(`${answer.headline.words} ${chance}. ${named(SOURCE[where])}`);
  }
  /** Only what follows the finger; the rest is stale until it rests. */
  async function live(/** @type {SolveAnswer} */ answer) {
    const mine = (turn += 1);
    const all = shownOf(ctx, answer, 0);
    front.cars.classList.add("stale");
    for (const write of front.quick) {
      // A part to a picture, so that none is late on a slow phone.
      await new Promise(requestAnimationFrame);
      if (mine !== turn) return;
      write(all);
    }
  }
  fill(found.answer, /** @type {keyof typeof SOURCE} */ (found.where), request.target);
  const rest = (/** @type {SolveAnswer} */ answer, /** @type {any} */ target) => fill(answer, "trial", target);
  heightFold(ctx, parts, { request, answer: found.answer, live, rest, redo });
  return page.node;
}
