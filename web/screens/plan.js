/* The plan: asks for it, shows it, and leads on: to what lifts an obstacle, to what to read first, to the teardown.

   Owns which option is looked at. Where the plan is worked out is shop/plan.js's choice, what the deck offers is
   work/plan-deck.js's; this draws it. The screen is built once an answer is there and then written anew in its place, so
   that nothing jumps under a finger. */

import { stopped } from "../parts/conflicts.js";
import { h, say } from "../parts/dom.js";
import { assumedLine, keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { assumedWords, otherLimits, passedOnce } from "../work/assumed.js";
import { missing, needs, startOf } from "../work/guide.js";
import { inHundred, turns } from "../work/numbers.js";
import { readNow } from "../work/outlook.js";
import { placeOf } from "../work/places.js";
import { lowered, readingRoute, standOf } from "../work/plan-deck.js";
import { figureOf, lengthUnit } from "../work/plan-figures.js";
import { gainWords, TESTS } from "../work/plan-ways.js";
import { alreadyPromised, planFor, promised } from "../work/promise.js";
import { questionOf } from "../work/questions.js";
import { nameOf } from "../work/readings.js";
import { inDegrees } from "../work/sheet.js";
import { underWay } from "../work/teardown-steps.js";
import { length, lengthsIn } from "../work/units.js";
import { WHERE } from "../work/where.js";
import { aimWords, formOf, heightsAs, withinWords } from "../work/wish.js";
import { doubtKeys, doubtList, doubtsOf } from "./plan-doubts.js";
import { assumedFold, cautionsFold, engineersFold, lazyFold, readFold, waysFold } from "./plan-folds.js";
import { planFront } from "./plan-front.js";

const SAID = {
  title: "Plan",
  working: "Working it out",
  needed: "Needed for a plan",
  none: "No plan yet",
  measure: "Measure",
  log: "Log",
  again: "Try again",
  start: "Start",
  startHeard: (/** @type {number} */ number) => `Start teardown ${number}`,
  goOn: "Go on",
  goOnWith: (/** @type {number} */ number) => `with teardown ${number}`,
  readFirst: "Read first",
  readGain: (/** @type {number} */ odds) => `→ ${inHundred(odds)}`,
  lower: "Lower the target",
  raise: "Raise the target",
  by: (/** @type {number} */ mm) => `by ${length(Math.abs(mm))}`,
  target: "Change the target",
  bars: "Other bars",
  handOver: "Hand over",
  check: "Check the heights",
  after: (/** @type {number} */ number) => `after teardown ${number}`,
  best: "Best plan",
  tryHeight: "Try another height",
  aim: "Target",
  move: "Enter teeth already turned",
  otherBars: "Try other bars or loads",
  range: "In 90 of 100 cases the true value is within ±.",
  trial: "Worked out on this phone, for the height that is tried.",
  doubt: "A reading does not fit",
  saved: "the target",
};
const SOURCE = { ...WHERE, trial: SAID.trial };

/** @typedef {import("../work/plan-deck.js").Stand} Stand */
/** @typedef {import("../parts/deck.js").KeySpec} KeySpec */

/** Keep what an option promises, then go on. Whoever starts by a height that was only tried, wants it.
 * @param {any} ctx @param {any} answer @param {any} option @param {any} target */
function starting(ctx, answer, option, target) {
  const teardown = ctx.sheet.teardowns + 1;
  return async (/** @type {any} */ to) => {
    const body = promised({ option, answer, target, teardown });
    const kept = ctx.sheet.target;
    const wanted =
      formOf(target) !== "heights" || (target.left_mm === kept.left_mm && target.right_mm === kept.right_mm);
    const items = [
      ...(wanted ? [] : [["target", heightsAs(kept, target)]]),
      ...(alreadyPromised(planFor(ctx.sheet, teardown), body) ? [] : [["plan", body]]),
    ];
    if (items.length && !(await ctx.save(items))) return;
    ctx.go(to);
  };
}

/** A key that keeps the plan before it leads on. @param {any} ctx @param {(to: any) => void} keep @param {any} route */
const keeping = (ctx, keep, route) => ({
  href: ctx.href(route),
  ontap: (/** @type {Event} */ event) => {
    event.preventDefault();
    keep(route);
  },
});

/** The keys of a plan that a limit forbids: what lifts it. @param {any} ctx @param {Stand} stand @param {() => void} redo */
function liftingKeys(ctx, { obstacle, lower }, redo) {
  const bars = { words: SAID.bars, href: ctx.href({ words: ["whatif"] }) };
  const target = { words: SAID.target, href: ctx.href({ words: ["target"] }) };
  const body = lower ? lowered(ctx.sheet.target, lower) : null;
  if (body) {
    const ontap = async () => (await ctx.save([["target", body]], { said: SAID.saved })) && redo();
    return { main: { words: lower > 0 ? SAID.lower : SAID.raise, small: SAID.by(lower), ontap }, quiet: bars };
  }
  return obstacle?.what === "stress" ? { main: bars, quiet: target } : { main: target, quiet: bars };
}

/** What the deck offers, by how the plan stands.
 * @param {any} ctx @param {Stand} stand @param {(to: any) => void} keep @param {() => void} redo
 * @returns {{main: KeySpec | null, quiet: KeySpec | null}} */
function keysOf(ctx, stand, keep, redo) {
  const { kind, number, reading, next } = stand;
  const href = next ? ctx.href(next) : "";
  const target = { words: SAID.target, href: ctx.href({ words: ["target"] }) };
  if (kind === "under-way") {
    const to = ctx.href({ words: ["propped", String(number)] });
    return { main: { words: SAID.goOn, small: SAID.goOnWith(number), href: to }, quiet: null };
  }
  if (kind === "unread") return { main: { words: SAID.check, small: SAID.after(number), href }, quiet: null };
  if (kind === "forbidden") return liftingKeys(ctx, stand, redo);
  if (kind === "stay") {
    const over = { words: SAID.handOver, href: ctx.href({ words: ["close"] }) };
    return stand.hand ? { main: over, quiet: target } : { main: target, quiet: over };
  }
  const route = { words: ["propped", String(number)] };
  const start = { words: SAID.start, heard: SAID.startHeard(number), ...keeping(ctx, keep, route) };
  if (!reading) return { main: start, quiet: null };
  const to = ctx.href(readingRoute(reading, ctx.sheet));
  if (kind === "read") {
    const words = TESTS[reading.what]?.first ?? SAID.readFirst;
    return { main: { words, small: gainWords(stand.from, reading.odds_after), href: to }, quiet: start };
  }
  return { main: start, quiet: { words: SAID.readFirst, small: SAID.readGain(reading.odds_after), href: to } };
}

/** Assumed limits that the option passes, each a key to what measures it. @param {any} ctx @param {any} answer @param {any} option */
function limitLines(ctx, answer, option) {
  const measured = passedOnce(answer, option).map((row) =>
    assumedLine({
      text: assumedWords(row),
      words: SAID.measure,
      href: ctx.href(startOf({ what: row.measure, side: null }, ctx.sheet)),
    }),
  );
  const others = otherLimits(option).map(({ text, field }) =>
    assumedLine({
      text: `${lengthsIn(text)}.`,
      words: SAID.measure,
      href: ctx.href({ words: ["ask", field], query: { from: "plan" } }),
    }),
  );
  return [...measured, ...others];
}

/** The target in words, and the way to change it. @param {any} ctx @param {any} target */
const targetLine = (ctx, target) =>
  h(
    "div",
    { class: "target-line" },
    h("p", { text: `${SAID.aim}: ${aimWords({ ...target, ...ctx.sheet.target })}, ${withinWords(ctx.sheet.target)}.` }),
    h("a", { class: "key", href: ctx.href({ words: ["target"] }) }, SAID.target),
  );

/** An answer in a line, beside the slider. @param {any} answer */
function lineOf({ options: [option] }) {
  const heights = ["left", "right"].map((side) => option[side].body_height_mm ?? option[side].hub_to_body_mm);
  const reached = heights.every(Boolean)
    ? `${heights.map(({ value }) => figureOf(value)).join(" / ")} ${lengthUnit()}. `
    : "";
  const chance = option.stopped_by.length ? `${lengthsIn(option.stopped_by[0])}.` : `${inHundred(option.odds)}.`;
  return `${chance} ${reached}Left ${turns(option.left)}. Right ${turns(option.right)}.`;
}

/** The plan's screen, empty until `fill`.
 * @param {any} ctx @param {string[]} ids @param {any} request @param {() => void} redo */
function shown(ctx, ids, request, redo) {
  const front = planFront({ bar: ctx.sheet.car.bar ?? {} });
  const place = (/** @type {string} */ name) => h("div", { class: `plan-part ${name}` });
  const [doubts, lines, more] = ["doubts-part", "limit-lines", "more-part"].map(place);
  const names = ["other-doubts", "read", "ways", "assumed", "height", "engineers", "cautions"];
  const folds = Object.fromEntries(names.map((name) => [name, lazyFold(name)]));
  const source = h("p", { class: "source" });
  const trouble = h("p", { class: "trouble", role: "status" });
  const page = shell({
    title: SAID.title,
    verdict: front.head,
    lead: front.lead,
    picture: front.picture,
    body: [doubts, front.corners, lines, front.cars, ...names.map((name) => folds[name].node), trouble, more, source],
    quiet: null,
    main: null,
  });
  const picture = /** @type {HTMLElement} */ (front.picture.parentElement);
  const shape = (/** @type {any} */ answer, /** @type {number} */ at) => {
    const option = answer.options[at];
    const { sheet, stages } = ctx;
    const stand = standOf({ answer, option, sheet, stages, working: underWay(sheet) });
    return { answer, option, best: at === 0, stand, read: readNow(stages, sheet.teardowns), first: !sheet.teardowns };
  };

  /** Everything of one option. */
  function choose(/** @type {any} */ answer, /** @type {number} */ at, /** @type {any} */ target) {
    const all = shape(answer, at);
    const { option, stand } = all;
    const withheld = stand.kind === "doubt";
    const told = doubtsOf(ctx, answer.doubts, ids);
    const keep = starting(ctx, answer, option, target);
    front.show(all);
    picture.hidden = withheld;
    folds.height.node.classList.toggle("away", withheld);
    doubts.replaceChildren(...(withheld ? [doubtList(ctx, told, redo, true)] : []));
    lines.replaceChildren(...(withheld || stand.kind === "forbidden" ? [] : limitLines(ctx, answer, option)));
    const keys = withheld && told.length ? doubtKeys(ctx, told[0], redo) : keysOf(ctx, stand, keep, redo);
    page.deck.show(keys);
    const others = withheld ? [] : told;
    folds["other-doubts"].show(
      others.length
        ? { title: SAID.doubt, more: String(others.length), make: () => [doubtList(ctx, others, redo, false)] }
        : null,
    );
    folds.read.show(["start", "read"].includes(stand.kind) ? readFold(ctx, answer) : null);
    folds.ways.show(withheld ? null : waysFold(answer, at, (i) => another(answer, i, target)));
    folds.assumed.show(withheld ? null : assumedFold(ctx, answer, option));
    folds.engineers.show(withheld ? null : engineersFold(answer, option));
    folds.cautions.show(cautionsFold(answer, option));
    more.replaceChildren(keyRows(waysOn(option, stand, keep)));
  }
  /** The way to the bench, and to the teeth that were turned already. */
  function waysOn(/** @type {any} */ option, /** @type {Stand} */ stand, /** @type {(to: any) => void} */ keep) {
    const bench = { words: SAID.otherBars, href: ctx.href({ words: ["whatif"] }) };
    if (!["start", "read"].includes(stand.kind) || inDegrees(option)) return [bench];
    const { left, right } = option;
    const query = { li: left.inner, lo: left.outer, ri: right.inner, ro: right.outer };
    const { href, ontap } = keeping(ctx, keep, { words: ["move"], query });
    return [{ words: SAID.move, href, ontap: /** @type {any} */ (ontap) }, bench];
  }
  /** Another way, looked at from its beginning. */
  function another(/** @type {any} */ answer, /** @type {number} */ at, /** @type {any} */ target) {
    choose(answer, at, target);
    page.stage.scrollTo(0, 0);
    for (const part of page.stage.children) part.scrollTo(0, 0);
    /** @type {HTMLElement | null} */ (page.node.querySelector("h1"))?.focus();
    const option = answer.options[at];
    say(`${option.label}: ${option.stopped_by.length ? "not possible" : inHundred(option.odds)}`);
  }
  /** The whole answer anew. */
  function fill(/** @type {any} */ { answer, where }, /** @type {any} */ target) {
    choose(answer, 0, target);
    source.dataset.where = where;
    source.textContent = `${SOURCE[/** @type {keyof SOURCE} */ (where)]} ${SAID.range}`;
    say(`${lengthsIn(answer.headline.words)} ${SOURCE[/** @type {keyof SOURCE} */ (where)]}`);
  }
  /** Only what follows the finger; the rest is stale until it rests. */
  let turn = 0;
  async function live(/** @type {any} */ answer) {
    const mine = (turn += 1);
    front.cars.classList.add("stale");
    const all = shape(answer, 0);
    for (const write of front.quick) {
      // A part to a picture, so that none is late on a slow phone.
      await new Promise(requestAnimationFrame);
      if (mine !== turn) return;
      write(all);
    }
  }
  /** The slider, fetched when its fold is opened first. */
  function heightFold(/** @type {any} */ answer) {
    const inHeights = formOf(request.target) === "heights";
    /** @type {Node | null} */
    let slider = null;
    const box = h("div", { class: "try-height" });
    const fetched = async () => {
      const { planSlider } = await import("./plan-slider.js");
      slider ??= planSlider(ctx, {
        request,
        tell: lineOf,
        onstart: () => page.node.classList.add("sliding"),
        onlive: live,
        onrest: (/** @type {any} */ found, /** @type {any} */ target) => {
          turn += 1;
          page.node.classList.remove("sliding");
          fill({ answer: found, where: "trial" }, target);
        },
        onend: () => page.node.classList.remove("sliding"),
        onkeep: async (/** @type {any} */ target) =>
          (await ctx.save([["target", heightsAs(ctx.sheet.target, target)]])) && redo(),
        ontrouble: (/** @type {any} */ problem) => {
          page.node.classList.remove("sliding");
          trouble.textContent = problem.detail ?? String(problem.message);
        },
      }).node;
      if (slider) box.replaceChildren(slider);
    };
    folds.height.show({
      title: inHeights ? SAID.tryHeight : SAID.aim,
      make: () => {
        if (inHeights) fetched().catch(() => {});
        return [targetLine(ctx, answer.target), box];
      },
    });
  }
  return {
    node: page.node,
    begin(/** @type {any} */ found) {
      fill(found, request.target);
      heightFold(found.answer);
    },
  };
}

/** The screen of a plan that cannot be made yet: what it needs, each a key. @param {any} ctx */
function lacking(ctx) {
  const list = missing(ctx.sheet).filter((step) =>
    needs(ctx.sheet).some((each) => each.words.join() === step.words.join()),
  );
  const all = list.length ? list : needs(ctx.sheet);
  const name = (/** @type {any} */ step) => (step.step ? nameOf(step.step) : questionOf(step.words[1]).title);
  const rows = all.map((step) => ({ words: name(step), href: ctx.href(step) }));
  return shell({
    title: SAID.needed,
    body: [keyRows(rows)],
    main: { words: rows[0].words, href: rows[0].href },
    quiet: { words: SAID.log, href: ctx.href({ words: ["list"] }) },
  }).node;
}

/** The screen of a plan that was refused. @param {any} ctx @param {any} problem @param {() => void} again */
const refused = (ctx, problem, again) =>
  shell({
    title: SAID.none,
    body: [h("p", { class: "refused", role: "alert", text: problem.detail ?? String(problem.message) })],
    quiet: { words: SAID.log, href: ctx.href({ words: ["list"] }) },
    main: { words: SAID.again, ontap: again },
  }).node;

/**
 * The screen.
 * @param {any} ctx
 */
export function plan(ctx) {
  const root = h("div", { class: "plan" });
  const title = SAID.title;
  const put = (/** @type {Node} */ node) => root.replaceChildren(node);
  const log = { words: SAID.log, href: ctx.href({ words: ["list"] }) };
  const stop = stopped(ctx);
  if (stop) {
    put(shell({ title: SAID.none, body: [stop], main: log }).node);
    return { title, node: root };
  }
  if (needs(ctx.sheet).length) {
    put(lacking(ctx));
    return { title, node: root };
  }
  const { request, ids } = ctx.request;
  const show = (/** @type {any} */ found) => {
    const focused = root.contains(document.activeElement);
    const page = shown(ctx, ids, request, () => ctx.go({ words: ["plan"] }, { replace: true }));
    page.begin(found);
    put(page.node);
    if (focused) /** @type {HTMLElement | null} */ (root.querySelector("h1"))?.focus({ preventScroll: true });
  };
  const failed = (/** @type {any} */ problem) => {
    const field = placeOf(problem.path ?? "$", ids, ctx.sheet);
    if (!field) return put(refused(ctx, problem, work));
    const { code, detail, path } = problem;
    return ctx.refuse({ code, detail, path, key: field.key }, field.route);
  };
  async function work() {
    put(shell({ title, body: [h("p", { class: "working", role: "status", text: SAID.working })], quiet: log }).node);
    try {
      const found = await ctx.model.askForPlan(request);
      if (root.isConnected) show(found);
    } catch (problem) {
      if (root.isConnected) failed(problem);
    }
  }
  const here = ctx.model.planAtHand(request);
  if (here) show(here);
  else work();
  return { title, node: root };
}
