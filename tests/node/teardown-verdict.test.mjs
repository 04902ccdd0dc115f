// What an arm reads hanging after its teeth were turned, in words: a tooth out and at which end, or on target.
import assert from "node:assert/strict";
import { test } from "node:test";
import { judged } from "../../web/work/teardown-verdict.js";

const PLAN = {
  id: "p1",
  teardown: 1,
  left: { inner: -3, outer: 4, hanging_deg: 8.8, hanging_now_deg: { value: 3, sd: 0.2 } },
  right: { inner: 5, outer: -5, hanging_deg: 9.3, hanging_now_deg: { value: 3, sd: 0.2 } },
};
const MOVE = { id: "m1", teardown: 1, plan: "p1", left: { inner: -3, outer: 4 } };
const read = (value) => ({ id: "r1", what: "hanging-angle", side: "left", value, sd: 0.2, teardown: 1 });

function verdict(value, ...doubts) {
  const sheet = { readings: [read(value)], moves: [MOVE], plans: [PLAN], steps: [], car: {} };
  const answer = { doubts, step_deg: { fine: 360 / 440 } };
  return judged({ sheet, ids: ["m1", "r1"], plan: PLAN, side: "left", answer });
}
const miscounted = (end, is) => ({ log_index: 0, side: "left", end, repaired_value: is, guess: "", text: "" });

test("a tooth out is named with its end, what turns it back, and what keeps it", () => {
  for (const [end, is, title, remedy, take] of [
    ["inner", -2, "One tooth too few at the inner end", "one tooth arm up", "Keep 2 teeth arm up"],
    ["inner", -4, "One tooth too many at the inner end", "one tooth arm down", "Keep 4 teeth arm up"],
    ["outer", 5, "One tooth too many at the outer end", "one tooth arm up", "Keep 5 teeth arm down"],
    ["outer", 2, "2 teeth too few at the outer end", "2 teeth arm down", "Keep 2 teeth arm down"],
  ]) {
    const found = verdict(17, miscounted(end, is));
    assert.equal(found.state, "tooth");
    assert.equal(found.title, title);
    assert.equal(found.remedy, `Turn it ${remedy}, then read again.`);
    assert.equal(found.take, take);
  }
});

test("without a doubt it is on target within its spread, and beyond it told by how far", () => {
  assert.equal(verdict(8.8).title, "On target");
  const off = verdict(9.7);
  assert.equal(off.title, "0.9° too far arm down");
  assert.match(off.remedy, /makes 0\.8°/);
});
