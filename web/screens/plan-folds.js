/* What stands folded below a plan, in the order in which it is wanted: what to read first, other ways, what is assumed,
   the figures for engineers, the cautions in full. What is in a fold is made when it is opened. */

import { h } from "../parts/dom.js";
import { assumedList, keyCard } from "../parts/plate.js";
import { rack } from "../parts/rack.js";
import { warning } from "../parts/warning.js";
import { assumedOf } from "../work/assumed.js";
import { liftWords } from "../work/lift.js";
import { adjusterOf, adjusts, adjustsAlone, sideWords } from "../work/adjuster.js";
import { angle, inHundred, plain } from "../work/numbers.js";
import { bestReading, readingRoute } from "../work/plan-deck.js";
import { about, fineLengths, within } from "../work/plan-figures.js";
import { gainWords, testsOf, waysOf } from "../work/plan-ways.js";
import { STANDING } from "../work/safety.js";
import { titled, wayName } from "../work/sentence.js";
import { length, masses, moments, stiffnesses, stresses } from "../work/units.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Option, SolveAnswer } from "../types/wire.d.ts" */

/** @typedef {import("../parts/plate.js").Part} Part */

const SAID = {
  read: "Read first",
  ways: "Simpler ways",
  otherWays: "Other ways",
  assumed: "What is assumed",
  engineers: "Figures for engineers",
  cautions: "Cautions in full",
  minutes: (/** @type {number} */ count) => `${count} min`,
  notPossible: "not possible",
  show: (/** @type {number} */ count) => `Show ${count} that are far worse or not possible`,
  showOne: "Show one that is far worse or not possible",
  choose: "Look at it",
  reclock: "Moving teeth changes no stiffness: it brings the adjuster back into its range.",
  all: "All of it, with what measures it",
  unmeasured: "not known: the bar was not measured",
  relaxed: "none: the arm hangs at or above its stop",
  range: "± holds 90 in 100.",
};

/**
 * A fold whose inside is made when it is opened, and anew when what it shows has changed.
 * @param {string} id
 * @returns {{node: HTMLDetailsElement,
 *   show: (what: {title: string, more?: string, make: () => Part[]} | null) => void}}
 */
export function lazyFold(id) {
  const title = h("span");
  const more = h("b", { class: "more" });
  const inside = h("div", { class: "folded" });
  const node = /** @type {HTMLDetailsElement} */ (
    h("details", { class: "fold", "data-fold": id, hidden: true }, h("summary", null, title, more), inside)
  );
  /** @type {(() => Part[]) | null} */
  let make = null;
  const build = () => {
    if (!node.open || !make) return;
    inside.replaceChildren(.../** @type {Node[]} */ (make().filter(Boolean)));
    make = null;
  };
  node.addEventListener("toggle", build);
  return {
    node,
    show(what) {
      node.hidden = !what;
      title.textContent = what?.title ?? "";
      more.textContent = what?.more ?? "";
      make = what?.make ?? null;
      build();
    },
  };
}

/** Tests by their worth. @param {JobContext} ctx @param {SolveAnswer} answer */
export function readFold(ctx, answer) {
  const tests = testsOf(answer);
  if (!tests.length) return null;
  const best = bestReading(answer);
  const make = () => [
    h(
      "ul",
      { class: "key-rows" },
      tests.map(({ name, key, how, minutes, from, to, test }) =>
        keyCard({
          name,
          lines: [
            h("p", { class: "gain", text: gainWords(from, to) }),
            rack({ chance: from, with: to, heard: false }).node,
            h("p", { class: "how", text: how }),
          ],
          key: { words: key, small: SAID.minutes(minutes), href: ctx.href(readingRoute(test, ctx.sheet)) },
        }),
      ),
    ),
  ];
  return { title: SAID.read, more: best ? gainWords(answer.options[0].odds, best.odds_after) : "", make };
}

/** The card of another way. @param {Option} option @param {any} car @param {() => void} onchoose */
function wayCard(option, car, onchoose) {
  const how = { kind: adjusterOf(car)?.kind, alone: adjustsAlone(option) };
  const stopped = option.stopped_by.length > 0;
  return h(
    "li",
    { class: `card with-key ${stopped ? "dashed" : ""}`.trim() },
    h(
      "div",
      { class: "lines" },
      h("strong", { text: wayName(option.label) }),
      h("p", { class: "gain", text: stopped ? SAID.notPossible : inHundred(option.odds) }),
      stopped ? null : rack({ chance: option.odds, heard: false }).node,
      option.ends_disturbed || adjusts(option)
        ? [
            h("p", { text: `Left ${sideWords(option.left, how)}.` }),
            h("p", { text: `Right ${sideWords(option.right, how)}.` }),
          ]
        : null,
      adjusterOf(car) && option.ends_disturbed ? h("p", { class: "how", text: SAID.reclock }) : null,
    ),
    h("button", { type: "button", class: "key", onclick: onchoose }, SAID.choose),
  );
}

/** Other ways than the one shown.
 * @param {SolveAnswer} answer @param {number} at @param {(at: number) => void} onchoose @param {any} car */
export function waysFold(answer, at, onchoose, car) {
  const { near, far } = waysOf(answer, at);
  if (!near.length && !far.length) return null;
  const cards = (/** @type {number[]} */ places) =>
    places.map((i) => wayCard(answer.options[i], car, () => onchoose(i)));
  const make = () => {
    const list = h("ul", { class: "key-rows" }, cards(near));
    const more = h("button", { type: "button", class: "key" }, far.length === 1 ? SAID.showOne : SAID.show(far.length));
    more.addEventListener("click", () => {
      list.append(...cards(far));
      more.remove();
      /** @type {HTMLElement | null} */ (list.children[near.length]?.querySelector("button"))?.focus();
    });
    return [list, far.length ? more : null];
  };
  return { title: at === 0 ? SAID.ways : SAID.otherWays, more: String(near.length + far.length), make };
}

/** What is assumed, in short. @param {JobContext} ctx @param {SolveAnswer} answer @param {Option} option */
export function assumedFold(ctx, answer, option) {
  const { passed, worth, rest } = assumedOf(answer, option, ctx.sheet.car);
  const rows = [...passed, ...worth, ...rest];
  if (!rows.length) return null;
  const make = () => [assumedList(rows), h("a", { class: "key", href: ctx.href({ words: ["assumed"] }) }, SAID.all)];
  return { title: SAID.assumed, more: String(rows.length), make };
}

/** A line of figures. @param {string} name @param {string} value */
const row = (name, value) => h("div", { class: "row" }, h("dt", { text: name }), h("dd", { text: value }));

/** What this car has shown. @param {SolveAnswer} answer */
function learned({ learned: l, now }) {
  const { figure, unit, places } = fineLengths();
  const perDegree = { ...moments(), unit: `${moments().unit} per degree` };
  const stiffness = stiffnesses();
  return [
    row("Bar", within(l.bar_nm_per_deg, perDegree, 1)),
    row("Arm", within(l.arm_mm, { figure, unit }, places)),
    row("Height per degree of hanging angle", within(l.mm_per_deg, { figure, unit }, places)),
    row("Roll stiffness, rest of car", within(l.roll_support_n_per_mm, stiffness, 1)),
    l.tyre_n_per_mm ? row("Tyre", within(l.tyre_n_per_mm, stiffness)) : null,
    now.left.load_kg ? row("Load carried, left", within(now.left.load_kg, masses())) : null,
    now.right.load_kg ? row("Load carried, right", within(now.right.load_kg, masses())) : null,
  ];
}

/** What one side comes to. @param {SolveAnswer} answer @param {Option} option @param {"left" | "right"} side */
function sideFigures({ now }, option, side) {
  const then = option[side];
  const was = now[side];
  const lift = liftWords(then.lift);
  const { figure, unit } = stresses();
  const stress = then.stress_at_bump_mpa;
  const height = then.body_height_mm ?? then.hub_to_body_mm;
  return [
    h("h2", { text: `${titled(side)} side` }),
    h(
      "dl",
      { class: "facts" },
      row("Height expected", height ? about(height) : "not read"),
      row("Change", about(then.rise_mm)),
      row("Hanging angle, arm to body", `${angle(then.hanging_deg)} (now ${angle(was.hanging_deg.value)})`),
      row("Riding angle", `${angle(then.riding_deg)} (now ${angle(was.riding_deg.value)})`),
      row("Force to lift the arm", lift ? `${lift.force} ${lift.more}` : SAID.relaxed),
      row("Travel remaining", `${length(then.bump_left_mm)} up, ${length(then.droop_left_mm)} down`),
      row("Bar at full bump", stress === null ? SAID.unmeasured : `${plain(figure(stress), 0)} ${unit}`),
      Math.abs(then.camber_change_deg) > 0.05 ? row("Camber changes by", `${plain(then.camber_change_deg, 1)}°`) : null,
    ),
  ];
}

/** The figures for engineers. @param {SolveAnswer} answer @param {Option} option */
export function engineersFold(answer, option) {
  const lean = option.left.body_height_mm && option.right.body_height_mm ? "Lean, left less right" : "Lean changes by";
  const crossed = masses().figure(option.cross_weight_kg);
  const way = crossed < 0 ? "lower" : "higher";
  const make = () => [
    h(
      "dl",
      { class: "facts" },
      row("Ride frequency", `${plain(option.ride_hz, 1)} Hz`),
      row("Cross-weight (RF + LR)", `${plain(Math.abs(crossed), 0)} ${masses().unit} ${way}`),
      row(lean, about(option.lean_mm)),
      row("Ends turned", String(option.ends_disturbed)),
    ),
    ...sideFigures(answer, option, "left"),
    ...sideFigures(answer, option, "right"),
    h("h2", { text: "Learned about this car" }),
    h("dl", { class: "facts" }, learned(answer)),
    h("p", { class: "foot-note", text: SAID.range }),
  ];
  return { title: SAID.engineers, make };
}

/** A caution that the model says of every job has its signal word before it. */
const STANDS = new RegExp(`^(?:${[...new Set(STANDING.map(({ word }) => word))].join("|")})\\. `);

/** All cautions, whole. @param {SolveAnswer} answer @param {Option} option */
export function cautionsFold(answer, option) {
  const { both } = answer;
  const there = both && answer.options[0] === option ? both.options[0].cautions : [];
  const named = there.map((/** @type {string} */ text) => `${titled(both?.axle ?? "")} axle: ${text}`);
  const own = [...option.cautions, ...named, ...answer.cautions].filter((text) => !STANDS.test(text));
  const make = () => [
    own.length
      ? h(
          "ul",
          { class: "own-cautions" },
          own.map((text) => h("li", { text: /[.?]$/.test(text) ? text : `${text}.` })),
        )
      : null,
    ...STANDING.map(({ word, text }) => warning({ signal: word, text, level: "h2" })),
  ];
  return { title: SAID.cautions, more: String(own.length + STANDING.length), make };
}
