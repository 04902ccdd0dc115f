/* The other axle of a job: whether it is set too, what sets its height, its heights, its target, what is assumed of it.
   Route ["axle"]; screens of a job stand below it, as that axle's (context/there.js). */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { assumedList, fold, keyRows, rowLabel } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { sprungOf } from "../work/adjuster.js";
import { assumedOf } from "../work/assumed.js";
import { needs, readRoute, series, startOf } from "../work/guide.js";
import { LAYOUTS, layoutBody, layoutWords } from "../work/layouts.js";
import { plain } from "../work/numbers.js";
import { gainWords, testsOf } from "../work/plan-ways.js";
import { CAR, answerWords, isOf } from "../work/questions.js";
import { nameOf, valueOf } from "../work/readings.js";
import { at, readingsOf, stands } from "../work/sheet.js";
import { titled } from "../work/sentence.js";
import { targetWords } from "../work/target-words.js";
import {
  INSIDE,
  heightsHere,
  heightsThere,
  inside,
  keptThere,
  needsThere,
  seenThere,
  wantsBoth,
} from "../work/there.js";
import { lengthsIn } from "../work/units.js";
import { answerThere } from "../work/walk.js";
import { ofBoth, otherAxle } from "../work/weighing.js";

/** @import { JobContext, Route, Shown } from "../types/context.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */

/** @typedef {"rear" | "front"} Axle */

const SAID = {
  what: (/** @type {Axle} */ axle) => `${titled(axle)}: what sets the height?`,
  how: (/** @type {Axle} */ axle) =>
    `For a car whose ${axle} has torsion bars too: both axles are then planned together.` +
    " Nothing else has to be known; what is not is assumed, and shown.",
  choose: "Choose one",
  saved: (/** @type {Axle} */ axle) => `the ${axle} axle`,
  title: (/** @type {Axle} */ axle) => `${titled(axle)} axle`,
  layout: "What sets the height",
  target: (/** @type {Axle} */ axle) => `${titled(axle)} target`,
  alone: (/** @type {Axle} */ axle) => `none yet: the ${axle} alone is planned`,
  unread: "not read",
  anglesSmall: "4 minutes, gauge; better known, a better chance",
  apart: (/** @type {Axle} */ axle) =>
    `Both axles are planned together for heights, a rise or a level of each. The ${axle}’s target is none of` +
    ` these: until it is changed, the ${axle} alone is planned.`,
  change: (/** @type {Axle} */ axle) => `Change the ${axle}’s target`,
  facts: "What is known of it",
  tests: "Measure for a better chance",
  minutes: (/** @type {number} */ minutes) => `${plain(minutes, 0)} min`,
  taken: "What the plan assumes of it",
  open: "not entered",
  assumed: (/** @type {string} */ value) => `assumed: ${value}`,
  out: (/** @type {Axle} */ axle) => `Leave the ${axle} out`,
  outSaid: (/** @type {Axle} */ axle) => `the ${axle} axle left out`,
};
const LOG = (/** @type {JobContext} */ ctx) => ({ words: "Log", href: ctx.href({ words: ["list"] }) });

/** Ask what sets that axle's height: with the answer the axle is of the job.
 * @param {JobContext} ctx @param {Axle} axle @returns {Shown} */
function asking(ctx, axle) {
  let chosen = "";
  const next = async () => {
    const items = keptThere([["car", layoutBody(chosen)]], axle);
    if (await ctx.save(items, { said: SAID.saved(axle) })) ctx.redraw();
  };
  const off = { words: "Next", small: SAID.choose, off: true };
  const rows = choice({
    name: "layout",
    legend: SAID.what(axle),
    cls: "rows",
    chosen: null,
    options: LAYOUTS.filter(({ car }) => sprungOf(car) === axle).map(({ key, words, small }) => ({
      value: key,
      label: rowLabel({ words, small }),
    })),
    onchoose: (key) => {
      chosen = key;
      page.deck.show({ main: { words: "Next", ontap: next } });
    },
  });
  const page = shell({
    kind: "page",
    title: SAID.what(axle),
    how: SAID.how(axle),
    body: [rows],
    quiet: LOG(ctx),
    main: off,
  });
  return { title: SAID.title(axle), fresh() {}, node: page.node };
}

/** A route that comes back here. @param {Route} route */
const back = (route) => {
  const { words, query } = inside(/** @type {any} */ (route));
  return { words, query: { ...query, from: "axle" } };
};

/** Heights of that axle as it stands now: a row for each side.
 * @param {JobContext} ctx @param {Sheet} there @param {Axle} axle */
const heightRows = (ctx, there, axle) =>
  series("heights").map((step) => {
    const { what, side } = step;
    const row = readingsOf(there, { what, side, teardown: there.teardowns }).findLast(({ pose }) => stands(pose));
    return {
      words: nameOf({ what, side, axle }),
      small: row ? valueOf(row) : SAID.unread,
      href: ctx.href(back(readRoute(row ? { ...step, entry: row.id } : step))),
    };
  });

/** What may be known of that axle, each a way to enter it. @param {JobContext} ctx @param {Sheet} there */
function factsFold(ctx, there) {
  const all = CAR.filter((question) => isOf(question, there.car) && !question.key.startsWith("car.roll_support"));
  const rows = all
    .filter(({ key }) => !key.startsWith("car.unevenness"))
    .map((question) => {
      const value = at(there, question.path);
      const assumed = question.assumed ? SAID.assumed(lengthsIn(question.assumed)) : SAID.open;
      return {
        words: question.title,
        small: value === undefined ? assumed : answerWords(question, /** @type {number} */ (value)),
        href: ctx.href(back({ words: ["ask", question.key] })),
      };
    });
  return fold({ title: SAID.facts, more: String(rows.length), id: "axle-facts" }, keyRows(rows));
}

/** What would better that axle's chance, and what is assumed of it, by the plan of both; nothing without one.
 * @param {JobContext} ctx @param {Sheet} there @param {HTMLElement} place */
async function showTold(ctx, there, place) {
  if (!wantsBoth(ctx.sheet) || needs(ctx.sheet).length || needsThere(ctx.sheet).length) return;
  const { answer } = await ctx.model.askForPlan(ctx.request.request);
  if (!answer.both || !place.isConnected) return;
  const seen = answerThere(answer);
  const tests = testsOf(seen).map(({ name, how, minutes, from, to, test }) => {
    const route = startOf(test, there);
    const small = `${gainWords(from, to)}, ${SAID.minutes(minutes)}`;
    // How the car is made to stand for a test is asked of the job's own axle alone.
    return INSIDE.includes(route.words[0])
      ? keyRows([{ words: name, small, href: ctx.href(back(route)) }])
      : h("p", null, h("b", { text: `${name}: ${small}. ` }), how);
  });
  const { passed, worth, rest } = assumedOf(seen, seen.options[0], there.car);
  const facts = [...passed, ...worth, ...rest];
  /** @type {(title: string, id: string, count: number, body: HTMLElement[]) => HTMLElement[]} */
  const folded = (title, id, count, body) => (count ? [fold({ title, more: String(count), id }, ...body)] : []);
  place.replaceChildren(
    ...folded(SAID.tests, "axle-tests", tests.length, tests),
    ...folded(SAID.taken, "axle-assumed", facts.length, [assumedList(facts)]),
  );
}

/** The key that takes the axle out of the job again; none once it was turned.
 * @param {JobContext} ctx @param {Axle} axle */
function outKey(ctx, axle) {
  if (ctx.sheet.other.moves.length) return null;
  const leave = async () => {
    const wanted = /** @type {any} */ (ctx.sheet.target).other;
    /** @type {any[]} */
    const items = [["car", { other: null }], ...(wanted ? [["target", { other: null }]] : [])];
    if (await ctx.save(items, { said: SAID.outSaid(axle) })) ctx.go({ words: ["list"] });
  };
  return h("button", { type: "button", class: "key wide danger", onclick: leave }, SAID.out(axle));
}

/** What comes next there: its target, its heights, the plan of both.
 * @param {JobContext} ctx @param {Axle} axle */
function nextKey(ctx, axle) {
  if (!(/** @type {any} */ (ctx.sheet.target).other))
    return { words: SAID.target(axle), href: ctx.href(back({ words: ["target"] })) };
  const there = heightsThere(ctx.sheet);
  const route = there ?? heightsHere(ctx.sheet);
  if (!route) return { words: "Plan", href: ctx.href({ words: ["plan"] }) };
  const [what, side] = /** @type {any} */ (route.words.slice(-2));
  return { words: nameOf({ what, side, axle: there ? axle : sprungOf(ctx.sheet.car) }), href: ctx.href(route) };
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function axle(ctx) {
  const which = otherAxle(ctx.sheet.car);
  if (!ofBoth(ctx.sheet)) return asking(ctx, which);
  const there = seenThere(ctx.sheet);
  const mine = sprungOf(ctx.sheet.car);
  const wanted = /** @type {any} */ (ctx.sheet.target).other;
  const rows = [
    { words: SAID.layout, small: layoutWords(there.car), href: ctx.href(back({ words: ["layout"] })) },
    {
      words: SAID.target(which),
      small: (wanted && targetWords(wanted)) || SAID.alone(mine),
      href: ctx.href(back({ words: ["target"] })),
    },
    ...heightRows(ctx, there, which),
    {
      words: `${titled(which)} riding angles`,
      small: SAID.anglesSmall,
      href: ctx.href(
        there.teardowns
          ? back(readRoute(series("riding")[0]))
          : inside(readRoute({ ...series("riding")[0], series: "riding" })),
      ),
    },
  ];
  const apart = wanted && !wantsBoth(ctx.sheet);
  const told = h("div", { class: "told" });
  const page = shell({
    kind: "page",
    title: SAID.title(which),
    body: [
      apart
        ? [
            h("p", { class: "assumed", text: SAID.apart(mine) }),
            h("a", { class: "key", href: ctx.href({ words: ["target"] }) }, SAID.change(mine)),
          ]
        : null,
      keyRows(rows),
      factsFold(ctx, there),
      told,
      outKey(ctx, which),
    ].flat(),
    quiet: LOG(ctx),
    main: nextKey(ctx, which),
  });
  // A plan that cannot be made is told where the plan is.
  queueMicrotask(() => showTold(ctx, there, told).catch(() => {}));
  return { title: SAID.title(which), node: page.node };
}
