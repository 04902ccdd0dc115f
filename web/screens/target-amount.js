/* How much: the amount of a target, which sides, and folded what else it may say. Begins a new job, or changes the target of
   one. What is typed is kept as a draft per kind of target. Routes: ["target", "amount"] with `as`, and `edit` for the rest. */

import { choice } from "../parts/choice.js";
import { h, say } from "../parts/dom.js";
import { rearView } from "../parts/draw/rear.js";
import { angleReading } from "../parts/draw/angle.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { askedOf, extrasOf, fromHub, targetBody } from "../work/aims.js";
import { outside } from "../work/bounds.js";
import { onward } from "../work/flow.js";
import { angle, plain } from "../work/numbers.js";
import { ARM } from "../work/questions.js";
import { SIDES } from "../work/readings.js";
import { readingsOf } from "../work/sheet.js";
import { thenWords } from "../work/then.js";
import { inchText, inches, wordsIn } from "../work/units.js";
import { markOf } from "../work/wish.js";
import { more, moreRows } from "./target-more.js";
import { slipKey } from "../parts/slip-key.js";

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
const FIELDS = {
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
};

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

/** The car from behind, as found and as it is to stand, drawn again with every key.
 * @param {any} ctx @param {string} as @returns {{node: Element, show: (asked: any) => void}} */
function picture(ctx, as) {
  const node = h("div", { class: "live" });
  if (as === "angle") {
    const view = angleReading({ side: "left", pose: "hanging", label: "Arm hanging free, gauge on its top edge." });
    const show = (/** @type {any} */ { left }) =>
      view.move({ deg: left, figure: left === null ? "" : `${plain(Math.abs(left), 1)}°`, way: left ? (left > 0 ? ARM[0] : ARM[1]) : "" }); // prettier-ignore
    return { node: view, show };
  }
  const what = markOf(ctx.sheet?.target);
  const read = SIDES.map((side) => ctx.sheet && readingsOf(ctx.sheet, { what, side }).at(-1)?.value);
  const known = read.every((value) => value !== undefined && value !== null);
  const found = known ? { left: read[0], right: read[1] } : DRAWN;
  const figure = (/** @type {number} */ mm) => (inches() ? `${inchText(mm)} in` : `${plain(mm, 0)}`);
  const show = (/** @type {any} */ asked) => {
    const now = wanted(asked, found);
    const open = as !== "level" && asked.left === null;
    const said = (/** @type {"left" | "right"} */ side) => {
      if (known || as === "height") return figure(now[side]);
      const by = now[side] - found[side];
      return as !== "level" && asked.left && asked.sides !== "level" && by ? `${by > 0 ? "+" : "−"}${figure(Math.abs(by))}` : ""; // prettier-ignore
    };
    node.replaceChildren(
      rearView({
        found,
        now: open ? undefined : now,
        label: WORDS.found,
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

/** What was typed, else what the job asks for, else the usual.
 * @param {any} ctx @param {string} key */
function start(ctx, key) {
  const { as } = ctx.query;
  const now = askedOf(ctx.sheet?.target);
  const same = now?.as === as ? now : null;
  const given = (/** @type {number | undefined} */ value) =>
    value === undefined ? undefined : { ...stateOf(value, as === "angle"), prefilled: true };
  const typed = ctx.drafts.draft(ctx.job || "new", key) ?? {};
  return {
    left: typed.left ?? given(same?.left),
    right: typed.right ?? given(same?.right),
    sides: typed.sides ?? same?.sides ?? "level",
    at: typed.at ?? same?.at ?? "higher",
    extras: typed.extras ?? extrasOf(ctx.sheet?.target),
  };
}

/** Begin the job, or change its target; then the first question, or back.
 * @param {any} ctx @param {Record<string, any>} body @param {string} key */
async function write(ctx, body, key) {
  const place = ctx.job || "new";
  const done = () => [key, "target/as"].forEach((each) => ctx.drafts.drop(place, each));
  if (ctx.job) {
    if (!(await ctx.save([["target", body]], { said: WORDS.begun }))) return;
    done();
    ctx.solved("target");
    ctx.go(onward(ctx.sheet, ["target"], ctx.query));
    return;
  }
  const job = await ctx.begin([
    ["job", { title: nameless() }],
    ["target", body],
  ]);
  if (!job) return;
  done();
  const first = onward({ teardowns: 0, readings: [], moves: [], steps: [], car: {}, target: body }, ["target"]);
  ctx.go(first, { job });
}

/**
 * The screen of the amount.
 * @param {any} ctx
 * @returns {{title: string, focus?: Element, node: Element, fresh: () => void}}
 */
export function amount(ctx) {
  const { as, from } = ctx.query;
  const key = `target/${as}`;
  const typed = start(ctx, key);
  if (ctx.query.edit) return more(ctx, { key, typed });
  const fields = /** @type {any[]} */ ([]);
  const asked = () => ({
    as,
    sides: typed.sides,
    at: typed.at,
    left: fields[0]?.value() ?? null,
    right: fields.at(-1)?.value() ?? null,
  });
  const view = picture(ctx, as);
  const kept = () =>
    ctx.kept(() =>
      ctx.drafts.keep(ctx.job || "new", key, { ...typed, left: fields[0]?.state(), right: fields[1] ? fields[1].state() : undefined }),
    ); // prettier-ignore
  const change = () => {
    // The right side is as the left until it is typed itself.
    const right = fields[1];
    if (right && (right.state().prefilled || !right.state().text) && fields[0].state().text && page.active() === 0)
      right.put({ ...fields[0].state(), prefilled: true });
    kept();
    view.show(asked());
    page.slip.follow();
  };
  FIELDS[as].forEach(({ path, label }, i) => {
    const made = field({
      label,
      unit: as === "angle" ? "°" : " mm",
      ways: as === "angle" ? ARM : undefined,
      nudge: as === "angle" ? 0.5 : 1,
      shown: true,
      state: i ? typed.right : typed.left,
      onchange: change,
      onnext: () => (i === 0 && fields[1] && fields[1].size() === null ? fields[1].input.focus() : next()),
    });
    fields.push(Object.assign(made, { path }));
  });
  const choose = (/** @type {"sides" | "at"} */ what) => (/** @type {string} */ value) => {
    typed[what] = value;
    kept();
    view.show(asked());
  };
  const next = () => {
    for (const one of fields) {
      if (one.value() === null || (one.value() === 0 && FIELDS[as].length === 1)) {
        one.input.focus();
        return one.tell(one.size() ? WORDS.way : WORDS.type);
      }
      const wrong = fromHub(typed.extras) && as === "height" ? "" : outside(one.path, one.value(), wordsIn(one.unit));
      if (wrong) return one.tell(wrong);
    }
    if (page.slip.holds()) return undefined;
    const { left, right } = asked();
    return write(ctx, targetBody({ ...asked(), left: left ?? 0, right: right ?? 0 }, typed.extras), key);
  };
  const slip = slipKey({
    field: () => fields[Math.max(0, page.active())] ?? null,
    typed: (one) => ({
      kind: FIELDS[as][fields.indexOf(one)].slip,
      value: one.value(),
      size: one.size(),
      others: [],
    }),
    ontake: () => change(),
  });
  const keys = fields.length ? pad({ fields, side: "left", below: slip.node }) : null;
  const page = { slip, active: () => (keys ? fields.indexOf(keys.active()) : -1) };
  const sides = as === "raise" || as === "lower" ? ways("sides", typed.sides, choose("sides")) : null;
  const at = as === "level" ? ways("at", typed.at, choose("at")) : null;
  const first = { words: ["read", "body-height", "left"] };
  const drawn = shell({
    kind: "ask",
    title: WORDS[as],
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
