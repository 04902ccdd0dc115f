/* What the Log says beside readings: the car and its target, what was put off, what is known of the car and what is
   assumed. Each row is a key to the question. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { fold } from "../parts/plate.js";
import { usedWords } from "../work/again.js";
import { erasedWords } from "../work/erased-words.js";
import { closedCar } from "../work/flow.js";
import { layoutWords } from "../work/layouts.js";
import { CAR, answerWords, isOf, questionOf } from "../work/questions.js";
import { READINGS } from "../work/readings.js";
import { at } from "../work/sheet.js";
import { targetWords } from "../work/target-words.js";
import { ofBoth, otherAxle } from "../work/weighing.js";
import { lengthsIn } from "../work/units.js";
import { withinWords } from "../work/wish.js";
import { fromList } from "./list-readings.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Question as Asked } from "../work/flow.js" */
/** @import { Question } from "../work/questions.js" */

const AXLES = [
  { value: "trailing", label: "Trailing" },
  { value: "semi-trailing", label: "Semi-trailing" },
  { value: "swing", label: "Swing" },
  { value: "wishbone", label: "Wishbones" },
  { value: "beam", label: "Beam" },
];

const SAID = {
  job: "Job",
  numbered: (/** @type {number} */ number) => `Job ${number}`,
  car: "Car and owner",
  unnamed: "Not named",
  request: "Customer’s request",
  target: "Target",
  other: (/** @type {string} */ axle) => `Target, ${axle} axle`,
  noTarget: "Not chosen",
  within: "Tolerance",
  later: "Not now",
  ask: "Answer now",
  board: "Board test",
  zero: "How the gauge is zeroed",
  known: "The car",
  assumed: "Assumed",
  axle: "Arms",
  layout: "What sets the height",
  before: "From an earlier visit",
  open: "Not answered",
  default: (/** @type {string} */ words) => `Default: ${words}`,
};

/** A row that leads somewhere: what it is, what it says. */
const row = (/** @type {string} */ href, /** @type {string} */ name, /** @type {string} */ value, cls = "") =>
  h(
    "li",
    null,
    h("a", { class: "key entry fact", href }, h("span", { text: name }), h("strong", { class: cls, text: value })),
  );

/** The heading, with the number by which people at the shop call the job, once it is known. */
function jobHead(/** @type {JobContext} */ ctx) {
  const head = h("h2", { text: SAID.job });
  const called = async () => {
    const number = await ctx.shop.numberHere(ctx.job);
    if (number !== null || !(await ctx.device.access())) return number;
    await ctx.need("pc");
    return ctx.pc.numberOf(ctx.job);
  };
  called().then(
    (/** @type {number | null} */ number) => {
      if (number !== null) head.textContent = SAID.numbered(number);
    },
    () => {},
  );
  return head;
}

/** The job itself: who, what was asked for, what it is to come to. */
export function jobRows(/** @type {JobContext} */ ctx) {
  const { sheet } = ctx;
  const about = ctx.href({ words: ["about"] });
  const target = targetWords(sheet.target);
  const who = [sheet.car_name, sheet.owner, sheet.about.plate, sheet.about.chassis].filter(Boolean).join(", ");
  return h(
    "section",
    null,
    jobHead(ctx),
    sheet.erased ? h("p", { class: "was-erased", text: `${erasedWords(sheet)}.` }) : null,
    h(
      "ul",
      { class: "facts" },
      row(about, SAID.car, who || sheet.title || SAID.unnamed),
      sheet.wish ? row(about, SAID.request, sheet.wish) : null,
      row(ctx.href(fromList({ words: ["target"] })), SAID.target, target || SAID.noTarget, target ? "" : "assumed"),
      target ? row(ctx.href(fromList({ words: ["target"] })), SAID.within, withinWords(sheet.target)) : null,
      ofBoth(sheet)
        ? row(
            ctx.href({ words: ["axle"] }),
            SAID.other(otherAxle(sheet.car)),
            targetWords(/** @type {any} */ (sheet.target).other) || SAID.noTarget,
          )
        : null,
    ),
  );
}

/** "Ride height, left"; the name of a question of the closed car. */
function questionName(/** @type {Asked} */ { key, side }) {
  const name =
    /** @type {{ [key: string]: { title: string } | undefined }} */ (READINGS)[key]?.title ??
    (key === "board-test" ? SAID.board : (questionOf(key)?.title ?? SAID.zero));
  return side ? `${name}, ${side}` : name;
}

/** What was put off, each with the way to answer it; null where nothing was. */
export function laterRows(/** @type {JobContext} */ ctx) {
  const rows = ctx.sheet.teardowns ? [] : closedCar(ctx.sheet).filter(({ later }) => later);
  if (!rows.length) return null;
  return h(
    "section",
    { class: "put-off" },
    h("h2", { text: SAID.later }),
    h(
      "ul",
      { class: "facts" },
      rows.map((each) => row(ctx.href(fromList(each)), questionName(each), SAID.ask)),
    ),
  );
}

function answer(/** @type {JobContext} */ ctx, /** @type {Question} */ question) {
  const value = at(ctx.sheet, question.path);
  const href = ctx.href(fromList({ words: ["ask", question.key] }));
  if (value === undefined) {
    const words = question.assumed ? SAID.default(lengthsIn(question.assumed)) : SAID.open;
    return row(href, question.title, words, "assumed");
  }
  return row(href, question.title, answerWords(question, value));
}

function axle(/** @type {JobContext} */ ctx) {
  const onchoose = async (/** @type {string} */ value) => {
    await ctx.save([["car", { axle: value }]], { said: SAID.axle });
    ctx.redraw();
  };
  const chosen = ctx.sheet.car.axle ?? "trailing";
  return h(
    "div",
    { class: "axle" },
    h("h3", { text: SAID.axle }),
    choice({ name: "axle", legend: SAID.axle, options: AXLES, chosen, onchoose }),
  );
}

/** What is known of the car, in the open; what is assumed, folded. */
export function carRows(/** @type {JobContext} */ ctx) {
  const all = CAR.filter((question) => isOf(question, ctx.sheet.car));
  const known = all.filter((question) => at(ctx.sheet, question.path) !== undefined);
  const assumed = all.filter((question) => !known.includes(question));
  const list = (/** @type {Question[]} */ some) =>
    h(
      "ul",
      { class: "facts" },
      some.map((question) => answer(ctx, question)),
    );
  const before = usedWords(ctx.sheet);
  return [
    h("ul", { class: "facts" }, row(ctx.href({ words: ["layout"] }), SAID.layout, layoutWords(ctx.sheet.car))),
    before ? h("ul", { class: "facts" }, row(ctx.href({ words: ["known"] }), SAID.before, before)) : null,
    known.length ? h("section", null, h("h2", { text: SAID.known }), list(known)) : null,
    fold({ title: SAID.assumed, more: String(assumed.length), id: "assumed", level: "h2" }, axle(ctx), list(assumed)),
  ];
}
