/* Photos: how small they are made, what is taken out of them, which go on paper, what is said of them. */

import assert from "node:assert/strict";
import test from "node:test";

import { PHOTO_BYTES } from "../../web/model/facts.js";
import { AIM_BYTES, LONGEST, bare, fits, kindOf, light, tries, within } from "../../web/work/photo-size.js";
import { alike, atStep, forPaper, nameOf, reworded, stayWords } from "../../web/work/photo-words.js";

const bytes = (...all) => Uint8Array.from(all.flat());
const text = (words) => [...new TextEncoder().encode(words)];
const segment = (marker, content) => [0xff, marker, 0, content.length + 2, ...content];

test("a photo keeps its shape and is never made larger", () => {
  assert.deepEqual(within({ width: 4000, height: 3000 }), { width: 1600, height: 1200 });
  assert.deepEqual(within({ width: 3024, height: 4032 }), { width: 1200, height: 1600 });
  assert.deepEqual(within({ width: 640, height: 480 }), { width: 640, height: 480 });
  assert.deepEqual(within({ width: 9000, height: 2 }), { width: 1600, height: 1 });
});

test("each further try is no larger and no finer than the one before", () => {
  const all = tries({ width: 4000, height: 3000 });
  assert.equal(all[0].width, LONGEST);
  for (let i = 1; i < all.length; i += 1) {
    assert.ok(all[i].width <= all[i - 1].width && all[i].quality <= all[i - 1].quality);
    assert.ok(all[i].width < all[i - 1].width || all[i].quality < all[i - 1].quality);
  }
});

test("what weighs too much is tried smaller, and never kept beyond what the shop takes", () => {
  assert.ok(light(AIM_BYTES) && !light(AIM_BYTES + 1));
  assert.ok(fits(PHOTO_BYTES) && !fits(PHOTO_BYTES + 1) && !fits(0));
});

test("place, time, maker's notes and comments are taken out of a JPEG, its picture is not touched", () => {
  const jfif = segment(0xe0, text("JFIF\0"));
  const place = segment(0xe1, text("Exif\0\0GPS 53.5N 9.9E"));
  const adobe = segment(0xee, text("Adobe"));
  const comment = segment(0xfe, text("Maren's yard"));
  const table = segment(0xdb, [1, 2, 3]);
  const scan = [0xff, 0xda, 0, 4, 1, 2, 0xff, 0xe1, 0, 9, 7, 0xff, 0xd9];
  const found = bare(bytes([0xff, 0xd8], jfif, place, adobe, table, comment, scan));
  assert.deepEqual(found, bytes([0xff, 0xd8], jfif, adobe, table, scan));
  assert.deepEqual(bare(found), found);
});

test("what is no JPEG, or is cut off, stays as it is", () => {
  for (const one of [bytes(), bytes(1, 2, 3), bytes(0x89, 0x50, 0x4e, 0x47), bytes(0xff, 0xd8, 0xff, 0xdb, 0, 9, 1)])
    assert.deepEqual(bare(one), one);
  assert.deepEqual(bare(bytes(1, 2, 3)), bytes(1, 2, 3));
});

test("an image is told by its first bytes", () => {
  assert.equal(kindOf(bytes(0xff, 0xd8, 0xff, 0xe0)), "image/jpeg");
  assert.equal(kindOf(bytes(text("RIFF1234WEBP"))), "image/webp");
  assert.equal(kindOf(bytes(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10)), "image/png");
  assert.equal(kindOf(bytes(text("<svg>"))), "");
});

test("a photo is offered at the steps where it helps, of what is seen there", () => {
  assert.deepEqual(atStep({ key: "cover-off", side: "left" }, 1), {
    shows: "marks",
    teardown: 1,
    step: "cover-off",
    side: "left",
  });
  assert.equal(atStep({ key: "count", side: null }, 2)?.shows, "spline");
  assert.equal(atStep({ key: "read", side: "right" }, 1)?.shows, "gauge");
  assert.equal(atStep({ key: "wheel-off", side: "left" }, 1), null);
});

const row = (id, shows, side, more = {}) => ({
  id,
  at: "",
  device: "a",
  writer: null,
  sha256: id,
  shows,
  side,
  ...more,
});

test("beside the key stand photos of the same step, side and teardown", () => {
  const about = atStep({ key: "cover-off", side: "left" }, 1);
  const one = row("1", "marks", "left", { teardown: 1, step: "cover-off" });
  const rows = [
    one,
    { ...one, id: "2", side: "right" },
    { ...one, id: "3", teardown: 2 },
    { ...one, id: "4", step: "x" },
  ];
  assert.deepEqual(alike(rows, about), [one]);
});

test("on paper are the newest of marks and splines, one of each side before a second of the same", () => {
  const rows = [
    row("1", "marks", "right"),
    row("2", "spline", "left"),
    row("3", "gauge", "left"),
    row("4", "marks", "left"),
    row("5", "marks", "left"),
    row("6", "other", null),
  ];
  const names = (most) => forPaper(rows, most).map(({ id }) => id);
  assert.deepEqual(names(3), ["5", "2", "1"]);
  assert.deepEqual(names(9), ["5", "2", "1", "4"]);
});

test("other words are the same photo named anew, and the old record taken out", () => {
  const [[kind, body], strike] = reworded(row("1", "marks", "left", { words: "old" }), "scribed at twelve");
  assert.deepEqual([kind, body], ["photo", { sha256: "1", shows: "marks", side: "left", words: "scribed at twelve" }]);
  assert.deepEqual(strike, ["strike", { entry: "1", saw: ["1"] }]);
});

test("photos are named and counted in words", () => {
  assert.equal(nameOf(row("1", "marks", "left", { teardown: 2 })), "Paint marks, left, teardown 2");
  assert.equal(nameOf(row("1", "other", null)), "Photo");
  assert.equal(stayWords(0), "");
  assert.equal(stayWords(1), "1 photo stays here; it is in the file of the job.");
  assert.equal(stayWords(3), "3 photos stay here; they are in the file of the job.");
});
