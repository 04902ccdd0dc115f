/* What else can be read: every kind of reading and every test, each a row that leads to it. */

import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { adjusterOf, armsAcross, sprungOf } from "../work/adjuster.js";
import { startOf } from "../work/guide.js";
import { ofBoth, otherAxle } from "../work/weighing.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Advice } from "../types/wire.d.ts" */

const TITLE = "What will you read?";
/** What is read: words, small words, the test as advice names it; `of` the cars where it makes sense.
 * @typedef {[words: string, small: string, test: { what: string, side: Advice["side"] }, of?: (car: any) => boolean]}
 *   Test */

/** @param {any} car */
const notPlain = (car) => sprungOf(car) === "front" || adjusterOf(car) !== null;
/** @param {any} car */
const screwed = (car) => adjusterOf(car)?.kind === "screw";

/** @type {Test[]} */
const TESTS = [
  ["Ride heights", "4 minutes, tape", { what: "body-height", side: "both" }],
  ["Riding angles", "4 minutes, gauge", { what: "riding-angle", side: "both" }],
  ["Arm difference", "4 minutes, tape; free of floor and tyre", { what: "arm-difference", side: "both" }, armsAcross],
  ["Adjusting bolt length", "4 minutes, caliper; shows the turns", { what: "bolt-length", side: "both" }, screwed],
  ["Gap at the bump rubber", "4 minutes, gauge or drill shank", { what: "rubber-gap", side: "both" }, notPlain],
  ["Damper length", "4 minutes, tape; or a dummy in its place", { what: "damper-length", side: "both" }, notPlain],
  ["Hanging angles", "while the arms are free", { what: "hanging-angle", side: "both" }],
  [
    "Board test, left tyre",
    "5 minutes, no spanner; measures this car’s roll stiffness",
    { what: "board-test", side: "left" },
  ],
  ["Board test, right tyre", "5 minutes, no spanner", { what: "board-test", side: "right" }],
  ["Board test, one tyre after the other", "10 minutes", { what: "board-test", side: "both" }],
  [
    "Centre-jack test",
    "10 minutes; the other axle on one block: whose the lean is",
    { what: "centre-jack", side: "both" },
  ],
  [
    "All four wheel loads",
    "four scales, or one pair at a time; cross-weight",
    { what: "corner-weights", side: "both" },
  ],
  ["Wheel loads", "scales under both tyres of this axle", { what: "scales", side: "both" }],
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

const AXLE = {
  too: (/** @type {string} */ axle) => ({ words: `The ${axle} too`, small: "torsion bars there as well: set both" }),
  of: (/** @type {string} */ axle) => ({ words: `The ${axle} axle`, small: "its heights, target and facts" }),
};
const TURNED = {
  teeth: { words: "Teeth were turned", small: "log teeth already turned" },
  adjuster: { words: "It was turned already", small: "log turns and teeth already turned" },
};

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function add(ctx) {
  const { car } = ctx.sheet;
  const fits = TESTS.filter(([, , , of]) => !of || of(car));
  const rows = fits.map(([words, small, test]) => ({ words, small, href: ctx.href(startOf(test, ctx.sheet)) }));
  const already = adjusterOf(car) ? TURNED.adjuster : TURNED.teeth;
  const turned = { ...already, href: ctx.href({ words: ["move"] }) };
  const other = otherAxle(car);
  const axle = { ...(ofBoth(ctx.sheet) ? AXLE.of(other) : AXLE.too(other)), href: ctx.href({ words: ["axle"] }) };
  const page = shell({
    title: TITLE,
    body: [keyRows([...rows, axle, turned])],
    quiet: { words: "Log", href: ctx.href({ words: ["list"] }) },
    main: { words: "Plan", href: ctx.href({ words: ["plan"] }) },
  });
  return { title: "Add a reading", node: page.node };
}
