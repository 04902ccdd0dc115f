/* Teeth turned, by hand: at each end on each side, arm down or arm up, with the arrow of that very side. Starts from
   the plan's teeth where a plan sent us here; writes one entry, or one that corrects the old one. */

import { endPicture } from "../parts/draw/ends.js";
import { h, say } from "../parts/dom.js";
import { repeating } from "../parts/hold.js";
import { armSign } from "../parts/icons.js";
import { shell } from "../parts/shell.js";
import { onward } from "../work/flow.js";
import { teeth, way } from "../work/numbers.js";
import { planFor } from "../work/promise.js";
import { said, strikeOf } from "../work/sheet.js";
import { END_NAMES } from "../work/teardown-order.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Body } from "../types/log.d.ts" */
/** @import { End, MoveRow, Side, Sides } from "../types/sheet.d.ts" */
/** @import { BarBody } from "../types/wire.d.ts" */

/** @typedef {Sides<Record<End, number>>} Turned Teeth, arm down positive. */

/** @type {Side[]} */
const SIDES = ["left", "right"];
/** @type {End[]} */
const ENDS = ["inner", "outer"];
const MOST = 60;
/** Teeth drawn where nobody has counted them. */
const USUAL_TEETH = { inner: 40, outer: 44 };

const SAID = {
  title: "Enter the teeth you turned",
  how: "Count them at each end, as seen kneeling at that wheel. Arm down raises the car.",
  back: "Back",
  save: "Save teeth",
  remove: "Remove this teardown",
  still: "no tooth",
  left: "LEFT",
  right: "RIGHT",
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
  const { li = 0, lo = 0, ri = 0, ro = 0 } = ctx.query;
  return {
    left: { inner: Number(li), outer: Number(lo), ...entry?.left },
    right: { inner: Number(ri), outer: Number(ro), ...entry?.right },
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

/** The screen. @param {JobContext} ctx @returns {Shown} */
export function move(ctx) {
  const entry = ctx.query.entry ? (ctx.sheet.moves.find(({ id }) => id === ctx.query.entry) ?? null) : null;
  const teardown = entry?.teardown ?? ctx.sheet.teardowns + 1;
  const key = ["move", entry?.id ?? teardown, ctx.query.li, ctx.query.lo, ctx.query.ri, ctx.query.ro].join("/");
  const turned = start(ctx, entry, key);
  const bar = ctx.sheet.car.bar ?? {};
  const from = ctx.query.from ? { words: String(ctx.query.from).split("/") } : null;

  const row = (/** @type {Side} */ side) => (/** @type {End} */ end) =>
    endRow({
      side,
      end,
      bar,
      count: () => turned[side][end],
      turn: (by) => {
        turned[side][end] = Math.max(-MOST, Math.min(MOST, turned[side][end] + by));
        ctx.kept(() => ctx.drafts.keep(ctx.job, key, turned));
      },
    });
  const save = async () => {
    const same =
      entry && SIDES.every((side) => ENDS.every((name) => (entry[side]?.[name] ?? 0) === turned[side][name]));
    // The plan made last for this teardown is the one that is judged by what was turned.
    const plan = entry ? null : planFor(ctx.sheet, teardown);
    /** @type {Body} */
    const body = { ...(entry ? said(entry) : {}), teardown, ...turned, ...(plan ? { plan: plan.id } : {}) };
    if (entry) body.corrects = entry.id;
    if (!same && !(await ctx.save([["move", body]], { said: `teeth of teardown ${teardown}` }))) return;
    ctx.drafts.drop(ctx.job, key);
    if (entry) ctx.solved(entry.id);
    ctx.go(from ?? (entry ? { words: ["list"] } : onward(ctx.sheet, ["move"])));
  };
  const strike = async (/** @type {MoveRow} */ row) => (await ctx.save([strikeOf(row)])) && ctx.go({ words: ["list"] });
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, key) !== null);
  const refused = entry && ctx.problemAt(entry.id);
  const page = shell({
    kind: "page",
    title: SAID.title,
    how: SAID.how,
    front: [refused ? h("p", { class: "error", role: "alert", text: refused.detail }) : null],
    body: [
      h(
        "div",
        { class: "turned" },
        SIDES.map((side) =>
          h("section", { class: `turned-side ${side}` }, h("h2", { text: SAID[side] }), ENDS.map(row(side))),
        ),
      ),
      entry && entry.teardown === ctx.sheet.teardowns
        ? h("button", { type: "button", class: "key wide danger", onclick: () => strike(entry) }, SAID.remove)
        : null,
    ],
    quiet: { words: SAID.back, ontap: () => history.back() },
    main: { words: SAID.save, heard: `${SAID.save} of teardown ${teardown}`, ontap: save },
  });
  return { title: `Teardown ${teardown}`, fresh() {}, node: page.node };
}
