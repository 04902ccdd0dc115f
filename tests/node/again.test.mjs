import assert from "node:assert/strict";
import { test } from "node:test";

import { BAR, LEARNED, beginWith, changesTo, leftIn, piecesOf, usedOf, usedWords } from "../../web/work/again.js";

const POSTERIOR = { names: ["ln_rate"], mean: [0], covariance: [[0.01]] };
const LEFT = {
  key: "gannet / maren",
  job: { car: "Gannet", owner: "Maren" },
  car: { bar: { outer_teeth: 44, inner_teeth: 40, diameter_mm: 24 }, arm_mm: 415, arm_sd_mm: 3, tyre_n_per_mm: 200 },
  known: { use: true, job: "earlier", posterior: POSTERIOR },
  visit: "latest",
  day: "2026-03-12T10:00:00Z",
};
const keys = (pieces) => pieces.map(({ key }) => key);
/** A sheet after some items of one job. */
function sheetOf(items) {
  const patched = (into, patch) => {
    const out = { ...into };
    for (const [name, value] of Object.entries(patch)) {
      if (value === null) delete out[name];
      else if (typeof value === "object" && !Array.isArray(value)) out[name] = patched(out[name] ?? {}, value);
      else out[name] = value;
    }
    return out;
  };
  const cards = { job: {}, car: {}, known: {} };
  for (const [kind, body] of items) cards[kind] = patched(cards[kind], body);
  return { about: cards.job, car: cards.car, known: cards.known };
}

test("the bars are one piece, said in the order they are asked, and a spread goes with its size", () => {
  const pieces = piecesOf(LEFT);
  assert.deepEqual(keys(pieces), [BAR, "car.arm_mm", "car.tyre_n_per_mm", LEARNED]);
  assert.equal(pieces[0].text, "Torsion bars: 24 mm diameter, 40 teeth inner end, 44 teeth outer end");
  assert.equal(pieces[1].text, "Arm length by tape: 415 mm, ± 3 mm");
});

test("the other axle is a piece of its own, whose sizes say what they are", () => {
  const other = { arm_mm: 350, bar: { inner_teeth: 30 } };
  const pieces = piecesOf({ ...LEFT, car: { ...LEFT.car, other } });
  assert.deepEqual(keys(pieces), [BAR, "car.arm_mm", "car.tyre_n_per_mm", "other", LEARNED]);
  assert.equal(pieces[3].text, "Other axle: 30 teeth inner end, arm length by tape 350 mm");
  const sheet = sheetOf(beginWith({ ...LEFT, car: { ...LEFT.car, other } }, new Set(["other"]), ""));
  assert.deepEqual(sheet.car, { other });
});

test("a new job begins with the pieces chosen and keeps all of them for later", () => {
  const sheet = sheetOf(beginWith(LEFT, new Set(["car.arm_mm"]), "20 up"));
  assert.deepEqual(sheet.car, { arm_mm: 415, arm_sd_mm: 3 });
  assert.deepEqual(sheet.about, {
    title: "Gannet, Maren",
    car: "Gannet",
    owner: "Maren",
    car_id: "gannet / maren",
    wish: "20 up",
  });
  assert.equal(sheet.known.use, false);
  const left = leftIn(sheet);
  assert.deepEqual(keys(piecesOf(left)), keys(piecesOf(LEFT)));
  assert.deepEqual([...usedOf(piecesOf(left), left, sheet, false)], ["car.arm_mm"]);
  assert.match(usedWords(sheet), /: 1 of 4 used$/);
});

test("every choice of pieces can be changed into every other, and saving it again changes nothing", () => {
  const all = keys(piecesOf(LEFT));
  const subsets = [...Array(2 ** all.length).keys()].map((bits) => new Set(all.filter((_, i) => bits & (1 << i))));
  const sound = subsets.filter((chosen) => chosen.has(BAR) || !chosen.has(LEARNED));
  for (const one of sound)
    for (const other of sound) {
      const items = beginWith(LEFT, one, "");
      const before = sheetOf(items);
      const changes = changesTo(leftIn(before), other, before, false);
      const after = sheetOf([...items, ...changes]);
      assert.deepEqual([...usedOf(piecesOf(LEFT), LEFT, after, false)].sort(), [...other].sort());
      assert.deepEqual(changesTo(leftIn(after), other, after, false), []);
    }
});

test("what the job measured itself is not unticked away, and what was left is not ticked over it unasked", () => {
  const sheet = { about: {}, car: { arm_mm: 420 }, known: {} };
  const pieces = piecesOf(LEFT, sheet.car);
  assert.equal(pieces[1].text, "Arm length by tape: 415 mm, ± 3 mm; this job has 420 mm");
  const chosen = usedOf(pieces, LEFT, sheet, true);
  assert.deepEqual([...chosen].sort(), [BAR, "car.tyre_n_per_mm", LEARNED].sort());
  const after = sheetOf([["car", sheet.car], ...changesTo(LEFT, chosen, sheet, true)]);
  assert.equal(after.car.arm_mm, 420);
  assert.equal(after.known.use, true);
  assert.equal(after.about.title, "Gannet, Maren");
  const none = sheetOf([
    ["car", after.car],
    ["known", after.known],
    ...changesTo(leftIn(after), new Set(), after, false),
  ]);
  assert.equal(none.car.arm_mm, 420);
});

test("pieces of another car do not stay behind when its visit is chosen instead", () => {
  const first = beginWith({ ...LEFT, car: { unevenness_mm: 4, ...LEFT.car } }, new Set(), "");
  const before = sheetOf(first);
  const after = sheetOf([...first, ...changesTo({ ...LEFT, known: null }, new Set(), before, true)]);
  assert.equal(after.known.car.unevenness_mm, undefined);
  assert.equal(after.known.posterior, undefined);
  assert.equal(after.known.job, "latest");
});
