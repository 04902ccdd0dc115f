/* The Log beside a question, on a wide PC: every reading in one line that opens it. */

import { h } from "../parts/dom.js";
import { adjusterOf, workName } from "../work/adjuster.js";
import { moveWords } from "../work/conflicts.js";
import { stageName } from "../work/promise.js";
import { howOf, poseWords, titleOf, valueOf } from "../work/readings.js";
import { openingOf } from "./list-readings.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { ReadingRow } from "../types/sheet.d.ts" */

const SAID = {
  title: "Readings",
  none: "Nothing read yet.",
  found: "As found",
  after: (/** @type {string} */ stage) => `After ${stage}`,
  add: "Add a reading",
  bars: "Other bars or loads",
};

function line(/** @type {JobContext} */ ctx, /** @type {ReadingRow} */ reading) {
  const stance = poseWords(reading.pose, reading.what);
  const name = stance ? `${titleOf(reading)}, ${stance}` : titleOf(reading);
  return h(
    "li",
    { "data-entry": reading.id },
    h(
      "a",
      {
        href: openingOf(ctx, reading),
        title: [`${name}, ${reading.side}`, howOf(reading)].filter(Boolean).join("; "),
      },
      h("span", {
        class: `side-name ${reading.side}`,
        "aria-hidden": "true",
        text: reading.side === "left" ? "L" : "R",
      }),
      h("span", { class: "unseen", text: `${reading.side}, ` }),
      h("span", { class: "what", text: name }),
      h("strong", { text: valueOf(reading) }),
    ),
  );
}

/**
 * The rail's parts.
 * @param {JobContext} ctx
 * @returns {HTMLElement[]}
 */
export function railRows(ctx) {
  const { readings, moves, teardowns, other } = ctx.sheet;
  const rounds = [];
  for (let n = teardowns; n >= 0; n -= 1) {
    const mine = [...readings, ...other.readings].filter((each) => (each.teardown ?? 0) === n);
    const move = moves.find((each) => each.teardown === n);
    const elsewhere = other.moves.find((each) => each.teardown === n);
    if (!mine.length && !move && !elsewhere) continue;
    const stage = elsewhere && !move ? `${workName(elsewhere)} ${n}` : stageName(ctx.sheet, n);
    rounds.push(
      h(
        "section",
        null,
        h("h3", { text: n ? SAID.after(stage) : SAID.found }),
        move ? h("p", { class: "turned", text: moveWords(move, adjusterOf(ctx.sheet.car)?.kind) }) : null,
        elsewhere
          ? h("p", {
              class: "turned",
              text: moveWords(elsewhere, adjusterOf(/** @type {any} */ (ctx.sheet.car).other)?.kind),
            })
          : null,
        h(
          "ul",
          null,
          mine.map((reading) => line(ctx, reading)),
        ),
      ),
    );
  }
  const way = (/** @type {string} */ words, /** @type {string} */ to) =>
    h("a", { class: "way", href: ctx.href({ words: [to] }) }, words);
  return [
    h("h2", { text: SAID.title }),
    h("div", { class: "rail-ways" }, way(SAID.add, "add"), way(SAID.bars, "whatif")),
    ...(rounds.length ? rounds : [h("p", { text: SAID.none })]),
  ];
}
