/* What was learned of a car: the constants by what they still cost the chance of a usual next visit, those that are
   default folded. */

import { h } from "../../parts/dom.js";
import { fold } from "../../parts/plate.js";
import { valueTable } from "../../parts/shop/plot.js";
import { shortDate } from "../../work/dates.js";
import { inHundred } from "../../work/numbers.js";
import {
  CONSTANTS,
  NEXT_RISE_MM,
  beforeWords,
  costWords,
  costsOf,
  sortedByCost,
  valueWords,
} from "../../work/pc/car-constants.js";
import { brief } from "../../work/units.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Constant, SolveRequest } from "../../types/wire.d.ts" */
/** @import { CarFound } from "../../work/pc/car-local.js" */

/** @typedef {Record<string, number>} Costs */

/** A chance that is said as under 1 in 100. */
const HARDLY = 0.005;

const SAID = {
  title: "Learned about this car",
  offline: "Shown when the shop answers.",
  none: "Nothing learned yet. Handing a job over saves what it learned.",
  working: "Working out what each costs the chance…",
  caption: "Constants with ± and the visit they come from",
  captionDefaults: "Constants that are default, not measured",
  constant: "Constant",
  value: "Value",
  before: "Default ±",
  cost: "Costs the chance",
  from: "Learned from",
  defaults: "Default, not measured",
  visit: (/** @type {string} */ day) => `the visit of ${day}`,
  titled: (/** @type {string} */ day, /** @type {string} */ title) => `the visit of ${day}, ${title}`,
  range: "The visit that narrowed the value most. ± holds 90 in 100.",
  costs: (/** @type {string} */ chance, /** @type {string} */ rise) =>
    `Costs: a plan that levels this car ${rise} higher, from two heights alone, has a chance of ${chance}; it would ` +
    "have so many more if this value were known exactly.",
  little: (/** @type {string} */ cost) => `each costs ${cost}`,
  most: (/** @type {string} */ cost) => `the first costs ${cost}`,
};

/** @param {Context} ctx @param {Constant} constant @param {boolean} many whether visits are told by their titles */
function source(ctx, { from_job: job, from_at: at, from_title: title }, many) {
  const day = shortDate(at ?? "");
  const text = many && title ? SAID.titled(day, title) : SAID.visit(day);
  return h("a", { href: ctx.href({ words: ["list"] }, job ?? "") }, text);
}

/** @param {Context} ctx @param {Constant[]} list @param {Costs | null} costs @param {boolean} many */
function learnedTable(ctx, list, costs, many) {
  const cost = (/** @type {Constant} */ { name }) => (costs ? [costWords(costs[name])] : []);
  return valueTable({
    stacks: true,
    caption: SAID.caption,
    head: [SAID.constant, SAID.value, ...(costs ? [SAID.cost] : []), SAID.before, SAID.from],
    rows: list.map((constant) => [
      CONSTANTS[constant.name]?.name ?? constant.name,
      h("strong", { text: valueWords(constant) }),
      ...cost(constant),
      beforeWords(constant),
      source(ctx, constant, many),
    ]),
  });
}

/** @param {Constant[]} list @param {Costs | null} costs */
function defaultsFold(list, costs) {
  const most = costs ? Math.max(...list.map(({ name }) => costs[name] ?? 0)) : 0;
  const more = most < HARDLY ? SAID.little(costWords(most)) : SAID.most(costWords(most));
  return fold(
    { title: `${SAID.defaults}: ${list.length}`, more: costs ? more : "" },
    valueTable({
      stacks: true,
      caption: SAID.captionDefaults,
      head: [SAID.constant, SAID.value, ...(costs ? [SAID.cost] : [])],
      rows: list.map((constant) => [
        CONSTANTS[constant.name]?.name ?? constant.name,
        h("strong", { text: valueWords(constant) }),
        ...(costs ? [costWords(costs[constant.name])] : []),
      ]),
    }),
  );
}

/**
 * The section; it is filled once the costs are known, or cannot be.
 * @param {Context} ctx
 * @param {CarFound} found
 * @param {boolean} local
 * @returns {HTMLElement}
 */
export function constants(ctx, found, local) {
  const inside = h("div", { class: "constants-rows" });
  const where = (/** @type {string} */ text) => h("p", { class: "where", text });
  const section = h("section", { class: "constants" }, h("h2", { text: SAID.title }), inside);
  if (local || !found.constants.length) {
    inside.append(where(local ? SAID.offline : SAID.none));
    return section;
  }
  const many = new Set(found.visits.map(({ title }) => title)).size === found.visits.length;
  /** @param {SolveRequest} send */
  const chanceOf = async (send) => {
    const { body } = await ctx.pc.askShop("/api/solve", { method: "POST", send });
    return body?.options[0]?.odds ?? null;
  };
  inside.append(h("p", { class: "working", role: "status", text: SAID.working }));
  const shown = (/** @type {Awaited<ReturnType<typeof costsOf>>} */ told) => {
    const { learned, defaults } = sortedByCost(found.constants, told?.costs);
    const costs = told?.costs ?? null;
    inside.replaceChildren(
      ...(learned.length ? [learnedTable(ctx, learned, costs, many), where(SAID.range)] : []),
      ...(defaults.length ? [defaultsFold(defaults, costs)] : []),
      ...(told ? [where(SAID.costs(inHundred(told.chance), brief(NEXT_RISE_MM)))] : []),
    );
  };
  costsOf(found, chanceOf)
    .catch(() => null)
    .then(shown);
  return section;
}
