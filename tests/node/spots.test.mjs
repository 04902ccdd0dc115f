// Whether the car stands where it stood: when it is asked, and what a place is called.
import assert from "node:assert/strict";
import { test } from "node:test";
import { asksSpot, lastSpot, newSpot } from "../../web/work/spots.js";

const NOW = "2027-05-04T10:00:00+02:00";
const row = (more = {}) => ({ what: "body-height", side: "left", value: 214, at: NOW, teardown: 0, ...more });
const reading = { what: "body-height", teardown: 0 };
const asks = (rows, asked = reading, now = NOW) => asksSpot({ readings: rows }, asked, now);

test("it is asked after a board test, after a teardown and on another day, not in one round", () => {
  assert.equal(asks([]), false);
  assert.equal(asks([row()]), false);
  assert.equal(asks([row(), row({ pose: { board_left_mm: 50 } })]), true);
  assert.equal(asks([row()], { ...reading, teardown: 1 }), true);
  assert.equal(asks([row()], reading, "2027-05-05T10:00:00+02:00"), true);
});

test("on the board itself, and of what the floor does not count for, it is not asked", () => {
  assert.equal(asks([row()], { ...reading, pose: { board_left_mm: 50 } }), false);
  assert.equal(asks([row({ pose: { board_left_mm: 50 } })], { what: "riding-angle", teardown: 0 }), false);
});

test("the first place has no name, every other one its own", () => {
  assert.equal(lastSpot({ readings: [row()] }), "");
  assert.equal(newSpot({ readings: [row()] }), "place 2");
  const two = { readings: [row(), row({ spot: "place 2" })] };
  assert.equal(lastSpot(two), "place 2");
  assert.equal(newSpot(two), "place 3");
});
