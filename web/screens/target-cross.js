/* To what cross-weight, and by how much the mean of both heights rises: the share of all four loads that stands on
   right front and left rear, in percent, or that load in kilograms once all four wheels were weighed. Kept as a
   draft; writes what target-amount.js writes. Route ["cross"] of a job, or without one; with
   `as` cross, and `edit` for the rest. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { crossView } from "../parts/draw/cross.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { askedOf, extrasOf, targetBody } from "../work/aims.js";
import { FACTS, outside } from "../work/bounds.js";
import { short } from "../work/numbers.js";
import { thenWords } from "../work/then.js";
import { wordsIn } from "../work/units.js";
import { totalKg } from "../work/weighing.js";
import { write } from "./target-amount.js";
import { more, moreRows } from "./target-more.js";

/** @import { Shown } from "../types/context.d.ts" */

/** @typedef {"percent" | "kg"} Unit */

const KEY = "target/cross";
/** Both diagonals alike, [%]. */
const EVEN = 50;
const WHOLE = 100;
const SHARE = "target.cross_percent";
const RISE = "target.rise_mm";
const SAID = {
  title: "To what cross-weight?",
  how: "Load on right front and left rear, of all four. Raise, lower: the mean of both sides, against as found.",
  picture: "The car from above: right front and left rear are weighed together against the other two.",
  share: "RF+LR",
  ways: ["Raise", "Lower"],
  by: "In what?",
  percent: "%",
  kg: "kg",
  weigh: "All four wheels are weighed for it, at once or in pairs.",
  type: "Type the amount first.",
  between: (/** @type {string} */ low, /** @type {string} */ high) => `must be between ${low} and ${high} kg`,
  back: "Back",
  next: "Next",
};

/** @param {number} value @param {number} places */
const rounded = (value, places) => Number(value.toFixed(places));

/** What was typed, else what the job asks for, else even loads at the present mean height. @param {any} ctx */
function start(ctx) {
  const asked = askedOf(ctx.sheet?.target);
  const same = asked?.as === "cross" ? asked : null;
  const given = (/** @type {number} */ value) => ({ ...stateOf(value), prefilled: true });
  const rise = same?.right ?? 0;
  const first = {
    /** @type {Unit} */
    by: "percent",
    left: given(same?.left ?? EVEN),
    right: { ...given(Math.abs(rise)), sign: rise < 0 ? -1 : 1 },
    extras: extrasOf(ctx.sheet?.target),
  };
  return { ...first, ...ctx.drafts.draft(ctx.job || "new", KEY) };
}

/** Why that share cannot be asked for, "" where it can. @param {number | null} percent @param {Unit} by
 * @param {number} total */
function wrongShare(percent, by, total) {
  if (percent === null) return SAID.type;
  const wrong = outside(SHARE, percent, wordsIn(" %"));
  const [low, high] = [FACTS[SHARE].low, FACTS[SHARE].high].map((each) =>
    short(Math.round((Number(each) * total) / WHOLE)),
  );
  return wrong && by === "kg" ? SAID.between(low, high) : wrong;
}

/** What the model says of heights and cross-weight, where it has said it of this job. @param {any} ctx */
function together(ctx) {
  if (!ctx.job || !ctx.request) return "";
  return ctx.model.planAtHand(ctx.request.request)?.answer.cross_weight?.words ?? "";
}

/** The share, or the kilograms on RF and LR. @param {Unit} chosen @param {(to: string) => void} onchoose */
const unitKeys = (chosen, onchoose) =>
  choice({
    name: "cross-by",
    legend: SAID.by,
    cls: "compact",
    chosen,
    options: [
      { value: "percent", label: SAID.percent },
      { value: "kg", label: SAID.kg },
    ],
    onchoose,
  });

/**
 * The screen.
 * @param {any} ctx
 * @returns {Shown | null}
 */
export function crossAmount(ctx) {
  const { from } = ctx.query;
  const typed = start(ctx);
  if (ctx.query.edit) return more(ctx, { key: KEY, typed });
  const total = ctx.sheet ? totalKg(ctx.sheet) : null;
  const by = /** @type {Unit} */ (total ? typed.by : "percent");
  const inKg = by === "kg";
  const place = ctx.job || "new";
  const share = field({
    label: SAID.share,
    unit: inKg ? " kg" : " %",
    nudge: inKg ? 1 : 0.5,
    shown: true,
    state: typed.left,
    onchange: () => kept(),
    onnext: () => rise.input.focus(),
  });
  const rise = field({
    label: SAID.ways[0],
    unit: " mm",
    ways: SAID.ways,
    nudge: 1,
    shown: true,
    state: typed.right,
    onchange: () => kept(),
    onnext: () => next(),
  });
  // Which way stands with the figure also while the other field is typed into, and its two keys are away.
  const named = () => {
    const label = /** @type {HTMLElement} */ (rise.node.querySelector("label"));
    label.textContent = SAID.ways[(rise.state().sign ?? 1) < 0 ? 1 : 0];
  };
  const kept = (/** @type {Record<string, any>} */ also = {}) =>
    ctx.kept(() => {
      named();
      return ctx.drafts.keep(place, KEY, { ...typed, by, left: share.state(), right: rise.state(), ...also });
    });
  /** The share that is typed, [%]. */
  const percent = () => {
    const value = share.value();
    return value === null || !inKg ? value : rounded((WHOLE * value) / Number(total), 2);
  };
  const turn = (/** @type {string} */ to) => {
    const now = percent();
    const shown = now === null ? null : to === "kg" ? rounded((now * Number(total)) / WHOLE, 1) : rounded(now, 2);
    const left = shown === null ? undefined : { ...stateOf(shown), prefilled: true };
    if (kept({ by: to, left })) ctx.redraw();
  };
  const next = () => {
    const wrong = wrongShare(percent(), by, Number(total));
    if (wrong) return share.tell(wrong);
    const up = rise.value();
    const off = up === null ? SAID.type : outside(RISE, up, wordsIn(" mm"));
    if (off) return rise.tell(off);
    return write(ctx, targetBody({ as: "cross", left: Number(percent()), right: Number(up) }, typed.extras), KEY);
  };
  named();
  const told = together(ctx);
  const page = shell({
    kind: "ask",
    title: SAID.title,
    how: SAID.how,
    picture: crossView({ label: SAID.picture }),
    front: [total ? unitKeys(by, turn) : h("p", { class: "stance", text: SAID.weigh })],
    typed: pad({ fields: [share, rise], side: "left" }).node,
    body: [told ? h("p", { class: "foot-note", text: told }) : null, moreRows(ctx, typed.extras)],
    quiet: { words: SAID.back, href: ctx.href({ words: [ctx.job ? "target" : "new"], query: from ? { from } : {} }) },
    main: {
      words: SAID.next,
      small: ctx.job ? "" : thenWords({ words: ["read", "body-height", "left"] }, { words: ctx.words }),
      ontap: next,
    },
  });
  ctx.unsaved(() => ctx.drafts.draft(place, KEY) !== null);
  const refused = ctx.job && ctx.problemAt("target");
  if (refused) share.tell(refused.detail);
  return { title: SAID.title, focus: share.input, fresh() {}, node: page.node };
}
