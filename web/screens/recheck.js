/* The recheck: some kilometres after hand-over both heights are read again. How far it was driven, left, right,
   then what that tells. The job stays closed; a recheck is a stage of its own.

   Route: recheck, recheck/KM, recheck/KM/left (to read it, or once more). */

import { h } from "../parts/dom.js";
import { rowPlates, keyRows, plate } from "../parts/plate.js";
import { rearHeights } from "../parts/rear-heights.js";
import { shell } from "../parts/shell.js";
import { ticks } from "../parts/ticks.js";
import { sprungOf } from "../work/adjuster.js";
import { LATER, RECHECK } from "../work/checks.js";
import { ticked } from "../work/handover.js";
import { rechecks, whole } from "../work/due.js";
import { expectedWords, jobFrom, recheckOf, settledWords } from "../work/recheck.js";
import { SIDES } from "../work/readings.js";
import { stageOf } from "../work/sheet.js";
import { gateWords, heightsOf } from "../work/verdict.js";
import { askKm, askHeight } from "./recheck-ask.js";

/** @import { JobContext } from "../types/context.d.ts" */

/** @import { Side, Stage } from "../types/sheet.d.ts" */
/** @import { Recheck } from "../work/recheck.js" */

const SAID = {
  title: "Recheck",
  settled: (/** @type {string} */ words, /** @type {string} */ usual) =>
    `Against hand-over: ${words}. Expected: ${usual} (90 in 100), with friction and tape.`,
  legend: (/** @type {string} */ gate) =>
    `Solid: read now. Dashed: at hand-over.${gate ? ` Hatched: target, ${gate}.` : ""}`,
  again: "Read again",
  another: "Another recheck",
  newJob: "New job",
  newJobSmall: "from these readings",
  done: "Done",
  handover: "Hand-over",
  notClosed: "This job is not handed over yet. Hand it over first.",
  torque: LATER[1],
};

/** The deck of a verdict: what to do first is the main key. */
function deckOf(/** @type {JobContext} */ ctx, /** @type {Stage} */ stage, /** @type {Recheck} */ found) {
  const { km, state } = found;
  const again = { words: SAID.again, href: ctx.href({ words: ["recheck", String(km), "left"] }) };
  const begin = {
    words: SAID.newJob,
    small: SAID.newJobSmall,
    ontap: async () => {
      const { sheet, request, stages, timeline } = ctx;
      const job = await ctx.begin(jobFrom({ sheet, request, stages, timeline }, stage));
      if (job) ctx.go({ words: ["plan"] }, { job });
    },
  };
  if (state === "odd") return { quiet: begin, main: again };
  if (state === "settled-off") return { quiet: again, main: begin };
  return { quiet: again, main: { words: SAID.done, href: ctx.href({ words: ["close"] }) } };
}

/** What a recheck tells. */
function verdictScreen(/** @type {JobContext} */ ctx, /** @type {Stage} */ stage) {
  const found = recheckOf({ sheet: ctx.sheet }, stage);
  const usual = expectedWords(found.expected);
  const picture = rearHeights({
    found: stageOf(ctx.stages, stage.teardown),
    stage,
    was: "at hand-over",
    front: sprungOf(ctx.sheet.car) === "front",
  });
  const screen = shell({
    title: SAID.title,
    verdict: plate({ good: found.good, title: found.title, text: found.text, level: "h1" }),
    picture,
    body: [
      h("p", { class: "settled", text: SAID.settled(settledWords(found.settled), usual) }),
      rowPlates(found.verdict.rows),
      picture ? h("p", { class: "foot-note", text: SAID.legend(gateWords(stage.target)) }) : null,
      ticks({
        label: SAID.title,
        rows: [{ key: RECHECK, text: SAID.torque, done: ticked(ctx.sheet, RECHECK) }],
        ontick: async (step, done, text) => {
          const kept = await ctx.save([["step", { step, done }]], { said: text });
          if (kept) ctx.redraw();
          return kept;
        },
      }),
      keyRows([{ words: SAID.another, href: ctx.href({ words: ["recheck"], query: { new: 1 } }) }]),
    ],
    ...deckOf(ctx, stage, found),
  });
  return { title: SAID.title, focus: screen.title, node: screen.node };
}

/** Before hand-over there is nothing to recheck. */
function tooSoon(/** @type {JobContext} */ ctx) {
  const screen = shell({
    title: SAID.title,
    body: [h("p", { text: SAID.notClosed })],
    main: { words: SAID.handover, href: ctx.href({ words: ["close"] }) },
  });
  return { title: SAID.title, focus: screen.title, node: screen.node };
}

/**
 * The screen.
 * @param {JobContext} ctx
 */
export function recheck(ctx) {
  const { sheet, stages, words } = ctx;
  if (!sheet.closed) return tooSoon(ctx);
  const made = rechecks(stages);
  const open = made.findLast((/** @type {Stage} */ stage) => !whole(stage));
  const km = Number(words[1]);
  if (!(km > 0)) {
    const last = made.at(-1);
    if (ctx.query.new || !last) return askKm(ctx);
    return open ? askHeight(ctx, { km: Number(open.after_km), side: lacking(open) }) : verdictScreen(ctx, last);
  }
  const stage = made.find((/** @type {Stage} */ each) => each.after_km === km);
  const side = /** @type {Side} */ (words[2]);
  if (SIDES.includes(side)) return askHeight(ctx, { km, side });
  if (!stage || !whole(stage)) return askHeight(ctx, { km, side: stage ? lacking(stage) : "left" });
  return verdictScreen(ctx, stage);
}

/** The side of a recheck that is still to be read. @param {Stage} stage @returns {Side} */
const lacking = (stage) => (heightsOf(stage).left === null ? "left" : "right");
