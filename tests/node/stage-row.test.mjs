/* A stage as a row under the headings of the shop's tables. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { stageRow } from "../../web/work/pc/stage-row.js";

const STAGE = {
  teardown: 1,
  after_km: null,
  at: "2026-09-21T10:00:00Z",
  turned: [-3, 4, 0, 1],
  promised: { odds: 0.8, left_mm: 250, left_sd_mm: 1.8, right_mm: null, right_sd_mm: null },
  followed: true,
  reached: { left_mm: 251, right_mm: null, lean_mm: null },
  hub_mm: { left: null, right: 188.04 },
  hanging_deg: { left: 3.1004, right: -0.001 },
  riding_deg: { left: null, right: -9.600000000000001 },
  target: { left_mm: 250 },
  hit: true,
  settled: null,
  still_within: null,
  unsettled: false,
};

test("a stage has its figures as the tables have them, rounded, and null where nothing was read", () => {
  const row = stageRow(/** @type {any} */ (STAGE));
  assert.deepEqual([row.left_inner_teeth, row.left_outer_teeth, row.right_outer_teeth], [-3, 4, 1]);
  assert.deepEqual([row.body_height_left_mm, row.body_height_right_mm, row.hub_to_body_right_mm], [251, null, 188]);
  assert.deepEqual([row.hanging_angle_left_deg, row.riding_angle_right_deg], [3.1, -9.6]);
  assert.ok(Object.is(row.hanging_angle_right_deg, 0));
  assert.deepEqual([row.promised_left_sd_mm, row.promised_right_mm, row.odds], [1.8, null, 0.8]);
  assert.deepEqual([row.target_left_mm, row.target_right_mm, row.tolerance_mm], [250, null, null]);
  assert.deepEqual([row.settled_left_mm, row.hit, row.unsettled], [null, true, false]);
});
