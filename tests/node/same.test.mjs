/* Whether two entries say the same, and whether a value is an entry at all. */

import assert from "node:assert/strict";
import { test } from "node:test";
import zlib from "node:zlib";

import { canonical, crc32, same, unfit } from "../../web/book/same.js";
import { forMany } from "./draws.mjs";

const ENTRY = {
  id: "0198c000-0000-7000-8000-000000000001",
  job: "0198c000-0000-7000-8000-0000000000aa",
  device: "d",
  at: "2027-01-01T08:00:00Z",
  kind: "note",
  body: { text: "a" },
};

test("names in another order say the same, and any other value does not", () => {
  assert.equal(canonical({ b: [1, { d: 2, c: 3 }], a: null }), '{"a":null,"b":[1,{"c":3,"d":2}]}');
  assert.notEqual(canonical({ a: [1, 2] }), canonical({ a: [2, 1] }));
});

test("what JSON carries there and back says the same", () => {
  forMany(300, ({ json }) => {
    const value = json(4);
    assert.equal(canonical(JSON.parse(JSON.stringify(value))), canonical(value));
  });
});

test("a number of the schema or a count that is left open is no other content", () => {
  assert.equal(same(ENTRY, { ...ENTRY, schema: 1, device_seq: null }), true);
  assert.equal(same(ENTRY, { ...ENTRY, schema: 2 }), false);
  assert.equal(same({ ...ENTRY, device_seq: 1 }, { ...ENTRY, device_seq: 2 }), false);
  assert.equal(same(ENTRY, { ...ENTRY, from_a_newer_app: 1 }), false);
});

test("what is no entry is told why", () => {
  assert.equal(unfit(ENTRY), "");
  for (const value of [null, 7, "x", []]) assert.equal(unfit(value), "it is not a record");
  assert.equal(unfit({ ...ENTRY, id: "nonsense" }), "its id is not one of ours");
  assert.equal(unfit({ ...ENTRY, job: undefined }), "it names no job");
  const beyond = "06a14142-d400-7000-8000-000000000000";
  for (const name of ["id", "job"])
    assert.match(unfit({ ...ENTRY, [name]: beyond }), new RegExp(`^its ${name} is stamped after the year 2200`));
  for (const name of ["device", "at", "kind"]) assert.equal(unfit({ ...ENTRY, [name]: 7 }), `it has no ${name}`);
  for (const body of [null, [], "x"]) assert.equal(unfit({ ...ENTRY, body }), "it has no body");
});

test("the sum is that of gzip", () => {
  forMany(50, ({ text }) => {
    const bytes = Buffer.from(text() + text());
    assert.equal(crc32(bytes), zlib.crc32(bytes).toString(16).padStart(8, "0"));
  });
});
