// What the device is called in a sentence.
import assert from "node:assert/strict";
import { test } from "node:test";
import { named, usePc } from "../../web/work/this-device.js";

test("a text is filled with what the device is, wherever its gap stands", () => {
  assert.equal(named("{Here} is full. Free some room on {here}."), "This phone is full. Free some room on this phone.");
  usePc(true);
  assert.equal(named("{Here} is full. Free some room on {here}."), "This PC is full. Free some room on this PC.");
  assert.equal(named("Nothing to fill."), "Nothing to fill.");
  usePc(false);
});
