/* How much: the amount of a target, which sides, and folded what else it may say. Begins a new job, or changes the
   target of one. What is typed is kept as a draft per kind of target. Routes: ["target", "amount"] with `as`, and
   `edit` for the rest. */

import { choice } from "../parts/choice.js";
import { h, say } from "../parts/dom.js";
import { rearView } from "../parts/draw/rear.js";
import { angleReading } from "../parts/draw/angle.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { askedOf, extrasOf, fromHub, targetBody } from "../work/aims.js";
import { outside } from "../work/bounds.js";
import { seenOf, sprungOf } from "../work/adjuster.js";
import { onward } from "../work/flow.js";
import { layoutNamed } from "../work/layouts.js";
import { angle, plain } from "../work/numbers.js";
import { ARM } from "../work/questions.js";
import { SIDES } from "../work/readings.js";
import { ofAxle } from "../work/sentence.js";
import { readingsOf, stands } from "../work/sheet.js";
import { thenWords } from "../work/then.js";
import { inchText, inches, wordsIn } from "../work/units.js";
import { markOf } from "../work/wish.js";
import { more, moreRows } from "./target-more.js";
import { slipKey } from "../parts/slip-key.js";

/** @import { Shown } from "../types/context.d.ts" */

/** @type {Record<string, any>} */
const WORDS = {
  raise: "Raise by how much?",
  lower: "Lower by how much?",
  level: "Level to what?",
  height: "To what height?",
  angle: "To what hanging angle?",
  sides: { level: "Both, and level", alike: "Both alike", left: "Left only", right: "Right only" },
  at: { higher: "Higher side", mean: "Mean", lower: "Lower side" },
  found: "Dashed as found, solid the target, seen from behind.",
  type: "Type the amount first.",
  way: "Arm down or arm up? Choose.",
  begun: "the target",
};
/** Heights to draw where none were read: a crooked car, mm. */
const DRAWN = { left: 214, right: 226 };
/** A job without a word about the car. */
const nameless = () => `Car of ${new Date().toLocaleDateString()}`;

/** The form's fields: where bounds stand, unit, label. */
const FIELDS = /** @type {Record<string, {path: string, label: string, slip: string}[]>} */ ({
  raise: [{ path: "target.rise_mm", label: "Raise by", slip: "target-change" }],
  lower: [{ path: "target.rise_mm", label: "Lower by", slip: "target-change" }],
  level: [],
  height: [
    { path: "target.left_mm", label: "Left", slip: "target-height" },
    { path: "target.right_mm", label: "Right", slip: "target-height" },
  ],
  angle: [
    { path: "target.left_deg", label: "Left", slip: "hanging-angle" },
    { path: "target.right_deg", label: "Right", slip: "hanging-angle" },
  ],
});

/** Where the target would put a car that stands at `found`.
 * @param {any} asked @param {{left: number, right: number}} found @returns {{left: number, right: number}} */
function wanted({ as, sides, at, left, right }, found) {
  const top = Math.max(found.left, found.right);
  const low = Math.min(found.left, found.right);
  if (as === "height") return { left: left ?? found.left, right: right ?? found.right };
  if (as === "level") {
    const to = at === "lower" ? low : at === "mean" ? (top + low) / 2 : top;
    return { left: to, right: to };
  }
  const by = (left ?? 0) * (as === "raise" ? 1 : -1);
  if (sides === "level") return { left: (as === "raise" ? top : low) + by, right: (as === "raise" ? top : low) + by };
  return { left: found.left + (sides === "right" ? 0 : by), right: found.right + (sides === "left" ? 0 : by) };
}

/** The job's car; of one not begun yet the layout that was chosen. @param {any} ctx */
const carOf = (ctx) => ctx.sheet?.car ?? layoutNamed(ctx.drafts.draft("new", "target/layout") ?? "").car;

/** The car from behind, as found and as it is to stand, drawn again with every key.
 * @param {any} ctx @param {string} as @returns {{node: Element, show: (asked: any) => void}} */
function picture(ctx, as) {
  const node = h("div", { class: "live" });
  if (as === "angle") {
    const label = "Arm hanging free, gauge on its top edge.";
    const view = angleReading({ side: "left", seen: seenOf(carOf(ctx)), pose: "hanging", label });
    const show = (/** @type {any} */ { left }) =>
      view.move({
        deg: left,
        figure: left === null ? "" : `${plain(Math.abs(left), 1)}°`,
        way: left ? (left > 0 ? ARM[0] : ARM[1]) : "",
      });
    return { node: view, show };
  }
  const what = markOf(ctx.sheet?.target);
  const last = (/** @type {"left" | "right"} */ side) =>
    ctx.sheet && readingsOf(ctx.sheet, { what, side }).findLast(({ pose }) => stands(pose))?.value;
  const read = SIDES.map(last);
  const known = read.every((value) => value !== undefined && value !== null);
  const found = known ? { left: read[0], right: read[1] } : DRAWN;
  const figure = (/** @type {number} */ mm) => (inches() ? `${inchText(mm)} in` : `${plain(mm, 0)}`);
  const show = (/** @type {any} */ asked) => {
    const now = wanted(asked, found);
    const open = as !== "level" && asked.left === null;
    const said = (/** @type {"left" | "right"} */ side) => {
      if (known || as === "height") return figure(now[side]);
      const by = now[side] - found[side];
      return as !== "level" && asked.left && asked.sides !== "level" && by
        ? `${by > 0 ? "+" : "−"}${figure(Math.abs(by))}`
        : "";
    };
    node.replaceChildren(
      rearView({
        found,
        now: open ? undefined : now,
        label: WORDS.found,
        front: sprungOf(carOf(ctx)) === "front",
        nowFigures: open ? undefined : { left: said("left"), right: said("right") },
        foundFigures: known ? { left: figure(found.left), right: figure(found.right) } : undefined,
      }),
    );
  };
  return { node, show };
}

/** The keys to choose which sides, or level to what.
 * @param {"sides" | "at"} what @param {string} chosen @param {(value: string) => void} onchoose @returns {Element} */
const ways = (what, chosen, onchoose) =>
  choice({
    name: `target-${what}`,
    legend: what === "sides" ? "Which sides?" : "Level to",
    cls: "compact",
    chosen,
    options: Object.entries(WORDS[what]).map(([value, label]) => ({ value, label })),
    onchoose,
  });

/**
 * What was typed, else what the job asks for, else the usual. `follows`: the right side is as the left until it is
 * typed.
 * @param {any} ctx
 * @param {string} key
 */
function start(ctx, key) {
  const { as } = ctx.query;
  const asked = askedOf(ctx.sheet?.target);
  const same = asked?.as === as ? asked : null;
  const given = (/** @type {number | undefined} */ value) =>
    value === undefined ? undefined : { ...stateOf(value, as === "angle"), prefilled: true };
  const first = {
    left: given(same?.left),
    right: given(same?.right),
    sides: same?.sides ?? "level",
    at: same?.at ?? "higher",
    extras: extrasOf(ctx.sheet?.target),
  };
  const follows = !same || same.left === same.right;
  return { ...first, ...ctx.drafts.draft(ctx.job || "new", key), follows };
}

/**
 * The fields of the form.
 * @param {string} as
 * @param {any} typed
 * @param {{change: () => void, next: () => void}} on
 * @returns {any[]}
 */
function fieldsOf(as, typed, { change, next }) {
  /** @type {any[]} */
  const fields = [];
  FIELDS[as].forEach(({ path, label, slip }, i) => {
    const on = () => (i === 0 && fields[1] && fields[1].size() === null ? fields[1].input.focus() : next());
    const made = field({
      label,
      unit: as === "angle" ? "°" : " mm",
      ways: as === "angle" ? ARM : undefined,
      nudge: as === "angle" ? 0.5 : 1,
      shown: true,
      state: i ? typed.right : typed.left,
      onchange: change,
      onnext: on,
    });
    fields.push(Object.assign(made, { path, slip }));
  });
  return fields;
}

/**
 * Whether every figure is there and within bounds; tells what is not.
 * @param {any[]} fields
 * @param {boolean} hub heights from hub to body have bounds of their own
 */
function complete(fields, hub) {
  for (const one of fields) {
    const value = one.value();
    const lacking = value === null || (value === 0 && fields.length === 1);
    const bound = hub && one.slip === "target-height" ? "" : outside(one.path, value, wordsIn(one.unit));
    const wrong = lacking ? (one.size() ? WORDS.way : WORDS.type) : bound;
    if (!wrong) continue;
    one.input.focus();
    one.tell(wrong);
    return false;
  }
  return true;
}

/** Begin the job, or change its target; then the first question, or back.
 * @param {any} ctx @param {Record<string, any>} body @param {string} key */
export async function write(ctx, body, key) {
  const place = ctx.job || "new";
  const done = () => [key, "target/as", "target/layout"].forEach((each) => ctx.drafts.drop(place, each));
  if (ctx.job) {
    if (!(await ctx.save([["target", body]], { said: WORDS.begun }))) return;
    done();
    ctx.solved("target");
    ctx.go(onward(ctx.sheet, ["target"], ctx.query));
    return;
  }
  const { car } = layoutNamed(ctx.drafts.draft("new", "target/layout") ?? "");
  const job = await ctx.begin([
    ["job", { title: nameless() }],
    ...(Object.keys(car).length ? [["car", car]] : []),
    ["target", body],
  ]);
  if (!job) return;
  done();
  const first = onward({ teardowns: 0, readings: [], moves: [], steps: [], car, target: body }, ["target"]);
  ctx.go(first, { job });
}

/**
 * The screen of the amount.
 * @param {any} ctx
 * @returns {Shown | null}
 */
export function amount(ctx) {
  const { as, from } = ctx.query;
  const key = `target/${as}`;
  const typed = start(ctx, key);
  if (ctx.query.edit) return more(ctx, { key, typed });
  const fields = fieldsOf(as, typed, { change: () => change(), next: () => next() });
  const asked = () => ({
    as,
    sides: typed.sides,
    at: typed.at,
    left: fields[0]?.value() ?? null,
    right: fields.at(-1)?.value() ?? null,
  });
  const view = picture(ctx, as);
  const kept = () => {
    const [left, right] = fields.map((one) => one.state());
    return ctx.kept(() => ctx.drafts.keep(ctx.job || "new", key, { ...typed, left, right }));
  };
  const change = () => {
    const right = fields[1];
    if (keys?.active() === right) typed.follows = false;
    else if (right && typed.follows) right.put({ ...fields[0].state(), prefilled: true });
    kept();
    view.show(asked());
    slip.follow();
  };
  const choose = (/** @type {"sides" | "at"} */ what) => (/** @type {string} */ value) => {
    typed[what] = value;
    kept();
    view.show(asked());
  };
  const next = () => {
    if (!complete(fields, fromHub(typed.extras)) || slip.holds()) return;
    const { left, right } = asked();
    write(ctx, targetBody({ ...asked(), left: left ?? 0, right: right ?? 0 }, typed.extras), key);
  };
  const slip = slipKey({
    field: () => keys?.active() ?? null,
    typed: (/** @type {any} */ one) => ({ kind: one.slip, value: one.value(), size: one.size(), others: [] }),
    ontake: () => change(),
  });
  const keys = fields.length ? pad({ fields, side: "left", below: slip.node }) : null;
  const sides = as === "raise" || as === "lower" ? ways("sides", typed.sides, choose("sides")) : null;
  const at = as === "level" ? ways("at", typed.at, choose("at")) : null;
  const first = { words: ["read", "body-height", "left"] };
  const drawn = shell({
    kind: "ask",
    title: ofAxle(ctx.there, WORDS[as]),
    picture: view.node,
    front: [sides, at],
    typed: keys?.node,
    body: [moreRows(ctx, typed.extras)],
    quiet: { words: "Back", href: ctx.href({ words: [ctx.words[0]], query: from ? { from } : {} }) },
    main: { words: "Next", small: ctx.job ? "" : thenWords(first, { words: ctx.words }), ontap: next },
  });
  view.show(asked());
  ctx.unsaved(() => ctx.drafts.draft(ctx.job || "new", key) !== null);
  const refused = ctx.job && ctx.problemAt("target");
  if (refused) fields[0]?.tell(refused.detail);
  if (as === "angle" && fields[0].value()) say(angle(fields[0].value()));
  return { title: WORDS[as], focus: fields[0]?.input, fresh() {}, node: drawn.node };
}
