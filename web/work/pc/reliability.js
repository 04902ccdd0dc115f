/* Whether the shop's predictions can be relied on, from GET /api/history/calibration: the verdict, predicted against
   actual in groups large enough to tell, and what extra tests brought. Words and figures; draws nothing. */

import { inHundred, plain } from "../numbers.js";
import { counted } from "../plural.js";

/** @import { Bin, Calibration, Helped, Landed } from "../../types/wire.d.ts" */

/** Fewer than this on either side is said to tell nothing yet. */
export const FEW = 5;
/** Teardowns that a group of the plot wants: below, its interval spans half of the scale. */
export const GROUP = 10;
/** Two tests look at the predictions, of their count and of single chances: each may err this often, both together 5
 * times in 100. */
const DOUBT = 0.025;
/** 97.5 % point of the normal distribution. */
const Z = 1.959963984540054;

/** @typedef {{ share: number, low: number, high: number }} Interval a share with its 95 % interval, 0 to 1 */
/** @typedef {{ low: number, high: number, promised: number, count: number, landed: number, actual: Interval }} Group
 *   `low` to `high` the chances that were predicted, `promised` their mean */
/** @typedef {{ title: string, text: string, good: boolean | null }} Verdict */
/** @typedef {{ name: string, count: number, landed: number, promised: number | null, actual: Interval }} Line */
/** @typedef {{ name: string, result: string, lines: [Line, Line] }} Compared with the test, and without */

const SAID = {
  few: (/** @type {number} */ n) => counted(n, "Too few to tell: {n} teardown", "Too few to tell: {n} teardowns"),
  from: `Known from ${FEW} teardowns done as planned and measured.`,
  good: (/** @type {string} */ predicted, /** @type {string} */ actual) =>
    `Predicted ${predicted} in 100, actual ${actual}: no sign of error`,
  bold: (/** @type {string} */ predicted, /** @type {string} */ actual) =>
    `Predicted ${predicted} in 100, actual ${actual}: too optimistic`,
  modest: (/** @type {string} */ predicted, /** @type {string} */ actual) =>
    `Predicted ${predicted} in 100, actual ${actual}: too cautious`,
  single: (/** @type {string} */ predicted, /** @type {string} */ actual) =>
    `Predicted ${predicted} in 100, actual ${actual}: the count fits, single chances do not`,
  rests: (/** @type {string} */ of) => `${of} teardowns done as planned were on target.`,
  count: (/** @type {string} */ often) =>
    `Were every prediction right, ${often} such shops would be as far off or further.`,
  singly: (/** @type {string} */ often) =>
    `Were every prediction right, in ${often} such shops outcomes would be as far from their chances.`,
  blind: (/** @type {string} */ share) => `So few would not show an error of less than ${share} in 100.`,
  with: "with it",
  without: "without",
  more: "more often on target with it; the intervals do not overlap",
  less: "less often on target with it; the intervals do not overlap",
  same: "no difference that chance would not explain",
};

/** @type {Record<Helped["test"], string>} */
export const TESTS = {
  boards: "a board test",
  ballast: "a ballast test",
  "centre-jack": "a centre-jack test",
  hang: "a droop test",
  scales: "wheel loads on scales",
  "heights twice": "both ride heights read twice or more",
  known: "constants from an earlier visit",
};

/** @param {number} share */
export const hundredths = (share) => plain(share * 100, 0);
/** @param {{ landed: number, count: number }} of */
export const ofMany = ({ landed, count: n }) => `${plain(landed, 0)} of ${plain(n, 0)}`;

/**
 * A share with its 95 % interval; (0, 1) where nothing was counted. The shop's own `wilson`, for groups that it did not
 * count.
 *
 * Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209 (from memory).
 * @param {number} landed
 * @param {number} count
 * @returns {Interval}
 */
export function wilson(landed, count) {
  if (!count) return { share: 0, low: 0, high: 1 };
  const share = landed / count;
  const middle = share + (Z * Z) / (2 * count);
  const reach = Z * Math.sqrt((share * (1 - share)) / count + (Z * Z) / (4 * count * count));
  const scale = 1 + (Z * Z) / count;
  return { share, low: Math.max(0, (middle - reach) / scale), high: Math.min(1, (middle + reach) / scale) };
}

/**
 * Whether what came is what was predicted, by how often it would come about were every prediction right; `good` null
 * where too little was done to tell.
 * @param {Pick<Calibration, "all">} found
 * @returns {Verdict}
 */
export function reliability({ all }) {
  const { count, promised, share, by_chance: counted_by, single_by_chance: single, expected_sd: sd } = all;
  if (share === null || promised === null || counted_by === null || count < FEW)
    return { good: null, title: SAID.few(count), text: SAID.from };
  const off = counted_by < DOUBT;
  const scattered = !off && single !== null && single < DOUBT;
  const say = off ? (share < promised ? SAID.bold : SAID.modest) : scattered ? SAID.single : SAID.good;
  return {
    good: !off && !scattered,
    title: say(hundredths(promised), hundredths(share)),
    text: [
      SAID.rests(ofMany(all)),
      scattered ? SAID.singly(inHundred(single)) : SAID.count(inHundred(counted_by)),
      off || scattered || sd === null ? "" : SAID.blind(hundredths(Z * sd)),
    ]
      .filter(Boolean)
      .join(" "),
  };
}

/**
 * Two groups as one.
 * @param {Group} one
 * @param {Group} other
 * @returns {Group}
 */
function together(one, other) {
  const count = one.count + other.count;
  const landed = one.landed + other.landed;
  return {
    low: Math.min(one.low, other.low),
    high: Math.max(one.high, other.high),
    promised: (one.promised * one.count + other.promised * other.count) / count,
    count,
    landed,
    actual: wilson(landed, count),
  };
}

/**
 * Tenths of the chances in groups of at least GROUP teardowns, the highest chances first, as far as there are so many;
 * what is left over joins the group above it.
 * @param {Bin[]} bins
 * @returns {Group[]}
 */
export function groupsOf(bins) {
  /** @type {Group[]} */
  const groups = [];
  /** @type {Group | null} */
  let open = null;
  for (const { low, high, promised, count, landed } of [...bins].reverse()) {
    if (!count || promised === null) continue;
    const one = { low, high, promised, count, landed, actual: wilson(landed, count) };
    open = open ? together(open, one) : one;
    if (open.count < GROUP) continue;
    groups.push(open);
    open = null;
  }
  if (open) groups.push(groups.length ? together(/** @type {Group} */ (groups.pop()), open) : open);
  return groups;
}

/** Whether a group's interval reaches the mean of what was predicted.
 * @param {Group} group */
export const agrees = ({ promised, actual: { low, high } }) => promised >= low && promised <= high;

/** @param {string} name @param {Landed} part @returns {Line} */
const lineOf = (name, { count, landed, promised, share, share_low: low, share_high: high }) => ({
  name,
  count,
  landed,
  promised,
  actual: { share: share ?? 0, low, high },
});

/** What can be said of one test, and no more.
 * @param {Line} one @param {Line} other */
function resultOf({ actual: one }, { actual: other }) {
  if (one.low > other.high) return SAID.more;
  return one.high < other.low ? SAID.less : SAID.same;
}

/**
 * Tests that enough were planned with and without, and those where one side has too few.
 * @param {Helped[]} helped
 * @returns {{ told: Compared[], few: Compared[] }}
 */
export function comparedTests(helped) {
  const all = helped.map(({ test, with_it: one, without: other }) => {
    const lines = /** @type {[Line, Line]} */ ([lineOf(SAID.with, one), lineOf(SAID.without, other)]);
    return { name: TESTS[test] ?? test, result: resultOf(...lines), lines };
  });
  const enough = (/** @type {Compared} */ { lines }) => lines.every(({ count }) => count >= FEW);
  return { told: all.filter(enough), few: all.filter((each) => !enough(each)) };
}
