/* A teardown, one step a screen, in type that reads at a metre: the phone leans on the stand, the screen stays on.
   The caution stands whole under the title; the key that goes on never leaves its place, and says "Read on" until the
   caution was seen to its end. Behind the other key: the step before, undo, the list, the voice.

   Owns which step is shown; what one asks or works out is propped-look.js and propped-read.js. */

import { stayAwake } from "../parts/awake.js";
import { heldBack, meanwhile } from "../parts/conflicts.js";
import { h } from "../parts/dom.js";
import { pickOne } from "../parts/dialog.js";
import { shell } from "../parts/shell.js";
import { canSpeak, hush, setSpeaking, speak, speaking } from "../parts/speak.js";
import { photoCorner, photoKey } from "../parts/photo-key.js";
import { thumbs } from "../parts/photo-thumbs.js";
import { aloud, cautionOf, noPlan, pictureOf, waiting } from "../parts/teardown-step.js";
import { adjustWhere } from "../work/adjust-steps.js";
import { holdingBack } from "../work/card-conflicts.js";
import { alike, atStep } from "../work/photo-words.js";
import { moveOf, stageName } from "../work/promise.js";
import { ofAxle, titled } from "../work/sentence.js";
import { at } from "../work/sheet.js";
import { hasBegun, isTicked, lastTicked, placeOf, progress, teardownAt } from "../work/teardown-steps.js";
import { tick, untick } from "../work/teardown-work.js";
import { adjustPart } from "./propped-adjust.js";
import { lookPart } from "./propped-look.js";
import { foundPart, readPart } from "./propped-read.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { PlanRow } from "../types/sheet.d.ts" */

/** @typedef {import("../work/teardown-steps.js").Step} Step */
/** @typedef {import("../parts/deck.js").KeySpec} KeySpec */
/** What a step adds to its screen: nodes, picture, the key that goes on; rows behind the other key.
 * @typedef {{body?: (Node | null)[], picture?: Node | null, how?: string, main?: KeySpec, more?: More[]}} Part */
/** @typedef {{value: string, label: string, text: string, act: () => unknown}} More */
/**
 * What a part is given; `from` the way back from a question.
 * @typedef {{ctx: JobContext, plan: PlanRow, step: Step, done: boolean, next: () => unknown, again: () => unknown,
 *   finish: () => Promise<unknown>, show: (main: KeySpec) => void, from: string}} Given
 */

/** Letters that stand on the key in its largest type. */
const LONGEST_HUGE = 10;

const SAID = {
  back: "Back",
  more: "undo, more",
  heard: "Back, undo, more",
  next: "Next",
  done: "Done",
  end: "All steps done",
  roll: "Roll the car two lengths, bounce it, then measure the heights.",
  nothing: "Nothing was turned. The plan says what to do next.",
  heights: "Measure",
  check: "Roll the car two lengths, bounce it. Check what was turned, then measure the heights of both axles.",
  turned: "What was turned",
  plan: "To the plan",
  stay: "Stay here",
  before: "Step before",
  not: "Mark as not done",
  undo: "Undo the last",
  list: "All steps",
  asList: "As a list",
  thePlan: "The plan",
  planText: "Heights, teeth, chance",
  voice: "Voice on",
  quiet: "Voice off",
  voiceText: "Reads each step aloud",
};

/** The way to a question of the bar and back. @param {JobContext} ctx @param {string} from @param {string[]} keys */
function asks(ctx, from, keys) {
  const open = keys.find((key) => (at(ctx.sheet, key.split(".")) ?? null) === null) ?? keys[0];
  const then = keys[keys.indexOf(open) + 1];
  return { words: ["ask", open], query: { from, ...(then ? { then } : {}) } };
}

const COUNTS = ["car.bar.inner_teeth", "car.bar.outer_teeth"];
const SIZES = ["car.bar.diameter_mm", "car.bar.length_mm"];

/**
 * A step that asks something of the bar.
 * @param {Given} given
 * @param {string[]} keys
 * @param {string} words
 * @param {string} [skip]
 * @returns {Part}
 */
function askPart({ ctx, step, done, next, finish, from }, keys, words, skip) {
  const ask = () => ctx.go(asks(ctx, from, keys));
  const more = { value: "change", label: "Change what was entered", text: step.name, act: ask };
  if (done) return { main: { words: SAID.next, ontap: next }, more: [more] };
  const pass = { value: "skip", label: skip ?? "", text: "The plan goes on with what is assumed.", act: finish };
  return { main: { words, ontap: ask }, more: skip ? [pass] : [] };
}

/** What a step adds. @param {Given} given @returns {Part} */
function partOf(given) {
  const { step, done, next, finish } = given;
  if (step.kind === "found") return foundPart(given);
  if (step.kind === "read") return readPart(given);
  if (step.kind === "count") return askPart(given, COUNTS, "Enter teeth");
  if (step.kind === "caliper") return askPart(given, SIZES, "Enter sizes", "Skip measuring the bar");
  if (step.kind === "look" && !done) return lookPart(given);
  if (step.adjust) return adjustPart(given);
  return { main: done ? { words: SAID.next, ontap: next } : { words: SAID.done, ontap: finish } };
}

/** A word on the key that goes on is as large as it can be. @param {KeySpec} main @returns {KeySpec} */
const sized = (main) => ({ huge: main.words.length <= LONGEST_HUGE, ...main });

/** What comes when every step is ticked. @param {JobContext} ctx @param {PlanRow} plan @param {() => void} back */
function finished(ctx, plan, back) {
  const turned = moveOf(ctx.sheet, plan.teardown);
  // Of the other axle no heights were predicted that a screen would judge: both axles are read, then planned again.
  const on = ctx.there
    ? { words: SAID.turned, to: { words: ["move"], query: { entry: turned?.id, from: "axle" } } }
    : { words: SAID.heights, to: { words: ["ground", String(plan.teardown)] } };
  const { words, to } = turned ? on : { words: SAID.plan, to: { words: ["plan"] } };
  return shell({
    kind: "step",
    title: ofAxle(ctx.there, SAID.end),
    // Not among what a low window has no room for: it is all there is to read here.
    how: turned ? (ctx.there ? SAID.check : SAID.roll) : SAID.nothing,
    body: [stayAwake()],
    quiet: { words: SAID.back, heard: SAID.heard, small: SAID.more, ontap: back },
    main: { words, huge: true, href: ctx.href(to) },
  });
}

/**
 * The rows behind the quiet key.
 * @param {{ctx: JobContext, plan: PlanRow, steps: Step[], here: number, more: More[], to: (at?: number) => void,
 *   step: Step | undefined}} about
 * @returns {More[]}
 */
function rowsOf({ ctx, plan, steps, here, more, to, step }) {
  const last = lastTicked(ctx.sheet, plan);
  const same = (/** @type {Step} */ one, /** @type {Step | undefined | null} */ other) =>
    Boolean(other) && one.key === other?.key && one.side === other?.side;
  const undo = async (/** @type {Step} */ one) =>
    (await untick(ctx, plan, one)) && to(steps.findIndex((each) => same(each, one)));
  const to_ = (/** @type {string[]} */ words) => () => ctx.go({ words });
  const say = () => {
    setSpeaking(!speaking());
    if (step) speak(aloud(step));
  };
  const row = (/** @type {string} */ value, /** @type {() => unknown} */ act, text = "") => ({ value, text, act });
  /** @type {(false | null | undefined | More)[]} */
  const rows = [
    here > 0 && { label: SAID.before, ...row("back", () => to(here - 1), steps[here - 1].name) },
    step && isTicked(ctx.sheet, plan.teardown, step) && { label: SAID.not, ...row("not", () => undo(step), step.name) },
    last && !same(last, step) && { label: SAID.undo, ...row("undo", () => undo(last), last.name) },
    ...more,
    { label: SAID.list, ...row("list", to_(["teardown", String(plan.teardown)]), SAID.asList) },
    { label: SAID.thePlan, ...row("plan", to_(["plan"]), SAID.planText) },
    canSpeak() && { label: speaking() ? SAID.quiet : SAID.voice, ...row("voice", say, SAID.voiceText) },
  ];
  return rows.flatMap((one) => one || []);
}

/** Ask which, and do it. @param {string} title @param {More[]} rows */
async function pickAndDo(title, rows) {
  const stay = { value: "", label: SAID.stay, text: title };
  const found = await pickOne({ title, options: [...rows, stay], chosen: null });
  await rows.find(({ value }) => value === found)?.act();
}

/** The screen of one step, its words and warning whole.
 * @param {JobContext} ctx @param {Step} step @param {Part} part what it adds @param {() => unknown} quiet */
function pageOf(ctx, step, part, quiet) {
  const how = part.how ?? step.text;
  const photo = atStep(step, Number(ctx.words[1]));
  const picture = part.picture === undefined ? pictureOf(step, ctx.sheet.car) : part.picture;
  return shell({
    kind: "step",
    side: step.side ?? "",
    ...(step.turn ? { end: step.turn.where, title: step.turn.what } : { title: step.name }),
    ...(step.adjust ? { end: adjustWhere(step.adjust) } : {}),
    how,
    warning: cautionOf(step),
    picture,
    // A caution may be as high as the window: below it the key would be out of sight.
    corner: photo && picture && photoCorner(ctx, photo),
    body: [
      meanwhile(ctx),
      ...(part.body ?? []),
      how ? h("p", { class: "then beside", text: how }) : null,
      photo && (picture ? thumbs(ctx, alike(ctx.sheet.photos, photo)) : photoKey(ctx, photo)),
      stayAwake(),
    ],
    quiet: { words: SAID.back, heard: SAID.heard, small: SAID.more, ontap: quiet },
    main: part.main ? sized(part.main) : null,
  });
}

/** The screen. @param {JobContext} ctx */
export function propped(ctx) {
  const found = teardownAt(ctx);
  if (!found) return noPlan(ctx, "Steps");
  const { number, plan } = found;
  const title = ofAxle(ctx.there, titled(stageName(ctx.sheet, number)));
  const begun = hasBegun(ctx.sheet, plan);
  const elsewhere = waiting(ctx, begun, title);
  if (elsewhere) return elsewhere;
  if (holdingBack(ctx.sheet).length && !begun) return heldBack(ctx, title);
  const { steps, done, next: end } = progress(ctx.sheet, plan);
  const here = Math.max(0, Math.min(steps.length, ctx.query.at === undefined ? end : Number(ctx.query.at) || 0));
  const step = steps[here];
  const to = (/** @type {number | undefined} */ at_) =>
    ctx.go({ words: ["propped", String(number)], query: at_ === undefined ? {} : { at: at_ } }, { replace: true });
  const list = ctx.href({ words: ["teardown", String(number)] });
  const place = step ? ofAxle(ctx.there, titled(placeOf(ctx.sheet, plan, here))) : title;
  const bar = { name: place, href: list, title: "All steps" };
  /** @type {More[]} */
  let more = [];
  const quiet = () => pickAndDo(bar.name, rowsOf({ ctx, plan, steps, here, more, to, step }));
  if (!step) {
    const page = finished(ctx, plan, quiet);
    return { title: `${title}: ${SAID.end}`, bar, node: page.node };
  }
  const next = () => to(here + 1 >= end ? undefined : here + 1);
  /** @type {ReturnType<typeof shell> | null} */
  let page = null;
  const part = partOf({
    ctx,
    plan,
    step,
    done: done[here],
    next,
    again: () => to(ctx.query.at === undefined ? undefined : here),
    finish: async () => (await tick(ctx, plan, step)) && next(),
    show: (main) => page?.deck.show({ main: sized(main) }),
    from: `propped/${number}`,
  });
  more = part.more ?? [];
  page = pageOf(ctx, step, part, quiet);
  if (here === 0) page.node.classList.add("first");
  ctx.whileShown?.(hush);
  speak(aloud(step));
  return { title: `${title}: ${step.name}`, bar, node: page.node, focus: page.title };
}
