/* A car's visits as cards, each with the car from behind between its gates; and what was predicted against what was
   measured, teardown by teardown. */

import { h } from "../../parts/dom.js";
import { icon } from "../../parts/icons.js";
import { fold } from "../../parts/plate.js";
import { rearOf } from "../../parts/rear-heights.js";
import { valueTable } from "../../parts/shop/plot.js";
import { shortDate } from "../../work/dates.js";
import { inHundred } from "../../work/numbers.js";
import { rowStage } from "../../work/pc/car-steps.js";
import { length, lengthSpread } from "../../work/units.js";
import { gateWords } from "../../work/verdict.js";
import { CROSS, crossedWords } from "../../work/weighing.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Row } from "../../work/pc/car-local.js" */
/** @import { Came } from "../../work/pc/car-visits.js" */

const SIDES = /** @type {const} */ (["left", "right"]);
/** Visits that are seen at once; the rest are folded. */
const FIRST = 6;
const SAID = {
  legend: "Dashed: as found. Solid: read last. Hatched: target.",
  chance: (/** @type {string} */ hundred) => `predicted ${hundred}`,
  then: " → ",
  noDate: "no date",
  noHeights: "No height read.",
  earlier: "Earlier visits",
  fromEarlier: "started from an earlier visit",
  resolve: (/** @type {number} */ n) => `${n} to resolve`,
  predicted: "Predicted and measured",
  caption: "Predicted and measured, step by step",
  head: ["Work step", "Chance", "Left predicted", "Left measured", "Right predicted", "Right measured", "Result"],
  stage: (/** @type {string} */ day, /** @type {string} */ stage) => `${day}, ${stage}`,
  noPlan: "no plan",
  other: (/** @type {string} */ chance) => `${chance}, turned otherwise`,
  notMeasured: "not measured",
  on: "on target",
  off: "off target",
  notKnown: "not known",
};

/** @param {Context} ctx @param {Came} visit */
function visitCard(ctx, visit) {
  const sign = visit.good === null ? null : icon(visit.good ? "tick" : "cross", { ring: visit.good });
  const said = [
    visit.odds === null ? "" : SAID.chance(inHundred(visit.odds)),
    visit.fromEarlier ? SAID.fromEarlier : "",
    visit.conflicts ? SAID.resolve(visit.conflicts) : "",
  ].filter(Boolean);
  const picture = rearOf({
    found: visit.now === visit.found ? null : visit.found,
    now: visit.now,
    target: visit.target,
    gate: visit.target ? gateWords(visit.target) : "",
  });
  return h(
    "li",
    { class: "visit-card" },
    h(
      "h3",
      null,
      h("a", { href: ctx.href({ words: ["list"] }, visit.job) }, visit.at ? shortDate(visit.at) : SAID.noDate),
    ),
    h("p", { class: "request", text: visit.request }),
    picture ?? h("p", { class: "where", text: SAID.noHeights }),
    h(
      "p",
      { class: `outcome ${visit.good === null ? "plain" : visit.good ? "good" : "wrong"}` },
      sign,
      h("b", { text: visit.words }),
    ),
    visit.cross.length
      ? h("p", { class: "crossed", text: `${CROSS}: ${visit.cross.map(crossedWords).join(SAID.then)}` })
      : null,
    said.length ? h("p", { class: "where", text: said.join(", ") }) : null,
  );
}

/**
 * The visits, the last first; those before the last few are folded.
 * @param {Context} ctx
 * @param {Came[]} came
 * @param {string} title
 */
export function visitCards(ctx, came, title) {
  const list = (/** @type {Came[]} */ some) =>
    h(
      "ul",
      { class: "visit-cards" },
      some.map((visit) => visitCard(ctx, visit)),
    );
  const rest = came.slice(FIRST);
  return h(
    "section",
    { class: "visits" },
    h("h2", { text: title }),
    list(came.slice(0, FIRST)),
    h("p", { class: "where", text: SAID.legend }),
    rest.length ? fold({ title: SAID.earlier, more: String(rest.length) }, list(rest)) : null,
  );
}

/** @param {Row} row */
function chanceCell({ odds, followed }) {
  if (odds === null) return SAID.noPlan;
  return followed === false ? SAID.other(inHundred(odds)) : inHundred(odds);
}

/** @param {Row} row @param {"left" | "right"} side */
function sideCells(row, side) {
  const [mean, sd, read] = [row[`promised_${side}_mm`], row[`promised_${side}_sd_mm`], row[`body_height_${side}_mm`]];
  return [
    mean === null ? "" : lengthSpread({ value: mean, sd: sd ?? 0 }),
    read === null ? SAID.notMeasured : length(read),
  ];
}

/**
 * What was predicted against what came of it; null where nothing was turned.
 * @param {Context} ctx
 * @param {Row[]} rows
 */
export function promises(ctx, rows) {
  const torn = rows.filter(({ teardown, after_km: km }) => teardown > 0 && km === null);
  if (!torn.length) return null;
  return fold(
    { title: SAID.predicted, level: "h2" },
    valueTable({
      stacks: true,
      caption: SAID.caption,
      head: SAID.head,
      rows: torn.map((row) => [
        h("a", { href: ctx.href({ words: ["close"] }, row.job) }, SAID.stage(shortDate(row.at), rowStage(row))),
        chanceCell(row),
        ...SIDES.flatMap((side) => sideCells(row, side)),
        row.hit === null ? SAID.notKnown : row.hit ? SAID.on : SAID.off,
      ]),
    }),
  );
}
