/* What a plan takes for granted: first the limits that it would pass, then facts by what knowing them would bring, each
   with a key that measures it; what hardly changes it is one line. */

import { h } from "../parts/dom.js";
import { fold, keyCard, plate } from "../parts/plate.js";
import { rack } from "../parts/rack.js";
import { shell } from "../parts/shell.js";
import { assumedOf } from "../work/assumed.js";
import { HARDLY, readFirst } from "../work/flow.js";
import { needs, startOf } from "../work/guide.js";
import { bestReading, readingRoute } from "../work/plan-deck.js";
import { gainWords, testName } from "../work/plan-ways.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {import("../work/assumed.js").Row} Row */

const SAID = {
  title: "What is assumed",
  passes: (/** @type {string} */ value) => `${value}; the plan passes it`,
  needs: (/** @type {string} */ value, /** @type {string} */ need) => `${value}; the plan needs ${need}`,
  limit: "A limit: measure before you start.",
  minutes: (/** @type {number} */ count) => `${count} min`,
  freed: "In the teardown, once the arm is free.",
  hardly: (/** @type {number} */ count) => `${count} more hardly change it`,
  hardlyOne: "1 more hardly changes it",
  show: "Show",
  nothing: "Nothing is assumed",
  range: "± holds 90 in 100. Best first; a limit that the plan would pass stands on top.",
  plan: "Plan",
  working: "Working it out",
  none: "No plan yet, so nothing is assumed for it.",
};

/** The card of a fact. @param {JobContext} ctx @param {Row} row @param {number} from the chance now */
function factCard(ctx, row, from) {
  const { name, value, needs: need, to, freed } = row;
  const href = ctx.href(startOf({ what: /** @type {any} */ (row.measure), side: null }, ctx.sheet));
  const key = { words: row.key, small: SAID.minutes(row.minutes), href };
  if (need) {
    const said = need === "more" ? SAID.passes(value) : SAID.needs(value, need);
    return keyCard({ name, form: "dashed", lines: [said, h("p", { class: "gain", text: SAID.limit })], key });
  }
  const gains = to !== null && to - from >= HARDLY;
  const words = gains ? h("p", { class: "gain", text: gainWords(from, to) }) : null;
  const teeth = gains ? rack({ chance: from, with: to, heard: false }).node : null;
  return keyCard({ name, lines: [value, freed ? SAID.freed : null, words, teeth], key });
}

/** The deck: back to the plan, and on to the reading that brings most.
 * @param {JobContext} ctx @param {SolveAnswer | null} answer */
function keysOf(ctx, answer) {
  const plan = { words: SAID.plan, href: ctx.href({ words: ["plan"] }) };
  const best = answer && !answer.withheld ? (readFirst(answer) ?? bestReading(answer)) : null;
  if (!answer || !best) return { main: plan, quiet: null };
  const small = gainWords(answer.options[0].odds, best.odds_after);
  const href = ctx.href(readingRoute(best, ctx.sheet));
  return { main: { words: testName(best.what, best.side), small, href }, quiet: plan };
}

/** The screen of an answer. @param {JobContext} ctx @param {SolveAnswer} answer */
function shown(ctx, answer) {
  const [option] = answer.options;
  const { passed, worth, rest } = assumedOf(answer, option, ctx.sheet.car);
  const cards = (/** @type {Row[]} */ rows) =>
    h(
      "ul",
      { class: "key-rows" },
      rows.map((row) => factCard(ctx, row, option.odds)),
    );
  const top = [...passed, ...worth];
  const hardly = rest.length === 1 ? SAID.hardlyOne : SAID.hardly(rest.length);
  return shell({
    title: SAID.title,
    body: [
      top.length ? cards(top) : null,
      rest.length ? fold({ title: hardly, more: SAID.show }, cards(rest)) : null,
      top.length || rest.length
        ? h("p", { class: "foot-note", text: SAID.range })
        : plate({ good: true, title: SAID.nothing }),
    ],
    ...keysOf(ctx, answer),
  }).node;
}

/**
 * The screen.
 * @param {JobContext} ctx
 */
export function assumed(ctx) {
  const root = h("div", { class: "plan" });
  const put = (/** @type {Node} */ node) => root.replaceChildren(node);
  const say = (/** @type {string} */ text) =>
    put(shell({ title: SAID.title, body: [h("p", { role: "status", text })], ...keysOf(ctx, null) }).node);
  const { request } = ctx.request;
  const here = needs(ctx.sheet).length ? null : ctx.model.planAtHand(request);
  if (here) put(shown(ctx, here.answer));
  else if (needs(ctx.sheet).length) say(SAID.none);
  else {
    say(SAID.working);
    ctx.model.askForPlan(request).then(
      ({ answer }) => root.isConnected && put(shown(ctx, answer)),
      (/** @type {{ detail?: string }} */ problem) => root.isConnected && say(problem.detail ?? SAID.none),
    );
  }
  return { title: SAID.title, node: root };
}
