/* From the phone's holds to a reading. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { figures } from "../../web/work/gauge-figures.js";
import { forMany } from "./draws.mjs";

test("turned end for end the zero error drops out and the spread gets less", () => {
  forMany(400, ({ between, chance }) => {
    const [arm, datum, zero] = [between(-30, 30), between(-15, 15), between(-2, 2)];
    const shake = chance() ? 0 : between(0, 0.3);
    const [turned, against] = [chance(), chance()];
    // Arm down is positive; the phone tells how far its top is up, with its own zero error.
    const laid = (angle) => ({
      tail: { mean: -angle + zero, sd: shake },
      ...(turned ? { front: { mean: angle + zero, sd: shake } } : {}),
    });
    const found = figures({ arm: laid(arm), ...(against ? { datum: laid(datum) } : {}) });
    assert.ok(Math.abs(found.arm - (turned ? arm : arm - zero)) <= 0.0501);
    if (against) assert.ok(Math.abs(found.arm - found.datum - (arm - datum)) <= 0.1001);
    assert.equal(found.reversed, turned);
    // 0.3 degrees one way (Mourcou et al. 2015); turned, root 2 less against a datum and half of it without.
    const plain = turned ? (against ? 0.212 : 0.15) : 0.3;
    assert.ok(found.sd >= plain - 0.005);
    if (shake === 0) assert.ok(found.sd <= plain + 0.01);
  });
});
