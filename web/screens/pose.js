/* How the car is made to stand for a test: how thick the board and under which tyre, or how much weight over the axle.
   Leads on to the readings of that pose; writes nothing itself. */

import { outside } from "../work/bounds.js";
import { h } from "../parts/dom.js";
import { wordsIn } from "../work/units.js";
import { field, stateOf } from "../parts/field.js";
import { keyPad } from "../parts/keypad.js";
import { sideView } from "../parts/side-view.js";
import { readRoute, series } from "../work/guide.js";
import { nudges } from "../work/nudges.js";

const TESTS = {
  board: {
    title: (side) => `Board under the ${side} tyre`, unit: " mm", nudge: 1, path: "log.pose.board_left_mm", usual: 50,
    where: (side) => `A flat board under the ${side} rear tyre only, on level floor. How thick? Then roll, bounce, and read both sides.`,
    pose: (side, size) => ({ [`board_${side}_mm`]: size }),
  },
  ballast: {
    title: () => "Weight over the axle", unit: " kg", nudge: 5, path: "log.pose.ballast_left_kg", usual: 50,
    where: () => "A known weight in the middle, straight over the rear axle. How heavy? Half of it counts for each side. Then read both sides.",
    pose: (_, size) => ({ ballast_left_kg: size / 2, ballast_right_kg: size / 2 }),
  },
}; // prettier-ignore

/** The screen: route words ["pose", "board", "left"]. */
export function pose(ctx) {
  const [, name, side] = ctx.words;
  const test = TESTS[name];
  if (!test) return null;
  const key = `pose/${name}`;
  const next = () => {
    const size = one.value();
    if (!size) return one.tell("Type the figure first.");
    const wrong = outside(test.path, size, wordsIn(test.unit));
    if (wrong) return one.tell(wrong);
    const stance = test.pose(side, size);
    const run = ctx.query.then ? `${name}-then-${ctx.query.then}` : name;
    return ctx.go(readRoute({ ...series(name, stance)[0], series: run }));
  };
  const picture = (size) => ({
    side: side === "right" ? "right" : "left",
    mode: name === "board" ? "height" : "load",
    board: name === "board" ? (size ?? 1) : 0,
    reading: size === null ? "" : `${size}${test.unit}`,
    words: test.where(side),
  });
  let view = null;
  const one = field({
    label: test.title(side),
    unit: test.unit,
    nudge: test.nudge,
    state: ctx.drafts.draft(ctx.job, key) ?? stateOf(test.usual),
    onchange: (state) => {
      ctx.kept(() => ctx.drafts.keep(ctx.job, key, state));
      view.show(picture(one.size()));
    },
    onnext: next,
  });
  view = sideView(picture(one.size()));
  const pad = keyPad(nudges(test), (press) => (press === "next" ? next() : one.press(press)));
  return {
    title: test.title(side),
    focus: one.input,
    fresh() {},
    node: h(
      "div",
      { class: "ask" },
      h(
        "div",
        { class: "lead" },
        h("h1", { text: test.title(side) }),
        h("p", { class: "where", text: test.where(side) }),
      ),
      h("div", { class: "drawing" }, view),
      h("div", { class: "typing" }, h("div", { class: "fields" }, one.node), pad),
    ),
  };
}
