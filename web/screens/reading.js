/* One reading: gauge, tape or scale; typed with the arm or body moving on the drawing.

   Writes a new reading, or one that corrects the old one. The pose, the test it belongs to and the entry it
   replaces come with the route. Every key is kept at once as a draft. What it comes to, and where it leads, stands
   in reading-save.js. */

import { h, say } from "../parts/dom.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { outside } from "../work/bounds.js";
import { closedCar, laterItem, onward, zeroOf } from "../work/flow.js";
import { poseOf } from "../work/guide.js";
import { plannedHanging } from "../work/promise.js";
import { ARM } from "../work/questions.js";
import { draftKey } from "../work/reading-draft.js";
import { shouldRead } from "../work/reading-query.js";
import { READINGS, SIDES, nameOf, poseWords, teardownWords, titleOf, whereOf } from "../work/readings.js";
import { readingsOf } from "../work/sheet.js";
import { asksSpot, lastSpot } from "../work/spots.js";
import { thenWords } from "../work/then.js";
import { wordsIn } from "../work/units.js";
import { ahead } from "./reading-ahead.js";
import { before, corner, entered, spotKeys } from "./reading-beside.js";
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

/**
 * What is read, from the route.
 * @param {any} ctx
 */
function asked(ctx) {
  const [, what, side] = ctx.words;
  const entry = ctx.query.entry
    ? (ctx.sheet.readings.find((/** @type {any} */ row) => row.id === ctx.query.entry) ?? null)
    : null;
  const pose = entry ? entry.pose : poseOf(ctx.query);
  const teardown = entry ? (entry.teardown ?? 0) : Number(ctx.query.after ?? ctx.sheet.teardowns);
  const key = draftKey({ what, side, entry: entry?.id, pose, teardown });
  return { what, side, entry, pose, teardown, key, kind: READINGS[what], typed: ctx.drafts.draft(ctx.job, key) ?? {} };
}

/** How the gauge is used here: as the draft says, the reading that is changed, or the job; null where nobody said. */
function howOf(/** @type {any} */ ctx, { kind, typed, entry }) {
  if (!kind.signed) return "body";
  if (typed.how) return typed.how;
  if (entry) return (entry.datum ?? null) !== null ? "datum" : (entry.reference ?? "body");
  return zeroOf(ctx.sheet);
}

/** The question how the gauge is used, at the reading's own address. */
function zeroFirst(/** @type {any} */ ctx, /** @type {any} */ reading, /** @type {string | null} */ how) {
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

/** The fields: the gauge on the body where it is read too, and the figure itself. */
function fieldsOf(/** @type {any} */ reading, /** @type {string} */ how, /** @type {any} */ { change, next }) {
  const { kind, typed, entry, what, side, pose } = reading;
  const make = (/** @type {string} */ label, /** @type {any} */ first) =>
    field({
      label,
      unit: kind.unit,
      nudge: kind.signed ? 0.1 : kind.nudge,
      ways: kind.signed ? ARM : undefined,
      shown: true,
      state: first,
      onchange: change,
      onnext: next,
    });
  const old = (/** @type {any} */ value) =>
    value === undefined || value === null ? undefined : { ...stateOf(value, kind.signed), prefilled: true };
  const body = how === "datum" ? make(WORDS.body, typed.datum ?? old(entry?.datum)) : null;
  const arm = make(kind.signed ? WORDS.arm : nameOf({ what, side, pose }), typed.arm ?? old(entry?.value));
  return { body, arm, all: body ? [body, arm] : [arm] };
}

/** Whether everything is typed and within bounds; tells what is not. */
function complete(/** @type {any} */ { all, body }, /** @type {string} */ what, /** @type {string} */ unit) {
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

/** What the figure is held against while it is typed: others of its kind in this pose, the other side's angle. */
function slipContext(
  /** @type {any} */ ctx,
  /** @type {any} */ { what, side, entry, teardown, pose },
  /** @type {any} */ { arm, body },
) {
  const rows = ctx.sheet.readings.filter((/** @type {any} */ row) => row.what === what && row.id !== entry?.id);
  const across = readingsOf(ctx.sheet, {
    what,
    side: SIDES.find((each) => each !== side),
    pose: pose ?? {},
    teardown,
  }).at(-1);
  const angle = arm.value() === null ? null : arm.value() - (body?.value() ?? 0);
  return {
    kind: what,
    value: body ? null : angle,
    size: arm.size(),
    others: rows.map((/** @type {any} */ row) => row.value),
    across: across && !body && !across.datum ? across.value : null,
  };
}

/** The quiet key: not now, which the log keeps where the question is one of the first plan's; back where something is
 * changed or was read on purpose. */
function quietKey(/** @type {any} */ ctx, /** @type {any} */ reading) {
  const leave = () => ctx.go(onward(ctx.sheet, ctx.words, ctx.query));
  if (reading.entry || ctx.query.from) return { words: "Back", ontap: leave };
  const plain = !reading.pose && !ctx.query.series;
  const question = closedCar(ctx.sheet).find((each) => plain && each.words.join() === ctx.words.join());
  const later = async () => {
    if (!question || question.done || question.later) return leave();
    return (await ctx.save([laterItem(ctx.sheet, question.key, question.side)], { said: "not now" })) && leave();
  };
  return { words: "Not now", ontap: later };
}

/** What the reading is worth as: itself, or the test that its pose is part of. */
function worthKey(/** @type {any} */ { what, side, pose }) {
  const board = SIDES.filter((each) => pose?.[`board_${each}_mm`]);
  if (board.length) return { key: "board-test", side: board[0] };
  if (pose?.ballast_left_kg || pose?.ballast_right_kg) return { key: "ballast-test", side: "both" };
  if (pose?.hanging || what === "hub-to-body") return { key: "hang-test", side: "both" };
  return { key: what === "wheel-load" ? "scales" : what, side };
}

/** The words under the title: how to read it, where the car stands, what the plan expects. */
function howWords(
  /** @type {any} */ ctx,
  /** @type {any} */ { what, side, pose, teardown },
  /** @type {string} */ how,
) {
  const stance = [poseWords(pose, what), teardown || ctx.sheet.teardowns ? teardownWords(teardown) : ""]
    .filter(Boolean)
    .join("; ");
  const first = what === "body-height" && side === "left" && !ctx.sheet.readings.length ? WORDS.chalk : "";
  const gauge = how === "datum" ? WORDS.bodyFirst : "";
  return { stance, line: [whereOf({ what, pose }), gauge, first].filter(Boolean).join(" ") };
}

/**
 * The screen of one reading: route words ["read", what, side].
 * @param {any} ctx
 */
export function reading(ctx) {
  const one = asked(ctx);
  const { what, side, entry, pose, teardown, key, kind, typed } = one;
  if (!kind || !SIDES.includes(side)) return null;
  const how = howOf(ctx, one);
  if (kind.signed && (how === null || ctx.query.zero)) return zeroFirst(ctx, one, how);

  const asksPlace = !entry && asksSpot(ctx.sheet, { what, pose, teardown }, new Date().toISOString());
  const place = { spot: entry ? (entry.spot ?? "") : (typed.spot ?? lastSpot(ctx.sheet)) };
  const kept = () =>
    ctx.kept(() =>
      ctx.drafts.keep(ctx.job, key, {
        how,
        arm: fields.arm.state(),
        datum: fields.body?.state(),
        phone: typed.phone,
        spot: place.spot,
      }),
    );
  const written = () => bodyOf({ ctx, ...one, how, spot: place.spot, fields });
  const follow = () => {
    const onBody = Boolean(fields.body) && keys.active() === fields.body;
    const body = fields.body?.value() ?? 0;
    picture.follow({ value: fields.arm.value(), size: fields.arm.size(), body, onBody });
    should.textContent = how === "gravity" ? "" : shouldRead(planned, fields.body ? fields.body.value() : 0);
  };
  const change = () => {
    kept();
    follow();
    slip.follow();
    foreseen.soon();
  };
  const next = async () => {
    const { arm, body } = fields;
    if (body && keys.active() === body && arm.value() === null && body.value() !== null) return arm.input.focus();
    if (!complete(fields, what, kind.unit) || slip.holds()) return undefined;
    foreseen.stop();
    return saving({
      ctx,
      ...one,
      body: written(),
      view: picture.node,
      onwait: () => (checking.textContent = WORDS.checking),
    });
  };
  const fields = fieldsOf(one, how, { change: () => change(), next: () => next() });
  const slip = slipKey({
    field: () => (keys.active() === fields.arm ? fields.arm : null),
    typed: () => slipContext(ctx, one, fields),
    ontake: () => change(),
  });
  const planned = what === "hanging-angle" && teardown > 0 && !entry ? plannedHanging(ctx.sheet, side, teardown) : null;
  const should = h("p", { class: "should" });
  const checking = h("p", { class: "checking", role: "status" });
  const picture = pictureOf({ sheet: ctx.sheet, what, side, pose });
  const keys = pad({ fields: fields.all, side, below: slip.node, onactive: () => follow() });
  const foreseen = ahead(ctx, written);
  const earlier = readingsOf(ctx.sheet, { what, side, pose: pose ?? {}, teardown });
  const { stance, line } = howWords(ctx, one, how);
  const page = shell({
    side,
    title: titleOf({ what, pose }),
    how: line,
    facing: false,
    run: entry ? null : running(ctx, { ...worthKey(one), again: earlier.length > 0 }),
    picture: h("div", { class: "draw" }, picture.node, checking, kind.signed ? corner(ctx, how, what, side) : null),
    front: [
      stance ? h("p", { class: "stance", text: stance }) : null,
      should,
      asksPlace
        ? spotKeys(ctx, place.spot, (spot) => {
            place.spot = spot;
            kept();
          })
        : null,
    ],
    typed: keys.node,
    body: [entry ? entered(ctx, entry) : before(ctx, earlier)],
    quiet: quietKey(ctx, one),
    main: {
      words: "Next",
      small: thenWords(onward(ctx.sheet, ctx.words, ctx.query), { words: ctx.words }),
      ontap: next,
    },
  });
  const shown = (/** @type {any} */ state) => (state?.text ? `${state.sign} ${state.text}` : "");
  ctx.unsaved(
    () =>
      ctx.drafts.draft(ctx.job, key) !== null &&
      (shown(fields.arm.state()) !== shown(stateOf(entry?.value, kind.signed)) ||
        shown(fields.body?.state()) !== shown(stateOf(entry?.datum, true))),
  );
  const refused = entry && ctx.problemAt(entry.id);
  if (refused) (refused.path.endsWith(".datum") ? fields.body : fields.arm)?.tell(refused.detail);
  const first = fields.body && fields.body.value() === null ? fields.body : fields.arm;
  if (first !== fields.all[0]) keys.activate(first);
  follow();
  say("");
  return { title: nameOf({ what, side, pose }), focus: first.input, fresh() {}, node: page.node };
}
