// Whether the shop's predictions are reliable: the verdict, groups large enough to tell, what tests brought.
import assert from "node:assert/strict";
import { test } from "node:test";
import { FEW, GROUP, agrees, comparedTests, groupsOf, reliability, wilson } from "../../web/work/pc/reliability.js";
import { addressOf, asks, ofWhat, pathTo } from "../../web/work/pc/shop-asks.js";
import { forMany } from "./draws.mjs";

/** What the shop says of so many on target of so many, with how often that comes about. */
const all = (landed, count, promised, by_chance, single_by_chance = 0.5) => {
  const share = count ? landed / count : null;
  return { all: { landed, count, promised, share, by_chance, single_by_chance, expected_sd: 0.055 } };
};

test("an interval is the one that the shop's own statistics give", () => {
  // 8 of 10: 0.490 to 0.943, as in book/calibration.
  const { low, high } = wilson(8, 10);
  assert.deepEqual([low.toFixed(3), high.toFixed(3)], ["0.490", "0.943"]);
  assert.deepEqual(wilson(0, 0), { share: 0, low: 0, high: 1 });
});

test("the verdict says predicted and actual, and how often that would come about were every prediction right", () => {
  const said = (...of) => reliability(all(...of));
  const good = said(36, 46, 0.827, 0.5);
  assert.equal(good.title, "Predicted 83 in 100, actual 78: no sign of error");
  assert.equal(good.good, true);
  assert.match(
    good.text,
    /^36 of 46 teardowns .* 50 in 100 such shops .* further\. So few would not show an error of less than 11 in 100\.$/,
  );
  assert.match(said(10, 40, 0.8, 1e-9).title, /actual 25: too optimistic$/);
  assert.match(said(10, 40, 0.8, 1e-9).text, /under 1 in 100 such shops would be as far off or further\.$/);
  assert.match(said(39, 40, 0.5, 1e-9).title, /actual 98: too cautious$/);
  // High chances too high, low ones too low: the count hides it.
  assert.match(said(32, 40, 0.8, 0.9, 0.001).title, /the count fits, single chances do not$/);
  // Two tests, so that each may doubt half as often.
  assert.equal(said(32, 40, 0.8, 0.03, 0.03).good, true);
  assert.deepEqual([said(1, 1, 0.9, 1).good, said(1, 1, 0.9, 1).title], [null, "Too few to tell: 1 teardown"]);
  assert.equal(said(0, 0, null, null, null).good, null);
});

test("what the statistics are narrowed to stands in the address and in a sentence", () => {
  assert.deepEqual(addressOf(asks({})), {});
  assert.equal(pathTo(asks({})), "/api/history/calibration");
  const asked = asks({ since: "2026-01-01", until: "soon", by: "Runa", car: "Knot camper", sort: "odds" });
  assert.deepEqual(addressOf(asked), { since: "2026-01-01", by: "Runa", car: "Knot camper" });
  assert.equal(ofWhat(asked), "Only teardowns from 1 Jan 2026, entered by Runa, of a Knot camper.");
  assert.match(pathTo(asked), /\?since=2026-01-01&by=Runa&car=Knot/);
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
