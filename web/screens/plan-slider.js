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

/** The target with both heights moved. */
export const movedTarget = (target, by) => ({
  ...target,
  left_mm: target.left_mm + by,
  right_mm: target.right_mm + by,
});

/**
 * The slider: {node}. `tell(answer)` an answer in a line; `onstart()` as it is touched, `onlive(answer)` while it
 * moves (the next question waits for it), `onrest(answer, target)` when it rests, `onend()` when it was let go without
 * a move, `onkeep(target)` to keep it, `ontrouble(problem)`.
 */
export function planSlider(ctx, { request, tell, onstart, onlive, onrest, onend, onkeep, ontrouble }) {
  const target = request.target;
  const bounds = FACTS[`log.value.${markOf(target)}`];
  const low = Math.max(-REACH_MM, Math.ceil(bounds.low - Math.min(target.left_mm, target.right_mm)));
  const high = Math.min(REACH_MM, Math.floor(bounds.high - Math.max(target.left_mm, target.right_mm)));
  const said = h("output", { for: "aim" });
  // What the tried height comes to, where the finger is: the plan itself may be out of sight.
  const tried = h("p", { class: "tried" });
  const input = h("input", { id: "aim", type: "range", min: low, max: high, step: 1, value: 0 });
  const keep = h("button", {
    type: "button",
    class: "key",
    onclick: () => onkeep(movedTarget(target, Number(input.value))),
  });
  const back = h("button", { type: "button", class: "key", onclick: () => put(0, input) }, SAID.back);
  const keys = h("div", { class: "pair-keys" }, keep, back);
  const nudge = (by, sign, spoken) =>
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

  let fitted = null;
  let asking = false;
  let wanted = null;
  let touched = false;
  const words = (by) => {
    const { left_mm: left, right_mm: right } = movedTarget(target, by);
    return left === right ? `both ${length(left)}` : `left ${length(left)}, right ${length(right)}`;
  };
  function draw() {
    const by = Number(input.value);
    said.textContent = by ? SAID.trying(words(by)) : SAID.target(words(0));
    input.setAttribute("aria-valuetext", words(by));
    // They come as the slider is touched, so that nothing changes its size while it moves.
    keys.classList.toggle("away", !touched && !by);
    keep.disabled = back.disabled = !by;
    keep.textContent = SAID.keep(words(by));
  }
  function put(by, focus) {
    input.value = by;
    focus?.focus({ preventScroll: true });
    moved(true);
  }
  function touch() {
    if (touched) return;
    touched = true;
    draw();
    onstart();
    fit().catch(() => {});
  }
  function letGo() {
    if (!touched || asking || wanted) return;
    touched = false;
    draw();
    onend();
  }
  /** Fit the car in the worker, once; a failed fit is tried again at the next touch. */
  function fit() {
    fitted ??= ctx.model.solve(request).catch((problem) => {
      fitted = null;
      throw problem;
    });
    return fitted;
  }
  async function pump() {
    if (asking) return;
    asking = true;
    try {
      await fit();
      while (wanted) {
        const { by, rest } = wanted;
        wanted = null;
        const answer = await ctx.model.replan(movedTarget(target, by), { advice: rest });
        if (!node.isConnected) return;
        tried.textContent = by ? tell(answer) : "";
        if (rest && !wanted) {
          touched = false;
          draw();
          onrest(answer, movedTarget(target, by));
        } else await onlive(answer);
      }
    } catch (problem) {
      wanted = null;
      touched = false;
      ontrouble(problem);
    } finally {
      asking = false;
    }
  }
  function moved(rest) {
    touch();
    draw();
    wanted = { by: Number(input.value), rest };
    pump();
  }
  input.addEventListener("pointerdown", touch);
  for (const end of ["pointerup", "pointercancel", "blur"]) input.addEventListener(end, () => setTimeout(letGo));
  input.addEventListener("input", () => moved(false));
  input.addEventListener("change", () => moved(true));
  draw();
  return { node };
}
