/* One reading: gauge, tape or scale; typed with the arm or body moving on the drawing.

   Writes a new reading, or one that corrects the old one. The pose, the test it belongs to and the entry it
   replaces come with the route. Every key is kept at once as a draft. What it comes to, and where it leads, stands
   in reading-save.js. */

import { h, say } from "../parts/dom.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { sprungOf } from "../work/adjuster.js";
import { outside } from "../work/bounds.js";
import { closedCar, laterItem, onward, zeroOf } from "../work/flow.js";
import { poseOf } from "../work/guide.js";
import { afterStage, plannedHanging } from "../work/promise.js";
import { ARM } from "../work/questions.js";
import { draftKey } from "../work/reading-draft.js";
import { shouldRead } from "../work/reading-query.js";
import { READINGS, SIDES, nameOf, poseWords, titleOf, whereOf } from "../work/readings.js";
import { readingsOf } from "../work/sheet.js";
import { asksSpot, lastSpot } from "../work/spots.js";
import { thenWords } from "../work/then.js";
import { wordsIn } from "../work/units.js";
import { asksCross, ofBoth, otherAxle } from "../work/weighing.js";
import { ahead } from "./reading-ahead.js";
import { before, corner, entered, photoCorner, spotKeys } from "./reading-beside.js";
import { pictureOf } from "./reading-picture.js";
import { bodyOf, saving } from "./reading-save.js";
import { running } from "../parts/chance-line.js";
import { slipKey } from "../parts/slip-key.js";
import { zeroScreen } from "../parts/gauge-zero.js";

const WORDS = {
  type: "Enter the reading.",
  way: "Arm down or arm up? Look at the arm, then choose.",
  bodyWay: "Arm down or arm up? Look at the gauge on the body, then choose.",
  chalk: "Chalk round the tyres, so that the car comes back to the same place.",
  arm: "Arm",
  body: "Body",
  bodyFirst: "Gauge on the sill first, then on the arm, the same way round.",
  saved: (/** @type {string} */ name) => `${name}: saved`,
  checking: "Saved. Checking…",
};

/** @import { KeySpec } from "../parts/deck.js" */
/** @import { State } from "../parts/figure.js" */
/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Kind } from "../types/facts.d.ts" */
/** @import { ReadingRow, Side, What } from "../types/sheet.d.ts" */
/** @import { Advice, PoseBody } from "../types/wire.d.ts" */
/** @import { FromPhone } from "../work/reading-draft.js" */
/** @import { Said } from "../work/readings.js" */
/** @import { Typed } from "../work/slips.js" */

/** @typedef {ReturnType<typeof field>} Field */
/** @typedef {{ body: Field | null, arm: Field, all: Field[] }} Fields The gauge on the body, where it is read too. */
/**
 * @typedef {object} Draft What was typed of a reading.
 * @property {string} [how] the gauge is used
 * @property {Partial<State>} [arm]
 * @property {Partial<State>} [datum]
 * @property {FromPhone | null} [phone]
 * @property {string} [spot]
 */
/**
 * @typedef {object} Asked A reading, as its address asks for it.
 * @property {What} what
 * @property {Side} side
 * @property {"rear" | "front"} [axle] of a wheel's load, where it is not the job's own
 * @property {ReadingRow | null} entry the reading that is changed
 * @property {PoseBody} [pose]
 * @property {number} teardown
 * @property {string} key of the draft
 * @property {Kind & Said & { nudge: number }} kind
 * @property {Draft} typed
 */

/**
 * What is read, from the route.
 * @param {JobContext} ctx
 * @returns {Asked}
 */
function asked(ctx) {
  const [, what, side] = /** @type {[string, What, Side]} */ (ctx.words);
  const entry = ctx.query.entry ? (ctx.sheet.readings.find(({ id }) => id === ctx.query.entry) ?? null) : null;
  const pose = (entry ? entry.pose : poseOf(ctx.query)) ?? undefined;
  const teardown = entry ? (entry.teardown ?? 0) : Number(ctx.query.after ?? ctx.sheet.teardowns);
  const of = entry ? entry.axle : ctx.query.axle;
  const axle = what === "wheel-load" && of === otherAxle(ctx.sheet.car) ? of : ctx.there;
  const key = draftKey({ what, side, entry: entry?.id, pose, teardown, axle });
  return {
    what,
    side,
    axle,
    entry,
    pose,
    teardown,
    key,
    kind: READINGS[what],
    typed: ctx.drafts.draft(ctx.job, key) ?? {},
  };
}

/**
 * How the gauge is used here: as the draft says, the reading that is changed, or the job; null where nobody said.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @returns {string | null}
 */
function howOf(ctx, { kind, typed, entry }) {
  if (!kind.signed) return "body";
  if (typed.how) return typed.how;
  if (entry) return (entry.datum ?? null) !== null ? "datum" : (entry.reference ?? "body");
  return zeroOf(ctx.sheet);
}

/**
 * The question how the gauge is used, at the reading's own address.
 * @param {JobContext} ctx
 * @param {Asked} reading
 * @param {string | null} how
 */
function zeroFirst(ctx, reading, how) {
  const { zero: _, ...query } = ctx.query;
  const done = () => {
    // A draft of other figures is no longer the gauge's.
    if (reading.typed.how)
      ctx.kept(() => ctx.drafts.keep(ctx.job, reading.key, { ...reading.typed, how: zeroOf(ctx.sheet) }));
    if (ctx.query.zero) ctx.go({ words: ctx.words, query }, { replace: true });
    else ctx.redraw();
  };
  const back = {
    words: "Back",
    href: ctx.query.zero ? ctx.href({ words: ctx.words, query }) : ctx.href(onward(ctx.sheet, ctx.words, query)),
  };
  return zeroScreen(ctx, { chosen: how, side: reading.side, done, quiet: back, small: "then the angle" });
}

/**
 * The fields: the gauge on the body where it is read too, and the figure itself.
 * @param {Asked} reading
 * @param {string} how
 * @param {{ change: () => void, next: () => void }} on
 * @returns {Fields}
 */
function fieldsOf({ kind, typed, entry, what, side, pose, axle }, how, { change, next }) {
  const make = (/** @type {string} */ label, /** @type {Partial<State> | undefined} */ first) =>
    field({
      label,
      unit: kind.unit,
      nudge: kind.signed ? 0.1 : kind.nudge,
      ways: kind.signed ? ARM : kind.ways,
      shown: true,
      state: first,
      onchange: change,
      onnext: next,
    });
  const old = (/** @type {number | null | undefined} */ value) =>
    value === undefined || value === null
      ? undefined
      : { ...stateOf(value, kind.signed || kind.ways), prefilled: true };
  const body = how === "datum" ? make(WORDS.body, typed.datum ?? old(entry?.datum)) : null;
  const arm = make(kind.signed ? WORDS.arm : nameOf({ what, side, pose, axle }), typed.arm ?? old(entry?.value));
  return { body, arm, all: body ? [body, arm] : [arm] };
}

/**
 * Whether everything is typed and within bounds; tells what is not.
 * @param {Fields} fields
 * @param {What} what
 * @param {string} unit
 */
function complete({ all, body }, what, unit) {
  for (const each of all) {
    const value = each.value();
    const wrong =
      value === null
        ? each.size() === null
          ? WORDS.type
          : each === body
            ? WORDS.bodyWay
            : WORDS.way
        : outside(`log.value.${what}`, value, wordsIn(unit));
    if (!wrong) continue;
    each.input.focus();
    each.tell(wrong);
    return false;
  }
  return true;
}

/**
 * What the figure is held against while it is typed: others of its kind in this pose, the other side's angle.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @param {Fields} fields
 * @returns {Typed}
 */
function slipContext(ctx, { what, side, entry, teardown, pose }, { arm, body }) {
  const rows = ctx.sheet.readings.filter((row) => row.what === what && row.id !== entry?.id);
  const across = readingsOf(ctx.sheet, {
    what,
    side: SIDES.find((each) => each !== side),
    pose: pose ?? {},
    teardown,
  }).at(-1);
  const read = arm.value();
  const angle = read === null ? null : read - (body?.value() ?? 0);
  return {
    kind: what,
    value: body ? null : angle,
    size: arm.size(),
    others: rows.map((row) => row.value),
    across: across && !body && !across.datum ? across.value : null,
  };
}

/**
 * The quiet key: not now, which the log keeps where the question is one of the first plan's; back where something is
 * changed or was read on purpose.
 * @param {JobContext} ctx
 * @param {Asked} reading
 * @returns {KeySpec}
 */
function quietKey(ctx, reading) {
  const leave = () => ctx.go(onward(ctx.sheet, ctx.words, ctx.query));
  if (reading.entry || ctx.query.from) return { words: "Back", ontap: leave };
  const plain = !reading.pose && !ctx.query.series;
  const question = closedCar(ctx.sheet).find(
    (each) => plain && each.words.join() === ctx.words.join() && each.query.axle === reading.axle,
  );
  const later = async () => {
    if (!question || question.done || question.later) return leave();
    return (await ctx.save([laterItem(ctx.sheet, question.key, question.side)], { said: "not now" })) && leave();
  };
  return { words: "Not now", ontap: later };
}

/**
 * What the reading is worth as: itself, or the test that its pose is part of.
 * @param {Asked} one
 * @returns {{ key: string, side: Advice["side"] }}
 */
function worthKey({ what, side, pose }) {
  const board = SIDES.filter((each) => pose?.[`board_${each}_mm`]);
  if (board.length) return { key: "board-test", side: board[0] };
  if (pose?.ballast_left_kg || pose?.ballast_right_kg) return { key: "ballast-test", side: "both" };
  if (pose?.centred) return { key: "centre-jack", side: "both" };
  if (pose?.hanging || what === "hub-to-body") return { key: "hang-test", side: "both" };
  return { key: what === "wheel-load" ? "scales" : what, side };
}

/**
 * The words under the title: how to read it, where the car stands, what the plan expects.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @param {string} how
 */
function howWords(ctx, { what, side, pose, teardown }, how) {
  const stance = [poseWords(pose, what), teardown || ctx.sheet.teardowns ? afterStage(ctx.sheet, teardown) : ""]
    .filter(Boolean)
    .join("; ");
  const first = what === "body-height" && side === "left" && !ctx.sheet.readings.length ? WORDS.chalk : "";
  const gauge = how === "datum" ? WORDS.bodyFirst : "";
  return { stance, line: [whereOf({ what, pose }), gauge, first].filter(Boolean).join(" ") };
}

/**
 * The drawing and what an arm just re-indexed should read, and how both follow what is typed.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @param {string} how
 */
function drawing(ctx, { what, side, axle, entry, pose, teardown }, how) {
  const planned = what === "hanging-angle" && teardown > 0 && !entry ? plannedHanging(ctx.sheet, side, teardown) : null;
  const should = h("p", { class: "should" });
  const picture = pictureOf({ sheet: ctx.sheet, what, side, axle, pose });
  /** @param {Fields} fields @param {Field} active */
  const follow = ({ arm, body }, active) => {
    const onBody = Boolean(body) && active === body;
    picture.follow({ value: arm.value(), size: arm.size(), body: body?.value() ?? 0, onBody });
    should.textContent = how === "gravity" ? "" : shouldRead(planned, body ? body.value() : 0);
  };
  return { node: picture.node, should, follow };
}

/**
 * Whether what is typed is something else than what stood there.
 * @param {Asked} one
 * @param {Fields} fields
 */
function differs({ entry, kind }, { arm, body }) {
  const shown = (/** @type {Partial<State> | null | undefined} */ state) =>
    state?.text ? `${state.sign} ${state.text}` : "";
  return (
    shown(arm.state()) !== shown(stateOf(entry?.value, kind.signed || kind.ways)) ||
    shown(body?.state()) !== shown(stateOf(entry?.datum, true))
  );
}

/**
 * Tell at its field what the model refused of the reading that is changed.
 * @param {JobContext} ctx
 * @param {ReadingRow | null} entry
 * @param {Fields} fields
 */
function tellRefused(ctx, entry, { arm, body }) {
  const refused = entry && ctx.problemAt(entry.id);
  if (refused) (String(refused.path).endsWith(".datum") ? body : arm)?.tell(refused.detail ?? "");
}

/**
 * The axle in the title: the other one, or the job's own where both are set, or where all four wheels are weighed.
 * @param {JobContext} ctx
 * @param {Asked} one
 */
function axleSaid(ctx, { what, axle }) {
  const four = asksCross(ctx.sheet) || String(ctx.query.series ?? "").startsWith("corners");
  return ofBoth(ctx.sheet) || (what === "wheel-load" && four) ? (axle ?? sprungOf(ctx.sheet.car)) : axle;
}

/**
 * The page of a reading, of the parts that are typed into and drawn.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @param {{ how: string, picture: Node, should: Node, checking: Node, typed: Node, spots: Node | null,
 *   next: () => unknown }} parts `spots` asks where the car stands
 */
function pageOf(ctx, one, { how, picture, should, checking, typed, spots, next }) {
  const { what, side, axle, entry, pose, teardown, kind } = one;
  const earlier = readingsOf(ctx.sheet, { what, side, axle, pose: pose ?? {}, teardown });
  const { stance, line } = howWords(ctx, one, how);
  return shell({
    side,
    title: titleOf({ what, pose, axle: axleSaid(ctx, one) }),
    how: line,
    facing: false,
    run: entry || ctx.there ? null : running(ctx, { ...worthKey(one), again: earlier.length > 0 }),
    picture: h(
      "div",
      { class: "draw" },
      picture,
      checking,
      kind.signed ? [corner(ctx, how, what, side), photoCorner(ctx, what, side, teardown)] : null,
    ),
    front: [stance ? h("p", { class: "stance", text: stance }) : null, should, spots],
    typed,
    body: [entry ? entered(ctx, entry) : before(ctx, earlier)],
    quiet: quietKey(ctx, one),
    main: {
      words: "Next",
      small: thenWords(onward(ctx.sheet, ctx.words, ctx.query), { words: ctx.words }),
      ontap: next,
    },
  });
}

/**
 * The screen on which the figure is typed.
 * @param {JobContext} ctx
 * @param {Asked} one
 * @param {string} how the gauge is used
 * @returns {Shown}
 */
function typing(ctx, one, how) {
  const { what, side, axle, entry, pose, teardown, key, kind, typed } = one;
  let spot = entry ? (entry.spot ?? "") : (typed.spot ?? lastSpot(ctx.sheet));
  const fields = fieldsOf(one, how, { change: () => change(), next: () => next() });
  const { arm, body } = fields;
  const slip = slipKey({
    field: () => (keys.active() === arm ? arm : null),
    typed: () => slipContext(ctx, one, fields),
    ontake: () => change(),
  });
  const checking = h("p", { class: "checking", role: "status" });
  const view = drawing(ctx, one, how);
  const follow = () => view.follow(fields, keys.active());
  const keys = pad({ fields: fields.all, side, below: slip.node, onactive: () => follow() });
  const written = () => bodyOf({ ctx, ...one, how, spot, fields });
  const foreseen = ahead(ctx, written);
  const kept = () =>
    ctx.kept(() =>
      ctx.drafts.keep(ctx.job, key, { how, arm: arm.state(), datum: body?.state(), phone: typed.phone, spot }),
    );
  const change = () => {
    kept();
    follow();
    slip.follow();
    foreseen.soon();
  };
  const next = async () => {
    if (body && keys.active() === body && arm.value() === null && body.value() !== null) return arm.input.focus();
    if (!complete(fields, what, kind.unit) || slip.holds()) return undefined;
    const typedIn = written();
    if (!typedIn) return undefined;
    foreseen.stop();
    const onwait = () => (checking.textContent = WORDS.checking);
    return saving({ ctx, ...one, body: typedIn, view: view.node, onwait });
  };
  const choose = (/** @type {string} */ chosen) => {
    spot = chosen;
    kept();
  };
  const asksPlace = !entry && asksSpot(ctx.sheet, { what, pose, teardown }, new Date().toISOString());
  const page = pageOf(ctx, one, {
    how,
    picture: view.node,
    should: view.should,
    checking,
    typed: keys.node,
    spots: asksPlace ? spotKeys(ctx, spot, choose) : null,
    next,
  });
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, key) !== null && differs(one, fields));
  tellRefused(ctx, entry, fields);
  const first = body && body.value() === null ? body : arm;
  if (first !== fields.all[0]) keys.activate(first);
  follow();
  say("");
  return { title: nameOf({ what, side, axle, pose }), focus: first.input, fresh() {}, node: page.node };
}

/**
 * The screen of one reading: route words ["read", what, side].
 * @param {JobContext} ctx
 * @returns {Shown | null}
 */
export function reading(ctx) {
  const one = asked(ctx);
  if (!one.kind || !SIDES.includes(one.side)) return null;
  const how = howOf(ctx, one);
  if (how === null || (one.kind.signed && ctx.query.zero)) return zeroFirst(ctx, one, how);
  return typing(ctx, one, how);
}
