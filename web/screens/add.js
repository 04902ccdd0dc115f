/* What else can be read: every kind of reading and every test, each a row that leads to it. */

import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { startOf } from "../work/guide.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Advice } from "../types/wire.d.ts" */

const TITLE = "What will you read?";
/**
 * Words, small words, the test as advice names it.
 * @type {[words: string, small: string, test: Pick<Advice, "what" | "side">][]}
 */
const TESTS = [
  ["Ride heights", "4 minutes, tape", { what: "body-height", side: "both" }],
  ["Riding angles", "4 minutes, gauge", { what: "riding-angle", side: "both" }],
  ["Hanging angles", "while the arms are free", { what: "hanging-angle", side: "both" }],
  [
    "Board test, left tyre",
    "5 minutes, no spanner; measures this car’s roll stiffness",
    { what: "board-test", side: "left" },
  ],
  ["Board test, right tyre", "5 minutes, no spanner", { what: "board-test", side: "right" }],
  ["Board test, one tyre after the other", "10 minutes", { what: "board-test", side: "both" }],
  ["Wheel loads", "scales under both rear tyres", { what: "scales", side: "both" }],
  [
    "Weight over the axle",
    "a known weight; measures stiffness and lever together",
    { what: "ballast-test", side: "both" },
  ],
  [
    "Droop test: hub to body",
    "on axle stands, wheels hanging, then on the wheels; measures the lever",
    { what: "hang-test", side: "both" },
  ],
];

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function add(ctx) {
  const rows = TESTS.map(([words, small, test]) => ({ words, small, href: ctx.href(startOf(test, ctx.sheet)) }));
  const turned = { words: "Teeth were turned", small: "log teeth already turned", href: ctx.href({ words: ["move"] }) };
  const page = shell({
    title: TITLE,
    body: [keyRows([...rows, turned])],
    quiet: { words: "Log", href: ctx.href({ words: ["list"] }) },
    main: { words: "Plan", href: ctx.href({ words: ["plan"] }) },
  });
  return { title: "Add a reading", node: page.node };
}
