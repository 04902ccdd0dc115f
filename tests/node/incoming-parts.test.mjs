// What comes in a link or a file, cut into parts that are taken or refused by themselves.
import assert from "node:assert/strict";
import { test } from "node:test";
import { itemsFor, offeredOf, partsOf, refusedOf, undecided, wordsOn } from "../../web/work/incoming-parts.js";
import { forMany } from "./draws.mjs";

const SHEET = { moves: [], struck: [] };
let count = 0;
const entry = (kind, body, more = {}) => {
  count += 1;
  return {
    id: `e${String(count).padStart(4, "0")}`,
    job: "j",
    device: "home",
    at: "2026-11-02T10:00:00Z",
    kind,
    body,
    ...more,
  };
};
const height = (value, more = {}) => entry("reading", { what: "body-height", side: "left", value, ...more });
const keysOf = (parts) => parts.map(({ fresh }) => fresh.map(({ id }) => id));
const change = (form, key, more = {}) => ({ form, key, name: key, was: "", is: "x", by: null, entries: [], ...more });

test("a reading and what corrects it are one part, another reading is another", () => {
  const [a, b] = [height(214), height(215)];
  const c = height(216, { corrects: a.id });
  assert.deepEqual(keysOf(partsOf([], [a, b, c], [], SHEET)), [[a.id, c.id], [b.id]]);
});

test("a strike belongs to what it takes out, though that is here already", () => {
  const mine = height(214);
  const strike = entry("strike", { entry: mine.id });
  const correction = height(220, { corrects: mine.id });
  assert.deepEqual(keysOf(partsOf([mine], [strike, correction], [], SHEET)), [[strike.id, correction.id]]);
});

test("fields of a car are parts of their own, unless one record says several or takes a whole part back", () => {
  const one = entry("car", { arm_mm: 410 });
  const two = entry("car", { bar: { diameter_mm: 24 } });
  assert.equal(partsOf([], [one, two], [], SHEET).length, 2);
  const both = entry("car", { arm_mm: 415, bar: { diameter_mm: 25 } });
  assert.equal(partsOf([], [one, two, both], [], SHEET).length, 1);
  const back = entry("car", { bar: null });
  assert.equal(partsOf([], [two, back], [], SHEET).length, 1);
});

test("steps go with the teeth of their teardown; readings after it rest on them, where the teeth are not here", () => {
  const move = entry("move", { teardown: 1, left: { inner: 3 } });
  const step = entry("step", { step: "stands", teardown: 1 });
  const after = height(230, { teardown: 1 });
  const before = height(210);
  const parts = partsOf([], [move, step, after, before], [], SHEET);
  assert.deepEqual(keysOf(parts), [[move.id, step.id], [after.id], [before.id]]);
  assert.deepEqual(
    parts.map(({ needs }) => needs.length),
    [0, 1, 0],
  );
  const here = { moves: [{ teardown: 1 }], struck: [] };
  assert.ok(partsOf([], [move, step, after, before], [], here).every(({ needs }) => !needs.length));
});

test("what is refused takes along what rests on it, and nothing else", () => {
  const move = entry("move", { teardown: 1, left: { inner: 3 } });
  const after = height(230, { teardown: 1 });
  const before = height(210);
  const changes = [
    change("teardown", "move:1"),
    change("new", `chain:${after.id}`),
    change("new", `chain:${before.id}`),
  ];
  const parts = offeredOf(partsOf([], [move, after, before], [], SHEET), changes, []);
  const [first] = parts;
  assert.equal(first.ask, true);
  assert.deepEqual(undecided(parts, wordsOn(parts)), [first]);
  const words = wordsOn(parts, new Map([[first.id, "refuse"]]));
  const struck = itemsFor(parts, words).map(([kind, body]) => [kind, body.entry, body.refused]);
  assert.deepEqual(struck, [
    ["strike", move.id, true],
    ["strike", after.id, true],
  ]);
  assert.deepEqual(itemsFor(parts, wordsOn(parts, new Map([[first.id, "take"]]))), []);
});

test("nobody is taken to agree to what takes out, replaces or changes; what its own writer mends is taken", () => {
  const asked = (fresh, here, form, was = "old") => {
    const key = `chain:${fresh.body.corrects ?? fresh.body.entry}`;
    const found = [change(form, key, { was })];
    return offeredOf(partsOf(here, [fresh], [], SHEET), found, here)[0].ask;
  };
  const mine = { ...height(214), device: "phone" };
  const theirs = height(214);
  assert.equal(asked(height(220, { corrects: mine.id }), [mine], "replaced"), true);
  assert.equal(asked(height(220, { corrects: theirs.id }), [theirs], "replaced"), false);
  assert.equal(asked(entry("strike", { entry: mine.id }), [mine], "removed"), true);
  assert.equal(asked(entry("strike", { entry: theirs.id }), [theirs], "removed"), false);
  const target = entry("target", { left_mm: 260 });
  const [part] = offeredOf(partsOf([], [target], [], SHEET), [change("changed", "card:target:", { was: "a" })], []);
  assert.equal(part.ask, true);
  const [fact] = offeredOf(partsOf([], [target], [], SHEET), [change("changed", "card:target:")], []);
  assert.equal(fact.ask, false);
});

test("what contradicts is taken, for it becomes a question and overrules nobody", () => {
  const target = entry("target", { left_mm: 260 });
  const found = [
    change("conflict", "", { entries: ["mine", target.id] }),
    change("changed", "card:target:", { was: "left 250 mm" }),
  ];
  const [part] = offeredOf(partsOf([], [target], [], SHEET), found, []);
  assert.deepEqual([part.ask, part.changes.length], [false, 2]);
});

test("what was refused is offered as refused, and taken after all by striking the refusal", () => {
  const reading = height(214);
  const refusal = entry("strike", { entry: reading.id, refused: true });
  const was = { moves: [], struck: [{ id: reading.id, by: [refusal.id] }] };
  const refused = refusedOf([reading, refusal], was, new Set([reading.id]));
  assert.deepEqual(refused, [{ entry: reading, by: [refusal] }]);
  const parts = offeredOf(partsOf([reading, refusal], [], refused, was), [change("new", `chain:${reading.id}`)], []);
  const [part] = parts;
  assert.deepEqual(itemsFor(parts, wordsOn(parts)), []);
  assert.deepEqual(itemsFor(parts, wordsOn(parts, new Map([[part.id, "take"]]))), [["strike", { entry: refusal.id }]]);
  // One that somebody removed here as any other is none.
  const plain = { ...refusal, body: { entry: reading.id } };
  assert.deepEqual(refusedOf([reading, plain], was, new Set([reading.id])), []);
});

test("every record is in one part, and every part is struck whole or not at all, whatever comes", () => {
  forMany(200, (draw) => {
    const pool = [];
    for (let n = draw.whole(1, 15); n > 0; n -= 1) {
      const known = pool.length ? draw.one(pool).id : "nothing";
      const kind = draw.one(["reading", "move", "strike", "settle", "car", "target", "plan", "step", "note", "close"]);
      const bodies = {
        reading: { what: "body-height", teardown: draw.whole(0, 2), corrects: draw.whole(0, 1) ? known : undefined },
        move: { teardown: draw.whole(1, 2), corrects: draw.whole(0, 3) ? undefined : known },
        strike: { entry: known },
        settle: { keeps: known, drops: [known] },
        car: draw.one([{ arm_mm: 1 }, { bar: { bore_mm: 2 } }, { bar: null }, { arm_mm: 1, bar: { bore_mm: 2 } }, {}]),
      };
      pool.push(entry(kind, bodies[kind] ?? { teardown: draw.whole(0, 2) }));
    }
    const parts = offeredOf(partsOf([], pool, [], SHEET), [], []);
    assert.deepEqual(parts.flatMap(({ fresh }) => fresh.map(({ id }) => id)).sort(), pool.map(({ id }) => id).sort());
    const said = new Map(parts.map(({ id }) => [id, draw.one(["take", "refuse"])]));
    const words = wordsOn(parts, said);
    const struck = new Set(itemsFor(parts, words).map(([, body]) => body.entry));
    for (const { id, fresh, needs } of parts) {
      const out = words.get(id).word === "refuse";
      assert.ok(fresh.every((one) => struck.has(one.id) === out));
      if (!out) assert.ok(needs.every((need) => words.get(need).word === "take"));
    }
  });
});
