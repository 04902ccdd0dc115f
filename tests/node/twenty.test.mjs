/* The twenty cars of a plan: as many on target as its chance says, the others where the two heights would put them. */

import assert from "node:assert/strict";
import { test } from "node:test";
import { CARS, correlationOf, twenty } from "../../web/work/twenty.js";

const outlook = (more) => ({
  chance: 78,
  mean: { left: 0, right: 2 },
  sd: { left: 1.9, right: 2 },
  correlation: 0.1,
  tolerance: 5,
  lean: 5,
  ...more,
});
const grid = [];
for (const chance of [0, 2.4, 2.6, 36, 50, 78, 97.4, 97.6, 100])
  for (const correlation of [-1, -0.4, 0, 0.8, 1])
    for (const left of [-9, 0, 4])
      for (const sd of [0, 0.5, 8])
        grid.push(outlook({ chance, correlation, mean: { left, right: 1 }, sd: { left: sd, right: 3 } }));

const GRID = grid.map((each) => ({ each, drawn: twenty(each) }));

test("the count on target is the chance to the nearest five in a hundred", () => {
  for (const { each, drawn } of GRID) {
    const { cars, on } = drawn;
    assert.equal(cars.length, CARS);
    assert.equal(on, Math.round(each.chance / 5));
    assert.equal(cars.filter((car) => car.fault === "").length, on);
  }
});

test("a car shown on target is within every limit and one shown off it is not", () => {
  for (const { drawn } of GRID)
    for (const { left, right, fault } of drawn.cars) {
      const inside = Math.abs(left) <= 5 + 1e-9 && Math.abs(right) <= 5 + 1e-9 && Math.abs(left - right) <= 5 + 1e-9;
      assert.equal(inside, fault === "", JSON.stringify({ left, right, fault }));
    }
});

/** What each fault says of the two heights, mm from the target. */
const SAYS = {
  "high-left": (left, right) => left > 5 && right <= 5,
  "low-left": (left, right) => left < -5 && right >= -5,
  "high-right": (left, right) => right > 5 && left <= 5,
  "low-right": (left, right) => right < -5 && left >= -5,
  "high-both": (left, right) => left > 5 && right > 5,
  "low-both": (left, right) => left < -5 && right < -5,
  "lean-left": (left, right) => left < right,
  "lean-right": (left, right) => left > right,
};

test("a fault names the side and the way that are out", () => {
  for (const { drawn } of GRID)
    for (const { left, right, fault } of drawn.cars)
      assert.ok(!SAYS[fault] || SAYS[fault](left, right), JSON.stringify({ left, right, fault }));
});

test("the same prediction always gives the same cars", () => {
  assert.deepEqual(twenty(outlook()), twenty(outlook()));
});

test("exchanging the sides exchanges the faults", () => {
  const wide = { chance: 30, sd: { left: 6, right: 6 }, correlation: 0.3 };
  const one = twenty(outlook({ ...wide, mean: { left: 6, right: 0 } })).cars;
  const other = twenty(outlook({ ...wide, mean: { left: 0, right: 6 } })).cars;
  const count = (cars, fault) => cars.filter((car) => car.fault === fault).length;
  for (const way of ["high", "low", "lean"])
    assert.ok(Math.abs(count(one, `${way}-left`) - count(other, `${way}-right`)) <= 1, way);
});

test("a side expected too high makes cars that are high on that side", () => {
  const { cars } = twenty(outlook({ mean: { left: 0, right: 4 }, chance: 60, lean: 20 }));
  const off = cars.filter((car) => car.fault !== "");
  assert.equal(off.length, 8);
  assert.ok(off.every((car) => car.fault === "high-right"));
});

test("the cars spread as the two heights do", () => {
  const { cars } = twenty(
    outlook({ chance: 60, sd: { left: 4, right: 4 }, mean: { left: 0, right: 0 }, correlation: 0, lean: 50 }),
  );
  const mean = cars.reduce((sum, car) => sum + car.left, 0) / cars.length;
  const sd = Math.sqrt(cars.reduce((sum, car) => sum + (car.left - mean) ** 2, 0) / cars.length);
  assert.ok(Math.abs(mean) < 1.2, `mean ${mean}`);
  assert.ok(sd > 2.8 && sd < 5.2, `sd ${sd}`);
});

test("the sentence counts every car once and names a kind of fault once", () => {
  for (const { drawn } of GRID) {
    const { legend } = drawn;
    const told = [...legend.matchAll(/(\d+|none) (?=on target|high|low|on|leaning|left|right)/g)].map(
      (found) => Number(found[1]) || 0,
    );
    assert.equal(
      told.reduce((sum, count) => sum + count, 0),
      CARS,
      legend,
    );
    for (const kind of ["high", "low", "leaning"]) assert.ok(legend.split(kind).length <= 2, legend);
  }
  assert.match(twenty(outlook()).legend, /^20 such cars: 16 on target, .*\.$/);
  assert.match(twenty(outlook({ chance: 0 })).legend, /^20 such cars: none on target, /);
  assert.equal(twenty(outlook({ chance: 100 })).legend, "20 such cars: 20 on target.");
});

test("a figure out of bounds is named with its bounds", () => {
  assert.throws(() => twenty(outlook({ chance: 101 })), /chance is 101: give a number from 0 to 100/);
  assert.throws(() => twenty(outlook({ correlation: Number.NaN })), /correlation/);
  assert.throws(() => twenty(outlook({ sd: { left: -1, right: 1 } })), /sd\.left/);
  assert.throws(() => twenty(outlook({ tolerance: 0 })), /tolerance/);
});

test("the correlation follows from the spreads of both heights and of their difference", () => {
  for (const r of [-1, -0.5, 0, 0.9, 1]) {
    const [left, right] = [3, 2];
    const lean = Math.sqrt(left ** 2 + right ** 2 - 2 * r * left * right);
    assert.ok(Math.abs(correlationOf(left, right, lean) - r) < 1e-9);
  }
  assert.equal(correlationOf(0, 2, 2), 0);
  assert.equal(correlationOf(1, 1, 9), -1);
});
