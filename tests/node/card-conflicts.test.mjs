/* What two said of a card apart, in the words of the trade, and what a pick writes. */

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  disputedName,
  disputedSentence,
  disputedWords,
  goesOnWords,
  holdingBack,
  pickItem,
} from "../../web/work/card-conflicts.js";
import { keepWords, picks } from "../../web/work/conflicts.js";

const conflict = (kind, field, values, more = {}) => ({
  about: "card",
  kind,
  field,
  values: values.map((value, i) => ({ entry: `e${i}`, value, at: "2026-11-26T10:00:00Z", device: "d" })),
  entries: values.map((_, i) => `e${i}`),
  used: `e${values.length - 1}`,
  before_teardown: false,
  contradicted: false,
  settlements: [],
  ...more,
});
const heights = (mm, more = {}) => ({ as: "heights", left_mm: mm, right_mm: mm, ...more });
const words = (asked) => asked.values.map(({ value }) => disputedWords(asked, value));

test("a target is said whole, its tolerances only where they differ", () => {
  const same = conflict("target", "", [heights(250), heights(260)], { before_teardown: true });
  assert.deepEqual(words(same), ["left 250 mm, right 250 mm", "left 260 mm, right 260 mm"]);
  assert.equal(
    disputedSentence(same),
    "Target: entered in two ways. Until you choose, the later is used: left 260 mm, right 260 mm." +
      " No teardown begins before that.",
  );
  const apart = conflict("target", "", [heights(250), heights(250, { tolerance_mm: 3 })]);
  assert.deepEqual(words(apart), [
    "left 250 mm, right 250 mm; within 5 mm; lean within 5 mm",
    "left 250 mm, right 250 mm; within 3 mm; lean within 5 mm",
  ]);
});

test("fields of car, job and what is known have the names and units of their questions", () => {
  const rows = [
    [conflict("car", "bar.inner_teeth", [40, null]), "Teeth, inner end", ["40", "not entered"]],
    [conflict("car", "arm_mm", [415, 410.5]), "Arm length by tape", ["415 mm", "410.5 mm"]],
    [conflict("car", "axle", ["swing", "trailing"]), "Axle", ["swing", "trailing"]],
    [conflict("car", "held.left", [["inner"], []]), "Ends that stay, left", ["inner", "none"]],
    [conflict("job", "owner", ["Maren", null]), "Owner", ["“Maren”", "not entered"]],
    [conflict("known", "use", [true, false]), "What the last visit taught", ["used", "not used"]],
    [
      conflict("known", "posterior", [{ job: "0198-00aa" }, { job: "0198-00bb" }]),
      "What an earlier visit taught",
      ["of the visit …00aa", "of the visit …00bb"],
    ],
  ];
  for (const [asked, name, said] of rows) assert.deepEqual([disputedName(asked), words(asked)], [name, said]);
});

test("a pick says the value again, and takes back what only the others say of a whole", () => {
  const pick = (asked, i) => pickItem(asked, asked.values[i].value);
  const target = conflict("target", "", [heights(250), { ...heights(260), tolerance_mm: 3 }]);
  assert.deepEqual(pick(target, 0), ["target", { ...heights(250), tolerance_mm: null }]);
  assert.deepEqual(pick(conflict("car", "bar.inner_teeth", [40, 41]), 0), ["car", { bar: { inner_teeth: 40 } }]);
  assert.deepEqual(pick(conflict("car", "arm_mm", [null, 41]), 0), ["car", { arm_mm: null }]);
  assert.deepEqual(pick(conflict("job", "owner", ["a", "b"]), 1), ["job", { owner: "b" }]);
  assert.deepEqual(pick(conflict("known", "posterior", [{ job: "a" }, { job: "b", learned: {} }]), 0), [
    "known",
    { job: "a", learned: null },
  ]);
});

test("each value is a choice whose key says what will be used", () => {
  const asked = conflict("target", "", [heights(250), heights(260)]);
  const found = picks(asked, (id) => ({ id, kind: "target", body: {} }));
  assert.deepEqual(found.map(keepWords), ["Use: left 250 mm, right 250 mm", "Use: left 260 mm, right 260 mm"]);
  assert.deepEqual(
    found.map(({ items }) => items[0][0]),
    ["target", "target"],
  );
});

test("only what a teardown goes by holds it back, and one under way says that it goes on", () => {
  const teeth = conflict("car", "bar.inner_teeth", [40, 41], { before_teardown: true });
  const list = holdingBack({ conflicts: [teeth, conflict("car", "arm_mm", [1, 2])] });
  assert.deepEqual(list, [teeth]);
  assert.equal(
    goesOnWords(list),
    "Teeth, inner end: entered in two ways. This teardown goes on by its plan. Choose in the Log.",
  );
  assert.deepEqual(holdingBack({}), []);
});
