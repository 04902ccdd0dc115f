/* One question about the car or its target: a drawing, a figure, the pad. Every key is kept at once as a draft;
   "Next" writes the entry, and goes on once it is on the disk. The question itself comes from questions.js. */

import { at, body, readingsOf } from "../work/sheet.js";
import { outside } from "../work/bounds.js";
import { barView } from "../parts/bar-view.js";
import { h, say } from "../parts/dom.js";
import { lengthsIn, wordsIn } from "../work/units.js";
import { field, stateOf } from "../parts/field.js";
import { keyPad } from "../parts/keypad.js";
import { plain } from "../work/numbers.js";
import { sideView } from "../parts/side-view.js";
import { signKeys } from "../parts/signs.js";
import { after } from "../work/guide.js";
import { nudges } from "../work/nudges.js";
import { questionOf } from "../work/questions.js";

const USUAL_HEIGHT = 230;

/** What the field shows first: a draft, the answer so far, or the answer it is likely to be like. */
function initial(ctx, question) {
  const given = at(ctx.sheet, question.path) ?? (question.like ? at(ctx.sheet, question.like.split(".")) : undefined);
  return ctx.drafts.draft(ctx.job, question.key) ?? stateOf(given, question.ways);
}

const stateText = (state) => (state?.text ? `${state.sign} ${state.text}` : "");

/** The drawing, and how it follows what is typed. */
function drawing(question, sheet) {
  if (question.view) return { node: barView(question.view, question.where), follow() {} };
  const side = question.side ?? "left";
  const known = readingsOf(sheet, { what: "body-height", side }).at(-1)?.value ?? USUAL_HEIGHT;
  const state = (value, size) => ({
    side,
    mode: question.mode,
    gauge: question.gauge,
    angle: question.ways && question.gauge ? value : 0,
    unsigned: size,
    drawn: question.path[0] === "target" && question.key.endsWith("t_mm") && size !== null ? size - known : 0,
    reading: size === null ? "" : plain(size, Number.isInteger(size) ? 0 : 1) + question.unit,
    words: question.where,
  });
  const node = sideView(state(null, null));
  return { node, follow: (value, size) => node.show(state(value, size)) };
}

/** The screen of one question. */
export function ask(ctx) {
  const question = questionOf(ctx.words[1]);
  if (!question) return null;
  const picture = drawing(question, ctx.sheet);
  const answered = at(ctx.sheet, question.path) !== undefined;

  const next = () => {
    const value = one.value();
    if (value === null) {
      if (one.size() === null && !question.needed) return leave(null);
      return one.tell(
        one.size() === null
          ? "Type the figure first; the plan cannot do without it."
          : `Choose ${question.ways.join(" or ")}.`,
      );
    }
    const wrong = outside(question.key, value, wordsIn(question.unit));
    if (wrong) return one.tell(wrong);
    return leave(value);
  };
  const leave = async (value) => {
    const [kind, ...path] = question.path;
    const now = at(ctx.sheet, question.path);
    if (value !== (now ?? null) && !(await ctx.save([[kind, body(path, value)]], { said: question.title }))) return;
    ctx.drafts.drop(ctx.job, question.key);
    ctx.solved(question.key);
    const { from, then } = ctx.query;
    if (then) ctx.go({ words: ["ask", then], query: { from } });
    else ctx.go(from ? { words: [from] } : after(ctx.sheet, ctx.words));
  };
  const one = field({
    label: question.title,
    unit: question.unit,
    whole: question.whole,
    ways: question.ways,
    nudge: question.nudge,
    state: initial(ctx, question),
    onchange: (state) => {
      ctx.kept(() => ctx.drafts.keep(ctx.job, question.key, state));
      signs?.show(state.sign);
      picture.follow(one.value(), one.size());
    },
    onnext: next,
  });
  const signs = question.ways
    ? signKeys({
        ways: question.ways,
        side: question.side ?? "left",
        sign: one.state().sign,
        onturn: (sign) => one.turn(sign),
      })
    : null;
  picture.follow(one.value(), one.size());
  const first = stateText(stateOf(at(ctx.sheet, question.path), question.ways));
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, question.key) !== null && stateText(one.state()) !== first);
  const refused = ctx.problemAt(question.key);
  if (refused) one.tell(refused.detail);

  const pad = keyPad({ whole: question.whole, ...nudges(question) }, (key) => {
    if (key === "next") return next();
    one.press(key);
    return say(one.spoken());
  });
  return {
    title: question.title,
    focus: one.input,
    fresh() {},
    node: h(
      "div",
      { class: "ask" },
      h(
        "div",
        { class: "lead" },
        h("h1", { text: question.title }),
        h("p", { class: "where", text: question.where }),
        question.assumed
          ? h("p", {
              class: "assumed",
              text: answered
                ? `Was assumed: ${lengthsIn(question.assumed)}. Empty it to go back to that.`
                : `Until you type it, assumed: ${lengthsIn(question.assumed)}.`,
            })
          : null,
      ),
      h("div", { class: "drawing" }, picture.node),
      h("div", { class: "typing" }, h("div", { class: "fields" }, one.node), signs?.node, pad),
    ),
  };
}
