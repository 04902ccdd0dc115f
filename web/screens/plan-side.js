/* One side of a plan: which end to turn, how many teeth, which way; the corner now and then, to scale; what it will read and
   what it takes to lift it. Built once; its parts write another option in without building anew, for the slider. */

import { h } from "../parts/dom.js";
import { dial } from "../parts/dial.js";
import { angle, plain, turn } from "../work/numbers.js";
import { scaleView } from "../parts/scale-view.js";
import { swing } from "../parts/signs.js";
import { length, lengthSpread } from "../work/units.js";
import { liftWords } from "../work/lift.js";
import { promisedOf } from "../work/promise.js";
import { inDegrees } from "../work/sheet.js";

const USUAL_ARM_MM = 415;
/** Where a mark was never read the drawing shows the change alone, about this height. */
const USUAL_HEIGHT_MM = 230;

/** A line of figures whose value can be written anew: {node, set(strong, rest, before)}. */
function row(name) {
  const before = document.createTextNode("");
  const strong = h("strong");
  const rest = document.createTextNode("");
  const node = h("div", { class: "row" }, h("dt", { text: name }), h("dd", null, before, strong, rest));
  const put = (place, text, what) => place[what] !== text && (place[what] = text);
  const set = (bold, after = "", ahead = "") => {
    put(before, ahead, "data");
    put(strong, bold, "textContent");
    put(rest, after, "data");
  };
  return { node, set };
}

/** The card of one side: {node, parts}, each part a function that writes its figures of an option. */
export function planSide({ side, option, now, car }) {
  const { bar = {}, arm_mm: arm = USUAL_ARM_MM } = car;
  const rows = {
    height: row("Body height"),
    hanging: row("Hanging, gauge reads"),
    riding: row("Riding"),
    lift: row("Lift to the stop"),
    travel: row("Travel left"),
    stress: row("Bar at full bump"),
    camber: row("Camber changes by"),
  };
  const ends = { inner: h("div", { class: "end-place" }), outer: h("div", { class: "end-place" }) };
  const shown = {};
  const seen = h("p", { class: "seen" });
  const was = now[side];
  const rises = ({ value }) => `${length(Math.abs(value))} ${value < 0 ? "lower" : "higher"}`;
  const state = (then) => {
    const read = was.body_height_mm && then.body_height_mm;
    const height = read ? was.body_height_mm.value : USUAL_HEIGHT_MM;
    const body = read
      ? `the body is ${length(height)} over the floor now and ${length(then.body_height_mm.value)} then`
      : `the body's height was not read, it will be ${rises(then.rise_mm)}`;
    return {
      side,
      arm_mm: arm,
      now: { riding_deg: was.riding_deg.value, height_mm: height },
      then: { riding_deg: then.riding_deg, height_mm: read ? then.body_height_mm.value : height + then.rise_mm.value },
      nowText: read ? `now ${length(height)}` : "now: height not read",
      thenText: `then ${read ? length(then.body_height_mm.value) : rises(then.rise_mm)}`,
      words: `To scale, the ${side} side: the arm rides at ${angle(was.riding_deg.value)} now and at ${angle(then.riding_deg)} then; ${body}.`,
    };
  };
  const view = scaleView(state(option[side]));
  /** The turn of a plan in degrees. */
  const turned = (then) => {
    const words = turn(then.turn_deg);
    if (shown.turn !== words) {
      shown.turn = words;
      const still = words === "leave";
      ends.inner.replaceChildren(
        h("p", { class: "by-degrees" }, still ? null : swing(side, then.turn_deg > 0), h("strong", { text: words })),
      );
      seen.textContent = still
        ? `Nothing to turn on the ${side}.`
        : `As seen kneeling at the ${side} wheel. Its teeth are not counted yet.`;
    }
    ends.outer.classList.add("away");
  };
  /** The teeth. */
  const toothed = (chosen) => {
    const then = chosen[side];
    if (inDegrees(chosen)) return turned(then);
    for (const end of ["inner", "outer"]) {
      if (shown[end] === then[end]) continue;
      shown[end] = then[end];
      ends[end].replaceChildren(dial({ side, end, teeth: then[end], of: bar[`${end}_teeth`] }));
    }
    seen.textContent =
      then.inner || then.outer ? `As seen kneeling at the ${side} wheel.` : `Nothing to turn on the ${side}.`;
    return undefined;
  };
  const drawn = (chosen) => view.show(state(chosen[side]));
  /** The figures. */
  const figured = (chosen) => {
    const then = chosen[side];
    if (was.body_height_mm && then.body_height_mm)
      rows.height.set(lengthSpread(then.body_height_mm), "", `${length(was.body_height_mm.value)} → `);
    else rows.height.set(promisedOf(then), "", "not read; ");
    rows.hanging.set(angle(then.hanging_deg), ` (now ${angle(was.hanging_deg.value)})`);
    rows.riding.set("", `${angle(then.riding_deg)} (now ${angle(was.riding_deg.value)})`);
    const lift = liftWords(then.lift);
    if (lift) rows.lift.set(lift.force, ` ${lift.more}`);
    else rows.lift.set("", "none: the arm hangs at or above its stop");
    rows.travel.set("", `${length(then.bump_left_mm)} up, ${length(then.droop_left_mm)} down`);
    rows.stress.set(
      "",
      then.stress_at_bump_mpa === null
        ? "not known: the bar was not measured"
        : `${plain(then.stress_at_bump_mpa, 0)} MPa`,
    );
    rows.camber.set("", `${plain(then.camber_change_deg, 1)}°`);
    rows.camber.node.classList.toggle("away", Math.abs(then.camber_change_deg) <= 0.05);
  };
  const parts = [toothed, drawn, figured];
  for (const part of parts) part(option);
  const node = h(
    "section",
    { class: `corner ${side}`, "aria-labelledby": `corner-${side}` },
    h("h2", { id: `corner-${side}` }, h("span", { class: `side-name ${side}`, text: side }), " side"),
    h("div", { class: "ends" }, ends.inner, ends.outer),
    seen,
    view,
    h(
      "dl",
      { class: "facts" },
      Object.values(rows).map(({ node: line }) => line),
    ),
  );
  // A cell round the card: a card that is itself a cell of the grid could not be laid out anew on its own.
  return { node: h("div", { class: "cell" }, node), parts };
}
