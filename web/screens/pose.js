/* How the car is made to stand for a test: how thick the board and under which tyre, or how much weight over the axle.
   Leads on to the readings of that pose; writes nothing itself but "not now". */

import { lengthReading } from "../parts/draw/height.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { warning } from "../parts/warning.js";
import { seenOf, sprungOf } from "../work/adjuster.js";
import { outside } from "../work/bounds.js";
import { closedCar, laterItem, onward } from "../work/flow.js";
import { readRoute, series } from "../work/guide.js";
import { STEPS } from "../work/step-cautions.js";
import { wordsIn } from "../work/units.js";
import { running } from "../parts/chance-line.js";
import { centre } from "./pose-centre.js";

/** @import { JobContext } from "../types/context.d.ts" */

/** @typedef {{title: (side: string) => string, unit: string, nudge: number, path: string, usual: number, how: string,
 *   labels: string[], pose: (side: string, sizes: number[]) => Record<string, number>}} Test */

/** @type {Record<string, Test>} */
const TESTS = {
  board: {
    title: () => "Board under tyre",
    unit: " mm",
    nudge: 1,
    path: "log.pose.board_left_mm",
    usual: 50,
    labels: ["How thick is the board"],
    how: "Drive or lift onto the board and settle in place; no rolling off it. How thick is it?",
    pose: (side, [size]) => ({ [`board_${side}_mm`]: size }),
  },
  ballast: {
    title: () => "Weight over the axle",
    unit: " kg",
    nudge: 5,
    path: "log.pose.ballast_left_kg",
    usual: 25,
    labels: ["Left", "Right"],
    how: "A known weight straight over the {axle} axle. How much of it on each side?",
    pose: (_, [left, right]) => ({ ballast_left_kg: left, ballast_right_kg: right }),
  },
};
const TYPE = "Type the figure first.";

/** Wherever it is not one of the first plan's questions, the quiet key goes back.
 * @param {JobContext} ctx */
function quietKey(ctx) {
  const question = closedCar(ctx.sheet).find((each) => each.words.join() === ctx.words.join() && !ctx.query.then);
  const leave = () => ctx.go(ctx.query.then ? { words: ["plan"], query: {} } : onward(ctx.sheet, ctx.words, ctx.query));
  const later = async () => {
    const items =
      question && !question.done && !question.later ? [laterItem(ctx.sheet, question.key, question.side)] : [];
    if (!items.length || (await ctx.save(items, { said: "not now" }))) leave();
  };
  return { words: "Not now", ontap: later };
}

/**
 * The screen: route words ["pose", "board", "left"].
 * @param {JobContext} ctx
 */
export function pose(ctx) {
  const [, name, which] = ctx.words;
  if (name === "centre") return centre(ctx);
  const test = TESTS[name];
  if (!test) return null;
  const how = test.how.replace("{axle}", sprungOf(ctx.sheet.car));
  const side = name === "board" ? (which === "right" ? "right" : "left") : "";
  const key = `pose/${name}`;
  const next = () => {
    const sizes = fields.map((one) => one.value() ?? 0);
    for (const [i, one] of fields.entries()) {
      if (!sizes[i] && !sizes.some(Boolean)) return one.tell(TYPE);
      const wrong = outside(test.path, sizes[i], wordsIn(test.unit));
      if (wrong) return one.tell(wrong);
    }
    const run = ctx.query.then ? `${name}-then-${ctx.query.then}` : name;
    return ctx.go(readRoute({ ...series(name, test.pose(side, sizes))[0], series: run }));
  };
  const typed = ctx.drafts.draft(ctx.job, key);
  const view = lengthReading({
    side: side || "left",
    what: name === "board" ? "board" : "ballast",
    seen: seenOf(ctx.sheet.car),
    label: how,
  });
  const change = () => {
    const [first, second] = fields;
    if (second && (second.state().prefilled || !second.state().text) && keys.active() === first)
      second.put({ ...first.state(), prefilled: true });
    ctx.kept(() =>
      ctx.drafts.keep(
        ctx.job,
        key,
        fields.map((one) => one.state()),
      ),
    );
  };
  const fields = test.labels.map((label, i) =>
    field({
      label,
      unit: test.unit,
      nudge: test.nudge,
      shown: true,
      state: (Array.isArray(typed) ? typed[i] : null) ?? { ...stateOf(test.usual), prefilled: true },
      onchange: () => change(),
      onnext: () => next(),
    }),
  );
  const keys = pad({ fields, side: side || "left" });
  const title = test.title(side);
  const heard = side ? `, ${side}` : "";
  const page = shell({
    side,
    title,
    how,
    run: running(ctx, { key: name === "board" ? "board-test" : "ballast-test", side: side || "both" }),
    picture: view,
    warning: warning({ text: STEPS[name].map((caution) => caution.text), signal: STEPS[name][0].word }),
    typed: keys.node,
    quiet: quietKey(ctx),
    main: { words: "Next", small: "then ride height", ontap: next },
  });
  return { title: title + heard, focus: page.title, fresh() {}, node: page.node };
}
