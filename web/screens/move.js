/* Teeth turned, by hand: at each end on each side, arm down or arm up, with the arrow of that very side. Starts from
   the plan's teeth where a plan sent us here; writes one entry, or one that corrects the old one. */

import { endPicture } from "../parts/draw/ends.js";
import { h, say } from "../parts/dom.js";
import { repeating } from "../parts/hold.js";
import { armSign } from "../parts/icons.js";
import { fold } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { adjusterOf, workName } from "../work/adjuster.js";
import { onward } from "../work/flow.js";
import { teeth, way } from "../work/numbers.js";
import { planFor } from "../work/promise.js";
import { ofAxle } from "../work/sentence.js";
import { said, strikeOf } from "../work/sheet.js";
import { END_NAMES } from "../work/teardown-order.js";
import { turnsOf } from "./move-turns.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Body } from "../types/log.d.ts" */
/** @import { End, MoveRow, Side, Sides } from "../types/sheet.d.ts" */
/** @import { BarBody } from "../types/wire.d.ts" */

/** @typedef {Sides<Record<End, number> & { turns?: number }>} Turned Teeth, arm down positive; turns, raising
 *   positive. */

/** @type {Side[]} */
const SIDES = ["left", "right"];
/** @type {End[]} */
const ENDS = ["inner", "outer"];
/** All that is entered of a side. */
const NAMES = /** @type {(End | "turns")[]} */ ([...ENDS, "turns"]);
const MOST = 60;
/** Teeth drawn where nobody has counted them. */
const USUAL_TEETH = { inner: 40, outer: 44 };

const SAID = {
  teeth: "Teeth were turned too",
  back: "Back",
  remove: (/** @type {string} */ work) => `Remove this ${work}`,
  still: "no tooth",
  left: "LEFT",
  right: "RIGHT",
};

/** What the page says of teeth, and where an adjuster may have been turned. */
const OF_TEETH = {
  title: "Enter the teeth you turned",
  how: "Count them at each end, as seen kneeling at that wheel. Arm down raises the car.",
  save: "Save teeth",
  heard: (/** @type {number} */ n) => `Save teeth of teardown ${n}`,
  saved: (/** @type {number} */ n) => `teeth of teardown ${n}`,
  page: (/** @type {number} */ n) => `Teardown ${n}`,
};
const OF_TURNS = {
  title: "Enter what you turned",
  how: "By wheel, not by where its screw is. Raise lifts the car.",
  save: "Save",
  heard: () => "Save what was turned",
  saved: () => "what was turned",
  page: () => "What was turned",
};

/**
 * Teeth to start from: a draft, the entry being changed, the plan, or none.
 * @param {JobContext} ctx
 * @param {MoveRow | null} entry
 * @param {string} key
 * @returns {Turned}
 */
function start(ctx, entry, key) {
  const typed = ctx.drafts.draft(ctx.job, key);
  if (typed) return typed;
  const { li = 0, lo = 0, ri = 0, ro = 0, lt, rt } = ctx.query;
  const turns = (/** @type {any} */ count) => (count === undefined ? {} : { turns: Number(count) });
  return {
    left: { inner: Number(li), outer: Number(lo), ...turns(lt), ...entry?.left },
    right: { inner: Number(ri), outer: Number(ro), ...turns(rt), ...entry?.right },
  };
}

/** One end: its picture with the count between the keys of both ways.
 * @param {{side: Side, end: End, bar: BarBody, count: () => number, turn: (by: number) => void}} about */
function endRow({ side, end, bar, count, turn }) {
  const place = h("div", { class: "pen-place draw" });
  const figure = h("strong", {});
  const draw = () => {
    const now = count();
    const words = now ? teeth(now) : SAID.still;
    figure.textContent = words;
    const deg = (360 * Math.abs(now)) / (bar[`${end}_teeth`] ?? USUAL_TEETH[end]);
    const label = `${END_NAMES[end]}, ${side}: ${words}`;
    place.replaceChildren(endPicture({ side, end, way: now ? (now > 0 ? "down" : "up") : undefined, deg, label }));
    return label;
  };
  const key = (/** @type {1 | -1} */ by) =>
    repeating(
      h(
        "button",
        { type: "button", class: "key", "aria-label": `${END_NAMES[end]}, ${side}: one tooth ${way(by)}` },
        armSign(side, by > 0),
        h("span", { text: way(by) }),
      ),
      () => {
        turn(by);
        say(draw());
      },
    );
  draw();
  const shows = h("div", { class: "shows" }, place, h("span", { text: END_NAMES[end] }), figure);
  return h(
    "div",
    { class: "turned-end", role: "group", "aria-label": `${END_NAMES[end]}, ${side}` },
    key(-1),
    shows,
    key(1),
  );
}

/** The draft's name. @param {JobContext["query"]} query @param {string | number} what */
const keyOf = ({ li, lo, ri, ro, lt, rt, only }, what) =>
  ["move", what, li, lo, ri, ro, ...(lt === undefined ? [] : [lt, rt]), ...(only ? [only] : [])].join("/");

/** Both ends of both sides; folded where an adjuster stands before them and no tooth was turned.
 * @param {Turned} turned @param {(side: Side) => (end: End) => Node} row @param {boolean} folded */
function endsOf(turned, row, folded) {
  const sides = SIDES.map((side) =>
    h("section", { class: `turned-side ${side}` }, h("h2", { text: SAID[side] }), ENDS.map(row(side))),
  );
  const ends = h("div", { class: "turned" }, sides);
  const open = SIDES.some((side) => ENDS.some((end) => turned[side][end]));
  return folded ? fold({ title: SAID.teeth, open }, ends) : ends;
}

/** The body of the move: the sides shown, in place of what it said of them.
 * @param {{ entry: MoveRow | null, teardown: number, turned: Turned, shown: Side[],
 *   plan: import("../types/sheet.d.ts").PlanRow | null }} about @returns {Body} */
const bodyOf = ({ entry, teardown, turned, shown, plan }) => ({
  ...(entry ? { ...said(entry), corrects: entry.id } : {}),
  teardown,
  ...Object.fromEntries(shown.map((side) => [side, turned[side]])),
  ...(plan ? { plan: plan.id } : {}),
});

/** Whether a move says just this. @param {MoveRow} entry @param {Turned} turned @param {Side[]} shown */
const isAs = (entry, turned, shown) =>
  shown.every((side) => entry[side]) &&
  SIDES.every((side) => NAMES.every((name) => (entry[side]?.[name] ?? 0) === (turned[side][name] ?? 0)));

/** The key that takes a whole move out again, of the last one alone. @param {MoveRow | null} entry
 * @param {number} last @param {(row: MoveRow) => unknown} strike */
const strikeKey = (entry, last, strike) =>
  entry && entry.teardown === last
    ? h(
        "button",
        { type: "button", class: "key wide danger", onclick: () => strike(entry) },
        SAID.remove(workName(entry)),
      )
    : null;

/** The screen. @param {JobContext} ctx @returns {Shown} */
export function move(ctx) {
  const entry = ctx.sheet.moves.find(({ id }) => id === ctx.query.entry) ?? null;
  const teardown = entry?.teardown ?? ctx.sheet.teardowns + 1;
  const { only } = ctx.query;
  const key = keyOf(ctx.query, entry?.id ?? teardown);
  const adjuster = adjusterOf(ctx.sheet.car);
  const words = adjuster ? OF_TURNS : OF_TEETH;
  const turned = start(ctx, entry, key);
  const bar = ctx.sheet.car.bar ?? {};
  const from = ctx.query.from ? { words: String(ctx.query.from).split("/") } : null;

  const kept = () => ctx.kept(() => ctx.drafts.keep(ctx.job, key, turned));
  const row = (/** @type {Side} */ side) => (/** @type {End} */ end) =>
    endRow({
      side,
      end,
      bar,
      count: () => turned[side][end],
      turn: (by) => {
        turned[side][end] = Math.max(-MOST, Math.min(MOST, turned[side][end] + by));
        kept();
      },
    });
  const save = async () => {
    // The plan made last for this teardown is the one that is judged by what was turned.
    const plan = entry ? null : planFor(ctx.sheet, teardown);
    const body = bodyOf({ entry, teardown, turned, shown, plan });
    const same = entry && isAs(entry, turned, shown);
    if (!same && !(await ctx.save([["move", body]], { said: words.saved(teardown) }))) return;
    ctx.drafts.drop(ctx.job, key);
    if (entry) ctx.solved(entry.id);
    ctx.go(from ?? (entry ? { words: ["list"] } : onward(ctx.sheet, ["move"])));
  };
  const shown = SIDES.filter((side) => !only || side === only);
  const strike = async (/** @type {MoveRow} */ row) => (await ctx.save([strikeOf(row)])) && ctx.go({ words: ["list"] });
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, key) !== null);
  const refused = entry && ctx.problemAt(entry.id);
  const page = shell({
    kind: "page",
    title: ofAxle(ctx.there, words.title),
    how: words.how,
    front: [refused ? h("p", { class: "error", role: "alert", text: refused.detail }) : null],
    body: [
      adjuster ? turnsOf({ adjuster, sides: shown, turned, plan: planFor(ctx.sheet, teardown), kept }) : null,
      adjuster && only ? null : endsOf(turned, row, Boolean(adjuster)),
      strikeKey(entry, ctx.sheet.teardowns, strike),
    ],
    quiet: { words: SAID.back, ontap: () => history.back() },
    main: { words: words.save, heard: words.heard(teardown), ontap: save },
  });
  return { title: words.page(teardown), fresh() {}, node: page.node };
}
