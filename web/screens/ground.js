/* The car is down again: settle it, read both heights; once they are read the verdict takes the page (ground-
   verdict.js). `again` in the route reads them once more, of a new settling unless the route also says `still`. */

import { underWay } from "../work/teardown-steps.js";
import { h } from "../parts/dom.js";
import { fold, rowPlates } from "../parts/plate.js";
import { rearHeights } from "../parts/rear-heights.js";
import { spreadOf } from "../parts/repeats.js";
import { shell } from "../parts/shell.js";
import { ticks } from "../parts/ticks.js";
import { sprungOf } from "../work/adjuster.js";
import { readRoute, settledSoFar } from "../work/guide.js";
import { stageName } from "../work/promise.js";
import { READINGS, SIDES, valueOf } from "../work/readings.js";
import { lastOfDay, readingsOf, stageOf } from "../work/sheet.js";
import { SETTLE, looseWords, unsettled, verdictOf } from "../work/verdict.js";
import { formOf, markOf } from "../work/wish.js";
import { verdictScreen } from "./ground-verdict.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { ReadingRow, Side, Stage, What } from "../types/sheet.d.ts" */
/** @typedef {{ctx: JobContext, number: number, stage: Stage, what: What, again: boolean, still: boolean}} Check */

const SAID = {
  title: (/** @type {JobContext} */ { sheet }, /** @type {number} */ n) =>
    n ? `Check after ${stageName(sheet, n)}` : "Check as found",
  again: "Read again",
  settle: "Settle the car",
  anew: "Roll it two car lengths and bounce it once more, then read. Both readings count.",
  stands: "As it stands: the same settling, read once more. Both readings count.",
  still: "Not rolled since the last reading",
  riding: "Riding angles",
  optional: "optional",
  improves: "Optional. They improve the next plan.",
  arms: "The target is hanging angles: read them with the arms free, in the teardown.",
};

/** Readings of a stage on hand-over day. @param {Check} check @param {What} what @param {Side} side */
const readOf = ({ ctx, number }, what, side) =>
  readingsOf(ctx.sheet, { what, side, pose: {}, teardown: number }).filter(
    (/** @type {ReadingRow} */ row) => (row.after_km ?? null) === null,
  );

/** The address of reading a side; it leads back to this page, or to the verdict after the second side.
 * @param {Check} check @param {What} what @param {Side} side */
function toRead(check, what, side) {
  const { ctx, number, again, still } = check;
  const [left, right] = SIDES.map((each) => readOf(check, what, each).length);
  const last = left !== right;
  const so = settledSoFar(ctx.sheet, number);
  const resettled = again && !still ? so + (last ? 0 : 1) : so;
  const route = readRoute({ what, side, teardown: number, resettled: again ? resettled : 0 });
  const from = ["ground", number, ...(again && !last ? ["again", ...(still ? ["still"] : [])] : [])].join("/");
  return ctx.href({ ...route, query: { ...route.query, from } });
}

/** What was read of a kind: each figure a link to it, and a key to read. @param {Check} check @param {What} what */
function read(check, what) {
  const { ctx, number } = check;
  const name = READINGS[what].title.toLowerCase();
  return h(
    "ul",
    { class: "read-rows" },
    SIDES.map((side) => {
      const list = readOf(check, what, side);
      const back = ["ground", number, ...(check.again ? ["again"] : [])].join("/");
      const link = (/** @type {ReadingRow} */ row) =>
        h("a", {
          class: "key small",
          href: ctx.href({ ...readRoute({ ...row, entry: row.id }), query: { entry: row.id, from: back } }),
          "aria-label": `Change ${name}, ${side}: ${valueOf(row)}`,
          text: valueOf(row),
        });
      return h(
        "li",
        null,
        h("b", { text: side === "left" ? "Left" : "Right" }),
        h("span", { class: "were" }, list.map(link), list.length > 1 ? h("span", { text: spreadOf(list) }) : null),
        h(
          "a",
          {
            class: "key",
            href: toRead(check, what, side),
            "aria-label": `${list.length ? "Read again" : "Read"}: ${name}, ${side}`,
          },
          list.length ? "Again" : "Read",
        ),
      );
    }),
  );
}

/** What the car is settled by, each ticked into the log. @param {Check} check */
function settling({ ctx, number }) {
  const open = unsettled(ctx.sheet, number);
  return ticks({
    label: SAID.settle,
    rows: SETTLE.map(([key, text]) => ({ key, text, done: !open.includes(key) })),
    ontick: async (key, done, text) => {
      const kept = await ctx.save([["step", { step: key, done, teardown: number }]], { said: text });
      if (kept) ctx.redraw();
      return kept;
    },
  });
}

/** The choice of reading again without rolling. @param {Check} check */
function asItStands({ ctx, number, still }) {
  const to = { words: ["ground", String(number), "again", ...(still ? [] : ["still"])] };
  return ticks({
    label: SAID.again,
    rows: [{ key: "still", text: SAID.still, done: still }],
    ontick: async () => {
      ctx.go(to, { replace: true });
      return true;
    },
  });
}

/** The keys of the deck: the side to read next, and the other one. @param {Check} check */
function deckOf(check) {
  const { ctx, number, what, again } = check;
  const counts = SIDES.map((side) => readOf(check, what, side).length);
  /** @type {Side} */
  const next = counts[0] <= counts[1] ? "left" : "right";
  const other = next === "left" ? "right" : "left";
  const name = READINGS[what].title.toLowerCase();
  const key = (/** @type {Side} */ side, read = false) => {
    const words = read ? `${side === "left" ? "Left" : "Right"} again` : `Read ${side}`;
    return { words, heard: `${words}: ${name}`, href: toRead(check, what, side) };
  };
  const back = { words: "Verdict", href: ctx.href({ words: ["ground", String(number)] }) };
  if (again) return { quiet: back, main: key(next) };
  return { quiet: key(other, counts[SIDES.indexOf(other)] > 0), main: key(next) };
}

/** The page on which it is settled and read. @param {Check} check */
function readScreen(check) {
  const { ctx, number, stage, again, still } = check;
  const angles = formOf(stage.target) === "hanging-angle";
  const loose = unsettled(ctx.sheet, number).length > 0;
  const rows = verdictOf(stage).rows;
  const picture = rearHeights({ found: stageOf(ctx.stages, 0), stage, front: sprungOf(ctx.sheet.car) === "front" });
  const screen = shell({
    title: again ? SAID.again : SAID.title(ctx, number),
    picture,
    body: [
      again ? h("p", { class: "foot-note", text: still ? SAID.stands : SAID.anew }) : null,
      again ? asItStands(check) : settling(check),
      !again && loose ? h("p", { class: "loose", role: "note", text: looseWords() }) : null,
      angles ? h("p", { class: "foot-note", text: SAID.arms }) : null,
      rows.length && !again ? rowPlates(rows) : null,
      again ? read(check, check.what) : null,
      fold(
        { title: SAID.riding, more: SAID.optional },
        h("p", { class: "foot-note", text: SAID.improves }),
        read(check, "riding-angle"),
      ),
    ],
    ...deckOf(check),
  });
  return { title: again ? SAID.again : SAID.title(ctx, number), focus: screen.title, node: screen.node };
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown | null}
 */
export function ground(ctx) {
  const number = Number(ctx.words[1] ?? ctx.sheet.teardowns);
  const stage = stageOf(ctx.stages, number) ?? lastOfDay(ctx.stages);
  if (!stage) return null;
  const verdict = verdictOf(stage);
  const again = ctx.words[2] === "again";
  if (verdict.state !== "unread" && !again)
    return verdictScreen(ctx, { number: stage.teardown, stage, verdict, under: underWay(ctx.sheet) });
  const what = verdict.angles ? "hanging-angle" : markOf(stage.target);
  return readScreen({ ctx, number: stage.teardown, stage, what, again, still: ctx.words[3] === "still" });
}
