/* What else can be read: every kind of reading and every test, each a key. */

import { h } from "../parts/dom.js";
import { startOf } from "../work/guide.js";

const TESTS = [
  ["Body heights again", "4 minutes, tape", { what: "body-height", side: "both" }],
  ["Riding angles again", "4 minutes, gauge", { what: "riding-angle", side: "both" }],
  ["Hanging angles again", "while the arms are free", { what: "hanging-angle", side: "both" }],
  [
    "Board test, left tyre",
    "5 minutes, no spanner; shows the roll support of this very car",
    { what: "board-test", side: "left" },
  ],
  ["Board test, right tyre", "5 minutes, no spanner", { what: "board-test", side: "right" }],
  ["Board test, one tyre after the other", "10 minutes", { what: "board-test", side: "both" }],
  ["Wheel loads", "scales under both rear tyres", { what: "scales", side: "both" }],
  [
    "Weight over the axle",
    "a known weight; shows stiffness and lever together",
    { what: "ballast-test", side: "both" },
  ],
  [
    "Hang test: hub to body",
    "body lifted till the wheels hang, then on the wheels again; shows the true lever",
    { what: "hang-test", side: "both" },
  ],
];

/** The screen. */
export function add(ctx) {
  return {
    title: "Read something else",
    node: h(
      "div",
      { class: "menu" },
      h("h1", { text: "What will you read?" }),
      h(
        "ul",
        null,
        TESTS.map(([name, text, test]) =>
          h(
            "li",
            null,
            h(
              "a",
              { class: "key wide entry", href: ctx.href(startOf(test)) },
              h("strong", { text: name }),
              h("span", { text }),
            ),
          ),
        ),
      ),
      h(
        "p",
        null,
        h("a", { class: "key wide", href: ctx.href({ words: ["move"] }) }, "Teeth were turned: enter a teardown"),
      ),
    ),
  };
}
