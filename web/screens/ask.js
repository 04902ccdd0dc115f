/* One fact of the car: a drawing, a figure, the pad. Every key is kept at once as a draft; "Next" writes the
   entry, and goes on once it is on the disk. The question itself comes from questions.js. */

import { h } from "../parts/dom.js";
import { angleReading } from "../parts/draw/angle.js";
import { adjusterPlace } from "../parts/adjuster-place.js";
import { choice } from "../parts/choice.js";
import { barPicture } from "../parts/draw/bar.js";
import { lengthReading } from "../parts/draw/height.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { shell } from "../parts/shell.js";
import { seenOf } from "../work/adjuster.js";
import { outside } from "../work/bounds.js";
import { laterItem, ON_THE_WAY, onward } from "../work/flow.js";
import { plain } from "../work/numbers.js";
import { ARM, questionOf, whereOf } from "../work/questions.js";
import { ofAxle } from "../work/sentence.js";
import { at, body } from "../work/sheet.js";
import { thenWords } from "../work/then.js";
import { lengthsIn, wordsIn } from "../work/units.js";
import { running } from "../parts/chance-line.js";
import { slipKey } from "../parts/slip-key.js";

/** @import { State } from "../parts/figure.js" */
/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Question } from "../work/questions.js" */

const WORDS = {
  type: "Enter a value. The plan needs it.",
  choose: (/** @type {string[]} */ ways) => `Choose ${ways.join(" or ")}.`,
  default: (/** @type {string} */ value) => `Default: ${value}.`,
  cleared: (/** @type {string} */ value) => `Default: ${value}. Clear the figure to go back to it.`,
};
/**
 * What the field shows first: a draft, the answer so far, or the answer it is likely to be like.
 * @param {JobContext} ctx
 * @param {Question} question
 * @returns {Partial<State> | null | undefined}
 */
function initial(ctx, question) {
  const kept = ctx.drafts.draft(ctx.job, question.key);
  if (kept) return kept;
  const given = at(ctx.sheet, question.path) ?? (question.like ? at(ctx.sheet, question.like.split(".")) : undefined);
  const state = stateOf(given, question.ways);
  return state && { ...state, prefilled: true };
}

/** @param {Partial<State> | null} [state] */
const stateText = (state) => (state?.text ? `${state.sign} ${state.text}` : "");

/** Modes that are drawn at a corner of the car; the others are of its adjuster. */
const LENGTHS = ["arm", "load", "height"];

/**
 * Usual answers as large keys; null where a question has none.
 * @param {Question} question
 * @param {(value: number) => void} onchoose
 */
const usual = ({ keys, title, key }, onchoose) =>
  keys
    ? choice({
        name: key,
        legend: title,
        cls: "compact usual",
        chosen: null,
        options: keys.map(({ label, value }) => ({ value: String(value), label })),
        onchoose: (value) => onchoose(Number(value)),
      })
    : null;

/**
 * The drawing, and how it follows what is typed.
 * @param {Question} question
 * @param {any} car as the sheet has it
 * @returns {{ node: Node, follow: (value: number | null) => void }}
 */
function drawing(question, car) {
  const { side = "left", where: label = "" } = question;
  const still = () => {};
  const seen = seenOf(car);
  if (question.view) return { node: barPicture({ of: question.view, seen, label }), follow: still };
  if (question.mode === "hanging" || question.mode === "riding") {
    const view = angleReading({ side, seen, pose: question.mode, label });
    if (question.ways !== ARM) return { node: view, follow: still };
    const follow = (/** @type {number | null} */ deg) =>
      view.move({
        deg,
        figure: deg === null ? "" : `${plain(Math.abs(deg), 1)}°`,
        way: deg ? ARM[deg > 0 ? 0 : 1] : "",
      });
    return { node: view, follow };
  }
  if (question.mode && !LENGTHS.includes(question.mode))
    return { node: adjusterPlace({ side, of: question.mode, car, label }), follow: still };
  const what = question.mode === "arm" ? "lever" : question.mode === "load" ? "load" : "height";
  return { node: lengthReading({ side, what, seen, label }), follow: still };
}

/**
 * Where to go once it was answered or passed over.
 * @param {JobContext} ctx
 */
function way(ctx) {
  const { from, then } = ctx.query;
  return then ? { words: ["ask", then], query: from ? { from } : {} } : onward(ctx.sheet, ctx.words, ctx.query);
}

/**
 * What may be said besides: the value that is assumed while nobody answers.
 * @param {Question} question
 * @param {boolean} answered
 */
function assumedWords(question, answered) {
  if (!question.assumed) return "";
  const value = lengthsIn(question.assumed);
  return answered ? WORDS.cleared(value) : WORDS.default(value);
}

/**
 * The screen of one question: route words ["ask", field].
 * @param {JobContext} ctx
 * @returns {Shown | null}
 */
export function ask(ctx) {
  const question = questionOf(ctx.words[1]);
  if (!question) return null;
  const picture = drawing(question, ctx.sheet.car);
  const answered = at(ctx.sheet, question.path) !== undefined;
  const leave = async (/** @type {number | null} */ value) => {
    const [kind, ...path] = question.path;
    const now = at(ctx.sheet, question.path);
    if (value !== (now ?? null) && !(await ctx.save([[kind, body(path, value)]], { said: question.title }))) return;
    ctx.drafts.drop(ctx.job, question.key);
    ctx.solved(question.key);
    ctx.go(way(ctx));
  };
  const next = () => {
    const value = one.value();
    if (value === null) {
      if (one.size() === null && (answered || !question.needed) && !question.path.includes("target"))
        return leave(null);
      return one.tell(one.size() === null ? WORDS.type : WORDS.choose(question.ways ?? []));
    }
    const wrong = outside(question.key, value, wordsIn(question.unit));
    if (wrong) return one.tell(wrong);
    return slip.holds() ? undefined : leave(value);
  };
  const change = () => {
    ctx.kept(() => ctx.drafts.keep(ctx.job, question.key, one.state()));
    picture.follow(one.value());
    slip.follow();
  };
  const one = field({
    label: question.title,
    unit: question.unit,
    whole: question.whole,
    ways: question.ways,
    nudge: question.nudge,
    shown: true,
    state: initial(ctx, question),
    onchange: () => change(),
    onnext: () => next(),
  });
  const slip = slipKey({
    field: () => one,
    typed: () => ({ kind: question.key, value: one.value(), size: one.size(), others: [] }),
    ontake: () => change(),
  });
  picture.follow(one.value());
  const first = stateText(stateOf(at(ctx.sheet, question.path), question.ways));
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, question.key) !== null && stateText(one.state()) !== first);
  const refused = ctx.problemAt(question.key);
  if (refused) one.tell(refused.detail ?? "");
  const skipped = ON_THE_WAY.includes(question.key) && !answered && !ctx.query.from;
  const pass = async () => {
    if (skipped && !(await ctx.save([laterItem(ctx.sheet, question.key)], { said: "not now" }))) return;
    ctx.go(way(ctx));
  };
  const page = shell({
    kind: "ask",
    side: question.side,
    title: ofAxle(ctx.there, question.title),
    how: whereOf(question, ctx.sheet.car),
    run: skipped ? running(ctx, { key: question.key }) : null,
    picture: picture.node,
    front: [
      question.assumed ? h("p", { class: "assumed", text: assumedWords(question, answered) }) : null,
      usual(question, (value) => {
        one.put(stateOf(value, question.ways) ?? {});
        change();
      }),
    ],
    typed: pad({ fields: [one], side: question.side ?? "left", below: slip.node }).node,
    quiet: { words: ctx.query.from ? "Back" : "Not now", ontap: pass },
    main: { words: "Next", small: thenWords(way(ctx), { words: ctx.words }), ontap: next },
  });
  return { title: question.title, focus: one.input, fresh() {}, node: page.node };
}
