// What others added to a job since this device last looked at it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { newsCount, newsOf, newsWords } from "../../web/work/news.js";

const entry = (id, kind, body, device = "other") => ({ id, job: "j", device, at: "2026-11-02T10:00:00Z", kind, body });

test("news is what others wrote of what arrived, but for ticks, plans, choices and a bare name", () => {
  const reading = entry("a", "reading", { what: "body-height", side: "left", value: 214 });
  const all = [
    reading,
    entry("b", "reading", reading.body, "mine"),
    entry("c", "step", { step: "stands" }),
    entry("d", "job", {}),
    entry("e", "reading", reading.body),
  ];
  const news = newsOf(all, new Set(["a", "b", "c", "d"]), "mine");
  assert.deepEqual(news, [reading]);
  assert.equal(newsCount(news), "1 new");
  assert.deepEqual(newsOf(all, undefined, "mine"), []);
});

test("each is told by its name and what it says; a removal by what it took out", () => {
  const reading = entry("a", "reading", { what: "body-height", side: "left", value: 214 });
  const words = (one) =>
    newsWords(one, () => reading, { moves: [], plans: [] }).map(({ name, value }) => `${name}: ${value}`);
  assert.deepEqual(words(reading), ["Ride height, left, as found: 214 mm"]);
  assert.deepEqual(words(entry("s", "strike", { entry: "a" })), ["Removed: Ride height, left, as found: 214 mm"]);
  assert.deepEqual(words(entry("s", "strike", { entry: "a", refused: true }))[0].slice(0, 7), "Refused");
  assert.deepEqual(words(entry("t", "target", { left_mm: 250, right_mm: 260 })), ["Target: left 250 mm, right 260 mm"]);
  assert.deepEqual(words(entry("c", "car", { bar: { diameter_mm: 24, inner_teeth: 40 } })), [
    "Bar diameter: 24 mm",
    "Teeth, inner end: 40",
  ]);
  assert.deepEqual(words(entry("n", "note", { text: "rusty" })), ["Note: rusty"]);
});
