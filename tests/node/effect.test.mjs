// What a choice at the desk leads to, as short as it can be said.
import assert from "node:assert/strict";
import { test } from "node:test";
import { turnsBrief } from "../../web/work/pc/effect.js";

test("what a side turns is said in two figures with arrows, in degrees while teeth are uncounted", () => {
  assert.equal(turnsBrief({ inner: 2, outer: -3 }), "2↓ 3↑");
  assert.equal(turnsBrief({ inner: 0, outer: 1 }), "0 1↓");
  assert.equal(turnsBrief({ turn_deg: 6.34 }), "6.3°↓");
  assert.equal(turnsBrief({ turn_deg: -0.04 }), "0");
});
