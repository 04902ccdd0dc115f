/* Another height, tried by hand: both sides go up or down together and the plan follows while the finger moves.

   The phone's worker holds the fitted car and plans again for each target; the page only writes the new figures in. One
   question at a time, the newest next. What to measure is left out until the finger rests. Nothing is kept until it is
   asked for. Fetched when it is first wanted. */

import { h } from "../parts/dom.js";
import { icon } from "../parts/icons.js";
import { length } from "../work/units.js";
import { markOf } from "../work/wish.js";
import { FACTS } from "../work/bounds.js";

const REACH_MM = 40;
const SAID = {
  label: "Both sides, higher or lower",
  lower: "one millimetre lower",
  higher: "one millimetre higher",
  back: "Back to the target",
  trying: (/** @type {string} */ heights) => `Trying ${heights}`,
  target: (/** @type {string} */ heights) => `Target: ${heights}`,
  keep: (/** @type {string} */ heights) => `Set target to ${heights}`,
};

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { HeightsTarget, SolveAnswer, SolveRequest } from "../types/wire.d.ts" */

/** @typedef {(SolveRequest & { target: HeightsTarget })} Request Of a plan whose target is heights. */
/** @typedef {{ detail?: string, message?: string }} Wrong Why there is no answer. */

/**
 * The target with both heights moved.
 * @param {HeightsTarget} target
 * @param {number} by mm, up positive
 * @returns {HeightsTarget}
 */
const movedTarget = (target, by) => ({
  ...target,
  left_mm: target.left_mm + by,
  right_mm: target.right_mm + by,
});

/**
 * How far both sides may go together, mm.
 * @param {HeightsTarget} target
 */
function reach(target) {
  const bounds = FACTS[`log.value.${markOf(target)}`];
  return {
    low: Math.max(-REACH_MM, Math.ceil(bounds.low - Math.min(target.left_mm, target.right_mm))),
    high: Math.min(REACH_MM, Math.floor(bounds.high - Math.max(target.left_mm, target.right_mm))),
  };
}

/**
 * "both 260 mm", "left 260 mm, right 262 mm".
 * @param {HeightsTarget} target
 */
const heightsOf = ({ left_mm: left, right_mm: right }) =>
  left === right ? `both ${length(left)}` : `left ${length(left)}, right ${length(right)}`;

/**
 * The slider between its two keys, what is said of it, and the keys to keep it or go back.
 * @param {{ low: number, high: number }} range
 * @param {{ put: (by: number, focus?: HTMLElement) => void, keep: () => void }} on
 */
function partsOf({ low, high }, { put, keep }) {
  const said = h("output", { for: "aim" });
  // What the tried height comes to, where the finger is: the plan itself may be out of sight.
  const tried = h("p", { class: "tried" });
  const input = h("input", { id: "aim", type: "range", min: low, max: high, step: 1, value: 0 });
  const keepKey = h("button", { type: "button", class: "key", onclick: keep });
  const back = h("button", { type: "button", class: "key", onclick: () => put(0, input) }, SAID.back);
  const keys = h("div", { class: "pair-keys" }, keepKey, back);
  const nudge = (/** @type {number} */ by, /** @type {"minus" | "plus"} */ sign, /** @type {string} */ spoken) =>
    h(
      "button",
      { type: "button", class: "key", "aria-label": spoken, onclick: () => put(Number(input.value) + by) },
      icon(sign),
    );
  const node = h(
    "section",
    { class: "aim" },
    h("label", { for: "aim", text: SAID.label }),
    h("div", { class: "slide" }, nudge(-1, "minus", SAID.lower), input, nudge(1, "plus", SAID.higher)),
    said,
    tried,
    keys,
  );
  return { node, input, said, tried, keys, keep: keepKey, back };
}

/**
 * Plans for one target after another, the newest next.
 * @param {JobContext} ctx
 * @param {Request} request
 * @param {{ onanswer: (answer: SolveAnswer, by: number, rests: boolean) => Promise<boolean>,
 *   ontrouble: (problem: Wrong) => void }} on `onanswer`: whether to go on; the next question waits for it. `rests`
 *   where the finger does
 * @returns {{ fit: () => Promise<unknown>, busy: () => boolean, want: (by: number, rest: boolean) => void }}
 */
function following(ctx, request, { onanswer, ontrouble }) {
  /** @type {Promise<SolveAnswer> | null} */
  let fitted = null;
  let asking = false;
  /** @type {{ by: number, rest: boolean } | null} */
  let wanted = null;
  /** Fit the car in the worker, once; a failed fit is tried again at the next touch. */
  function fit() {
    fitted ??= ctx.model.solve(request).catch((problem) => {
      fitted = null;
      throw problem;
    });
    return fitted;
  }
  const taken = () => {
    const now = wanted;
    wanted = null;
    return now;
  };
  async function pump() {
    if (asking) return;
    asking = true;
    try {
      await fit();
      for (let now = taken(); now; now = taken()) {
        const { by, rest } = now;
        const answer = await ctx.model.replan(movedTarget(request.target, by), { advice: rest });
        if (!(await onanswer(answer, by, rest && !wanted))) return;
      }
    } catch (problem) {
      wanted = null;
      ontrouble(/** @type {Wrong} */ (problem));
    } finally {
      asking = false;
    }
  }
  return {
    fit,
    busy: () => asking || wanted !== null,
    want(by, rest) {
      wanted = { by, rest };
      pump();
    },
  };
}

/**
 * The slider: {node}. `tell(answer)` an answer in a line; `onstart()` as it is touched, `onlive(answer)` while it
 * moves (the next question waits for it), `onrest(answer, target)` when it rests, `onend()` when it was let go without
 * a move, `onkeep(target)` to keep it, `ontrouble(problem)`.
 * @param {JobContext} ctx
 * @param {{ request: Request, tell: (answer: SolveAnswer) => string, onstart: () => void,
 *   onlive: (answer: SolveAnswer) => Promise<void>, onrest: (answer: SolveAnswer, target: HeightsTarget) => void,
 *   onend: () => void, onkeep: (target: HeightsTarget) => void, ontrouble: (problem: Wrong) => void }} on
 * @returns {{ node: HTMLElement }}
 */
export function planSlider(ctx, { request, tell, onstart, onlive, onrest, onend, onkeep, ontrouble }) {
  const target = request.target;
  let touched = false;
  const at = (/** @type {number} */ by) => movedTarget(target, by);
  const parts = partsOf(reach(target), { put, keep: () => onkeep(at(Number(input.value))) });
  const { node, input } = parts;
  const follower = following(ctx, request, {
    async onanswer(answer, by, rests) {
      if (!node.isConnected) return false;
      parts.tried.textContent = by ? tell(answer) : "";
      if (rests) {
        touched = false;
        draw();
        onrest(answer, at(by));
      } else await onlive(answer);
      return true;
    },
    ontrouble(problem) {
      touched = false;
      ontrouble(problem);
    },
  });
  function draw() {
    const by = Number(input.value);
    const words = heightsOf(at(by));
    parts.said.textContent = by ? SAID.trying(words) : SAID.target(words);
    input.setAttribute("aria-valuetext", words);
    // They come as the slider is touched, so that nothing changes its size while it moves.
    parts.keys.classList.toggle("away", !touched && !by);
    parts.keep.disabled = parts.back.disabled = !by;
    parts.keep.textContent = SAID.keep(words);
  }
  /** @param {number} by @param {HTMLElement} [focus] */
  function put(by, focus) {
    input.value = String(by);
    focus?.focus({ preventScroll: true });
    moved(true);
  }
  function touch() {
    if (touched) return;
    touched = true;
    draw();
    onstart();
    follower.fit().catch(() => {});
  }
  function letGo() {
    if (!touched || follower.busy()) return;
    touched = false;
    draw();
    onend();
  }
  /** @param {boolean} rest whether the finger does */
  function moved(rest) {
    touch();
    draw();
    follower.want(Number(input.value), rest);
  }
  input.addEventListener("pointerdown", touch);
  for (const end of ["pointerup", "pointercancel", "blur"]) input.addEventListener(end, () => setTimeout(letGo));
  input.addEventListener("input", () => moved(false));
  input.addEventListener("change", () => moved(true));
  draw();
  return { node };
}
