/* Where a link leads, and what is said of where it opens. */

import assert from "node:assert/strict";
import { test } from "node:test";

import { ofNetwork, wayBack, waysOf } from "../../web/work/link-ways.js";

const PC = "http://127.0.0.1:8624/";
const SHOP = "https://bothends-quay.local:8622/";
const COPY = "https://host.example/any/where/";
const NONE = { home: SHOP, copy: false, shop: null, publicCopy: null, sender: null };

const names = (known) => waysOf({ ...NONE, ...known }).map(({ name, base }) => [name, base]);
const opens = (known) => waysOf({ ...NONE, ...known })[0].opens;

test("without a public copy a link leads to the shop, and is said to open on its network only", () => {
  assert.deepEqual(names({}), [["shop", SHOP]]);
  assert.match(opens({}), /only on the network of bothends-quay\.local:8622, on devices that trust/);
});

test("with a public copy a link leads there first, and is said to open anywhere", () => {
  assert.deepEqual(names({ publicCopy: COPY }), [
    ["anywhere", COPY],
    ["shop", SHOP],
  ]);
  assert.match(opens({ publicCopy: COPY }), /^Opens anywhere.*host\.example/);
});

test("on the shop's PC a link leads to where others reach the shop, to the PC itself where no such is known", () => {
  assert.deepEqual(names({ home: PC, shop: SHOP }), [["shop", SHOP]]);
  assert.deepEqual(names({ home: PC }), [["here", PC]]);
  assert.match(opens({ home: PC }), /opens on this PC only/);
});

test("at a copy a link leads back to the shop that sent the job, and takes that shop's address along", () => {
  const known = { home: COPY, copy: true, sender: SHOP };
  assert.deepEqual(names(known), [
    ["back", SHOP],
    ["anywhere", COPY],
  ]);
  assert.equal(wayBack({ ...NONE, ...known }), SHOP);
  assert.deepEqual(names({ home: COPY, copy: true }), [["anywhere", COPY]]);
  assert.equal(wayBack({ ...NONE, home: COPY, copy: true }), undefined);
});

test("a job goes back to the shop that it is sent from, and never to an address that is one PC's own", () => {
  assert.equal(wayBack(NONE), SHOP);
  assert.equal(wayBack({ ...NONE, home: PC, shop: SHOP, sender: COPY }), SHOP);
  assert.equal(wayBack({ ...NONE, home: PC }), undefined);
  assert.deepEqual(names({ sender: SHOP }), [["shop", SHOP]]);
});

test("addresses of one network are told from those of the web", () => {
  for (const one of [SHOP, "https://shop/", "https://192.168.1.20/", "https://10.0.0.2:8622/", "https://pc.lan/"])
    assert.ok(ofNetwork(one), one);
  for (const one of [COPY, "https://8.8.8.8/", "https://shop.example:8622/"]) assert.ok(!ofNetwork(one), one);
  assert.match(opens({ home: "https://shop.example/" }), /^Opens wherever shop\.example can be reached/);
});
