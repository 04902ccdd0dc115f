/* The phone's tilt: rows D1 to D6 and I1 of the reference values, from W3C, Device Orientation Event Specification
   (draft, February 2025); reversal of a level: standard metrology practice. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { held, lie, longEdge, moved, reversal, shortEdge, up } from "../../web/work/tilt.js";
import { forMany } from "./draws.mjs";

const close = (found, wanted, within) => assert.ok(Math.abs(found - wanted) <= within, `${found}, not ${wanted}`);

test("the way up is told in the phone's own axes", () => {
  for (const [beta, gamma, wanted] of [
    [0, 0, [0, 0, 1]], // D5: flat, whatever alpha is
    [90, 0, [0, 1, 0]], // D5: screen upright, top up
    [0, 90, [-1, 0, 0]], // D5: upright, top to the right: the right edge is down
    [30, -40, [0.5566703992264195, 0.5, 0.6634139481689384]], // D3, worked out by hand
  ])
    up({ beta, gamma }).forEach((part, i) => close(part, wanted[i], 1e-12));
});

test("the short edge is that of the published example", () => {
  // D4: beta 30, gamma -40 gives 33.8258 degrees.
  close(shortEdge({ beta: 30, gamma: -40 }), 33.8258, 5e-5);
});

test("a level turned end for end gives slope and zero error", () => {
  // I1: A 3.4, B -2.8: slope 3.1, zero error 0.3.
  const found = reversal(3.4, -2.8);
  close(found.slope, 3.1, 1e-12);
  close(found.zero, 0.3, 1e-12);
});

test("the elevations are those of the rotation matrix", () => {
  // D2, D3: R = X(beta) Y(gamma) multiplied out here, in D2's ranges. The long edge does not feel gamma.
  forMany(500, ({ between }) => {
    const tilt = { beta: between(-180, 180), gamma: between(-90, 90) };
    const [b, g] = [(tilt.beta * Math.PI) / 180, (tilt.gamma * Math.PI) / 180];
    const x = [
      [1, 0, 0],
      [0, Math.cos(b), -Math.sin(b)],
      [0, Math.sin(b), Math.cos(b)],
    ];
    const y = [
      [Math.cos(g), 0, Math.sin(g)],
      [0, 1, 0],
      [-Math.sin(g), 0, Math.cos(g)],
    ];
    const row = [0, 1, 2].map((j) => x[2][0] * y[0][j] + x[2][1] * y[1][j] + x[2][2] * y[2][j]);
    close(Math.sin((longEdge(tilt) * Math.PI) / 180), row[1], 1e-9);
    close(Math.sin((shortEdge(tilt) * Math.PI) / 180), row[0], 1e-9);
  });
});

test("what the phone lies on is told by its edges", () => {
  assert.equal(lie({ beta: 5, gamma: 0 }), "back");
  assert.equal(lie({ beta: 180, gamma: 0 }), "face");
  assert.equal(lie({ beta: 0, gamma: -80 }), "left edge");
  assert.equal(lie({ beta: 0, gamma: 80 }), "right edge");
});

test("a phone was moved where it was swung round, tipped, or laid on another face", () => {
  const before = { alpha: 350, beta: 1, gamma: 0 };
  assert.equal(moved(before, { alpha: 5, beta: 1.5, gamma: 0 }), false);
  assert.equal(moved(before, { alpha: 170, beta: 1, gamma: 0 }), true);
  assert.equal(moved(before, { alpha: 350, beta: 6, gamma: 0 }), true);
  assert.equal(moved(before, { alpha: 350, beta: 1, gamma: 80 }), true);
});

test("a hold is its mean and its standard deviation", () => {
  const found = held([1, 2, 3, 4]);
  close(found.mean, 2.5, 1e-12);
  close(found.sd, Math.sqrt(5 / 3), 1e-12);
  assert.equal(held([7]).sd, 0);
});
