// What the jobs table says and is asked: the address, chips with their counts, the words of a row.
import assert from "node:assert/strict";
import { test } from "node:test";
import {
  addressOf,
  asks,
  chipsOf,
  countWords,
  linked,
  marksOf,
  nowFigures,
  targetFigures,
} from "../../web/work/pc/table-words.js";
import { useLengths } from "../../web/work/units.js";

test("the address says what is asked for and nothing that is as at the start", () => {
  assert.deepEqual(addressOf(asks({})), {});
  const said = { query: "gannet", state: "open", sort: "odds", order: "up" };
  assert.deepEqual(addressOf(asks(said)), said);
  assert.equal(asks({ sort: "moon" }).sort, "arrival");
});

test("chips count every stage, open is all but handed over, and one is on", () => {
  const chips = chipsOf({ measuring: 1, planned: 3, "torn down": 1, checked: 0, closed: 36 }, "open");
  assert.deepEqual(
    chips.map(({ words, count }) => [words, count]),
    [
      ["all", 41],
      ["open", 5],
      ["measuring", 1],
      ["planned", 3],
      ["to be measured", 1],
      ["checked", 0],
      ["handed over", 36],
    ],
  );
  assert.deepEqual(
    chips.filter(({ on }) => on).map(({ words }) => words),
    ["open"],
  );
  assert.ok(chipsOf(null, "").every(({ count }) => count === null));
});

test("what only a link narrows is said, each with its own name", () => {
  assert.deepEqual(linked(asks({ car: "knot", query: "x" })), [{ name: "car", words: "Car: knot" }]);
  assert.match(linked(asks({ since: "2026-12-01" }))[0].words, /^Worked on from .*2026/);
});

test("how many jobs there are is one sentence, wherever they are", () => {
  const all = asks({});
  const some = asks({ query: "x" });
  const found = (total, more = {}) => ({ total, only: 0, lack: null, ...more });
  assert.equal(countWords(found(1), all), "1 job.");
  assert.equal(countWords(found(20), some), "20 jobs, filtered.");
  assert.equal(countWords(found(21, { only: 1 }), all), "21 jobs, 1 of them only on this phone.");
  assert.equal(countWords(found(2, { lack: {} }), all), "2 jobs on this phone.");
  assert.equal(countWords(found(0), some), "No jobs match.");
  assert.equal(countWords(found(0, { lack: {} }), all), "No jobs on this phone.");
  assert.equal(countWords(found(0), all), "No jobs yet.");
  assert.equal(countWords(found(10000, { unread: 6600 }), all), "Reading 3,400 of 10,000 jobs.");
  assert.equal(countWords(found(20, { unread: 6600 }), some), "20 jobs, filtered. 6600 jobs are still to be read.");
});

test("a row says what is special about it, what a person has to resolve among it", () => {
  const row = { only: false, waiting: 2, refused: 1, conflicts: 1, puzzles: 0 };
  assert.deepEqual(marksOf(row), [
    { bad: false, words: "2 not synced" },
    { bad: true, words: "1 refused by the shop" },
    { bad: true, words: "1 to resolve", resolve: true },
  ]);
  assert.deepEqual(marksOf({ ...row, only: true, refused: 0, conflicts: 0 }), [
    { bad: false, words: "only on this phone" },
  ]);
});

test("heights are figures in the unit chosen: one where both sides are to be alike", () => {
  assert.deepEqual(
    [targetFigures(250, 250), targetFigures(250, 255), targetFigures(null, 255)],
    ["250", "250 / 255", ""],
  );
  assert.deepEqual(
    [nowFigures(266.4, 251), nowFigures(null, 251), nowFigures(null, null)],
    ["266 / 251", "– / 251", ""],
  );
  useLengths("in");
  assert.equal(targetFigures(254, 254), "10");
  useLengths("mm");
});
