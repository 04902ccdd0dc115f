/* A job in a link: there and back, spoilt in every way. The form is made here independently, by node's own zlib: raw
   deflate and CRC-32 of RFC 1951 and 1952. */

import assert from "node:assert/strict";
import { test } from "node:test";
import zlib from "node:zlib";

import { linkOf, pack, packLog, unpack, unpackLog } from "../../web/book/carry.js";
import { forMany } from "./draws.mjs";

const JOB = "0198c000-0000-7000-8000-0000000000aa";
const SHOP = "https://shop.example:8624";

const entry = (i, body) => ({
  schema: 1,
  id: `0198c000-0000-7000-8000-${String(i).padStart(12, "0")}`,
  job: JOB,
  device: "d",
  kind: "note",
  at: "2027-01-01T08:00:00Z",
  body,
});
const ENTRIES = [214, 215, 216.5].map((value, i) => entry(i, { what: "body-height", side: "left", value }));

const sumOf = (data) => zlib.crc32(data).toString(16).padStart(8, "0");

/** A fragment as the form is documented. */
function packed(plain, version = 1) {
  const data = zlib.deflateRawSync(plain, { level: 9 });
  const text = data.toString("base64url");
  return `#job=${version}.${sumOf(data)}.${text.length.toString(36)}.${text}`;
}

/** Whether a link is refused under a name, in a sentence. */
const refused = (code) => (error) => error.name === "LinkError" && error.code === code && /[.)]$/.test(error.message);

test("a link holds the job in the fragment in its documented form", () => {
  const address = linkOf(ENTRIES, SHOP);
  const [, sum, length, text] = /^https:\/\/shop\.example:8624\/#job=1\.(\w{8})\.(\w+)\.([\w-]+)$/.exec(address);
  const data = Buffer.from(text, "base64url");
  assert.deepEqual([parseInt(length, 36), sum], [text.length, sumOf(data)]);
  const entries = ENTRIES.map(({ job: _, ...rest }) => rest);
  assert.deepEqual(JSON.parse(zlib.inflateRawSync(data)), { job: JOB, entries });
});

test("a link made elsewhere in that form is read", () => {
  const entries = ENTRIES.map(({ job: _, ...rest }) => rest);
  assert.deepEqual(unpack(packed(JSON.stringify({ job: JOB, entries }))), { job: JOB, entries: ENTRIES });
});

test("a spoilt link is told under a name", () => {
  const link = linkOf(ENTRIES, SHOP);
  for (const [spoilt, code] of [
    [link.slice(0, -9), "cut-off"],
    [link.slice(0, link.indexOf("#job=") + 9), "cut-off"],
    [`${link.slice(0, -9)}AAAA${link.slice(-5)}`, "damaged"],
    [link.replace("#job=1.", "#job=1.0"), "damaged"],
    [link.replace("#job=1.", "#job=2."), "newer"],
    [link.replace("#job=", "#jab="), "not-a-link"],
    [link.split("#")[0], "not-a-link"],
  ])
    assert.throws(() => unpack(spoilt), refused(code), code);
});

test("a link broken into lines with a full stop behind it is still read", () => {
  const lines = linkOf(ENTRIES, SHOP).match(/.{1,60}/g);
  assert.deepEqual(unpack(`${lines.join("\n")}.`).entries, ENTRIES);
});

test("a sound link with unsound content is refused", () => {
  for (const [what, plain, code] of [
    ["no JSON", "not json", "damaged"],
    ["no job", "[]", "damaged"],
    ["no id", '{"job": "x", "entries": [{}]}', "damaged"],
    ["no entries", JSON.stringify({ job: JOB, entries: [] }), "damaged"],
    ["unfit entry", JSON.stringify({ job: JOB, entries: [{ id: "x" }] }), "damaged"],
    ["two megabytes and more", `{"job": "${" ".repeat(2 * 1024 * 1024)}"}`, "too-large"],
  ])
    assert.throws(() => unpack(packed(plain)), refused(code), what);
});

test("a small link that would unpack to a hundred megabytes is stopped at the limit", () => {
  const bomb = packed(Buffer.alloc(100 * 1024 * 1024));
  assert.ok(bomb.length < 150_000);
  // Count what is really unpacked, by the arrays it is gathered in.
  let bytes = 0;
  const Made = globalThis.Uint8Array;
  globalThis.Uint8Array = new Proxy(Made, {
    construct(made, given) {
      if (typeof given[0] === "number") bytes += given[0];
      return Reflect.construct(made, given);
    },
  });
  try {
    assert.throws(() => unpack(bomb), refused("too-large"));
  } finally {
    globalThis.Uint8Array = Made;
  }
  assert.ok(bytes < 16e6, `${bytes} bytes were made room for`);
});

test("a job too large for a link is told to go as a file", () => {
  const big = entry(1, { text: "x".repeat(3_000_000) });
  assert.throws(
    () => pack([big]),
    (error) => refused("too-long")(error) && error.message.includes("file"),
  );
});

test("a link carries the entries of one job, and of one only", () => {
  assert.throws(() => pack([]), TypeError);
  assert.throws(() => pack([ENTRIES[0], { ...ENTRIES[1], job: ENTRIES[1].id }]), TypeError);
});

test("whatever is packed is unpacked the same", () => {
  forMany(200, ({ json, text, whole }) => {
    const entries = Array.from({ length: whole(1, 6) }, (_, i) => entry(i, { [text()]: json(3), [text()]: json(3) }));
    const sent = JSON.parse(JSON.stringify(entries));
    assert.deepEqual(unpack(pack(entries)).entries, sent);
    assert.deepEqual(unpackLog(packLog({ entries })), { entries: sent });
  });
});

test("a log too large for an address is told to go as a file", () => {
  const noise = Array.from({ length: 150_000 }, (_, i) => Math.imul(i, 0x9e3779b1) ^ Math.imul(i * i, 0x85ebca6b));
  assert.throws(() => packLog(noise), refused("too-long"));
});

test("a link may say who sent it and where it goes back to, and an odd word of that is left out", () => {
  const sender = { name: "Harbour PC", address: "https://bothends-quay.local:8622/" };
  assert.deepEqual(unpack(pack(ENTRIES, sender)), { job: JOB, entries: ENTRIES, from: sender });
  assert.equal(unpack(pack(ENTRIES)).from, undefined);
  assert.equal(pack(ENTRIES, {}), pack(ENTRIES));
  const entries = ENTRIES.map(({ job: _, ...rest }) => rest);
  const said = (from) => unpack(packed(JSON.stringify({ job: JOB, entries, from }))).from;
  for (const from of [null, 1, "x", {}, { name: " " }, { name: 1 }, { address: "javascript:1/" }, { address: "no" }])
    assert.equal(said(from), undefined, JSON.stringify(from));
  for (const address of [
    "https://a:b@shop.example/",
    "https://shop.example/page",
    `https://shop.example/${"a".repeat(300)}/`,
  ])
    assert.deepEqual(said({ name: "A", address }), { name: "A" }, address);
  assert.deepEqual(said({ address: "https://shop.example/?x#y" }), { address: "https://shop.example/" });
  assert.equal(said({ name: "n".repeat(500) }).name.length, 80);
});

test("a link to a copy in a folder keeps the folder", () => {
  assert.match(linkOf(ENTRIES, "https://host.example/any/where/"), /^https:\/\/host\.example\/any\/where\/#job=1\./);
});
