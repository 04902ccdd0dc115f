/* Whether extra tests help: first teardowns with and without each test as a forest plot; tests that were planned too
   seldom to tell are folded. */

import { h } from "../../parts/dom.js";
import { fold } from "../../parts/plate.js";
import { forest } from "../../parts/shop/forest.js";
import { comparedTests, hundredths, ofMany } from "../../work/pc/reliability.js";

/** @import { Calibration } from "../../types/wire.d.ts" */
/** @import { Compared, Line } from "../../work/pc/reliability.js" */

const SAID = {
  title: "Do extra tests help?",
  says:
    "First teardowns done as planned, with and without a test in the plan: how many in 100 were on target, with the " +
    "95 % interval. A comparison, not a proof: tested cars may differ in other ways.",
  caption: "First teardowns with and without a test",
  head: /** @type {[string, string, string]} */ (["Planned with", "On target, in 100", "Result"]),
  figures: (/** @type {string} */ share, /** @type {string} */ range, /** @type {string} */ of) =>
    `${share} (${range}), ${of}`,
  range: (/** @type {string} */ low, /** @type {string} */ high) => `${low} to ${high}`,
  few: "Too few to tell",
  fewOf: (/** @type {string} */ name, /** @type {string} */ one, /** @type {string} */ other) =>
    `${name}: ${one} with it, ${other} without`,
  none: "No test has been planned with and without often enough to tell.",
};

/** @param {Line} line */
const lineOf = (line) => ({
  name: line.name,
  ...line.actual,
  figures: SAID.figures(
    hundredths(line.actual.share),
    SAID.range(hundredths(line.actual.low), hundredths(line.actual.high)),
    ofMany(line),
  ),
});

/** @param {Compared[]} few */
const fewFold = (few) =>
  fold(
    { title: SAID.few, more: String(few.length) },
    h(
      "ul",
      { class: "few" },
      few.map(({ name, lines: [one, other] }) =>
        h("li", { text: SAID.fewOf(name, String(one.count), String(other.count)) }),
      ),
    ),
  );

/** @param {Pick<Calibration, "helped">} found @returns {HTMLElement} */
export function helped({ helped: list }) {
  const { told, few } = comparedTests(list);
  const pairs = told.map(({ name, result, lines }) => ({ name, result, lines: lines.map(lineOf) }));
  return h(
    "section",
    { class: "helped" },
    h("h2", { text: SAID.title }),
    h("p", { class: "where", text: SAID.says }),
    pairs.length
      ? forest({ caption: SAID.caption, head: SAID.head, pairs })
      : h("p", { class: "where", text: SAID.none }),
    few.length ? fewFold(few) : null,
  );
}
