/* What a plan offers beside its best option: tests by their worth, and other ways to turn it. Decides and words; draws
   nothing. */

import { HARDLY } from "./flow.js";
import { inHundred } from "./numbers.js";

/** @import { Advice, SolveAnswer } from "../types/wire.d.ts" */

/** A way that is so much worse than the best is shown only when asked for, of 1. */
export const FAR_WORSE = 0.2;

/** What each advised test is called, what its key says, and what the deck says where it goes first; `freed` where the
 * arm is free only in a teardown.
 * @type {Record<string, {name: string, key: string, first: string, freed?: boolean}>} */
export const TESTS = {
  "adjuster-lever": { name: "Lever and pitch of the screw", key: "Measure", first: "Lever and pitch first" },
  "notch-angle": { name: "Step of a notch", key: "Measure", first: "Step of a notch first" },
  "turns-left": { name: "Turns left", key: "Count", first: "Turns left first" },
  "arm-length": { name: "Arm length", key: "Measure", first: "Arm length first" },
  "ballast-test": { name: "Ballast test", key: "Ballast test", first: "Ballast test first" },
  "bar-size": { name: "Bar's diameter and length", key: "Enter", first: "Measure the bar first", freed: true },
  "board-test": { name: "Board test", key: "Board test", first: "Board test first" },
  "centre-jack": { name: "Centre-jack test", key: "Centre jack", first: "Centre jack first" },
  "body-height": { name: "Ride heights again", key: "Read", first: "Heights again first" },
  "bump-gap": { name: "Gap to the bump stop", key: "Measure", first: "Bump gap first" },
  "hang-test": { name: "Droop test", key: "Droop test", first: "Droop test first" },
  "hanging-angle": { name: "Hanging angles", key: "Read", first: "Hanging angles first", freed: true },
  "riding-angle": { name: "Riding angles", key: "Read", first: "Riding angles first" },
  scales: { name: "Wheel loads", key: "Weigh", first: "Weigh it first" },
  settling: { name: "Settle once more, read again", key: "Read", first: "Settle once more first" },
  "tooth-count": { name: "Tooth counts", key: "Enter", first: "Count the teeth first", freed: true },
};

/** @param {string} what @param {string | null} [side] */
export const testName = (what, side) =>
  `${TESTS[what]?.name ?? what}${side === "left" || side === "right" ? `, ${side}` : ""}`;

/** "36 → 58 in 100". @param {number} from @param {number} to chances, 0 to 1 */
export const gainWords = (from, to) => `${inHundred(from).replace(" in 100", "")} → ${inHundred(to)}`;

/**
 * Tests worth their minutes, best gain first.
 * @param {SolveAnswer} answer
 * @returns {{name: string, key: string, how: string, minutes: number, from: number, to: number, test: Advice}[]}
 */
export function testsOf(answer) {
  const from = answer.options[0].odds;
  return (answer.measure_next ?? [])
    .filter((test) => test.odds_after - from >= HARDLY)
    .sort((one, other) => other.odds_after - one.odds_after)
    .map((test) => ({
      name: testName(test.what, test.side),
      key: TESTS[test.what]?.key ?? "Read",
      how: test.text,
      minutes: test.minutes,
      from,
      to: test.odds_after,
      test,
    }));
}

/**
 * The other ways beside the one that is shown: those worth a look, and those that are hidden until asked for.
 * @param {SolveAnswer} answer
 * @param {number} shown place of the option that is shown
 * @returns {{near: number[], far: number[]}} places of options
 */
export function waysOf(answer, shown) {
  const best = Math.max(...answer.options.map((each) => (each.stopped_by.length ? 0 : each.odds)));
  const others = answer.options.map((_, i) => i);
  const near = others.filter((i) => {
    const option = answer.options[i];
    return i !== shown && !option.stopped_by.length && best - option.odds <= FAR_WORSE;
  });
  const far = others.filter((i) => i !== shown && !near.includes(i));
  return { near, far };
}
