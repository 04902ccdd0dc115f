// Whether the shop's predictions are reliable: the verdict, groups large enough to tell, what tests brought.
import assert from "node:assert/strict";
import { test } from "node:test";
import { FEW, GROUP, agrees, comparedTests, groupsOf, reliability, wilson } from "../../web/work/pc/reliability.js";
import { forMany } from "./draws.mjs";

const all = (landed, count, promised) => {
  const { share, low, high } = wilson(landed, count);
  return { all: { landed, count, promised, share: count ? share : null, share_low: low, share_high: high, brier: 0 } };
};

test("an interval is the one that the shop's own statistics give", () => {
  // 8 of 10: 0.490 to 0.943, as in book/calibration.
  const { low, high } = wilson(8, 10);
  assert.deepEqual([low.toFixed(3), high.toFixed(3)], ["0.490", "0.943"]);
  assert.deepEqual(wilson(0, 0), { share: 0, low: 0, high: 1 });
});

test("the verdict says predicted and actual, and whether chance explains the difference", () => {
  const said = (...of) => reliability(all(...of));
  assert.equal(said(36, 46, 0.827).title, "Predicted 83 in 100, actual 78: within what chance explains");
  assert.equal(said(36, 46, 0.827).good, true);
  assert.match(said(36, 46, 0.827).text, /^36 of 46 teardowns .* 64 to 88 in 100\.$/);
  assert.match(said(10, 40, 0.8).title, /actual 25: too optimistic/);
  assert.match(said(39, 40, 0.5).title, /actual 98: too cautious/);
  assert.deepEqual([said(1, 1, 0.9).good, said(1, 1, 0.9).title], [null, "Too few to tell: 1 teardown"]);
  assert.equal(said(0, 0, null).good, null);
});

test("no group of the plot is small, nothing is counted twice, and none is lost", () => {
  forMany(200, (draw) => {
    const bins = Array.from({ length: 10 }, (_, i) => {
      const count = draw.chance() ? draw.whole(0, 25) : 0;
      return {
        low: i / 10,
        high: (i + 1) / 10,
        count,
        landed: draw.whole(0, count),
        promised: count ? draw.between(i / 10, (i + 1) / 10) : null,
      };
    });
    const sum = (list, name) => list.reduce((total, one) => total + one[name], 0);
    const groups = groupsOf(bins);
    assert.equal(sum(groups, "count"), sum(bins, "count"));
    assert.equal(sum(groups, "landed"), sum(bins, "landed"));
    if (sum(bins, "count") >= GROUP) assert.ok(groups.every(({ count }) => count >= GROUP));
    groups.slice(1).forEach((group, i) => assert.ok(group.high <= groups[i].low + 1e-12, "they do not overlap"));
    for (const { low, high, promised } of groups) assert.ok(promised >= low && promised <= high);
  });
  assert.equal(agrees({ promised: 0.8, actual: { low: 0.5, high: 0.7 } }), false);
});

test("a test is told where enough were planned with and without it", () => {
  const part = (landed, count) => {
    const { share, low, high } = wilson(landed, count);
    return { landed, count, share: count ? share : null, share_low: low, share_high: high, promised: 0.8 };
  };
  const { told, few } = comparedTests([
    { test: "boards", with_it: part(30, 30), without: part(5, 30) },
    { test: "hang", with_it: part(5, 30), without: part(30, 30) },
    { test: "known", with_it: part(9, 11), without: part(18, 26) },
    { test: "scales", with_it: part(0, FEW - 1), without: part(20, 30) },
  ]);
  assert.deepEqual(
    told.map(({ name, result }) => [name, result.split(" ")[0]]),
    [
      ["a board test", "more"],
      ["a droop test", "less"],
      ["constants from an earlier visit", "no"],
    ],
  );
  assert.deepEqual(
    few.map(({ name }) => name),
    ["wheel loads on scales"],
  );
});
