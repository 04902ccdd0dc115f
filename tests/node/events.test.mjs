/* A stream of events as the client reads it: however it is cut into pieces, and whatever else comes in its place. */

import assert from "node:assert/strict";
import { test } from "node:test";

globalThis.location = { protocol: "http:" };
const { events } = await import("../../web/shop/client.js");

const STREAM = { "Content-Type": "text/event-stream; charset=utf-8" };
const PROBLEM = { "Content-Type": "application/problem+json" };
const bytes = (text) => new TextEncoder().encode(text);

/** A body of these pieces, which then ends or stays open; ends with the request, as a browser's does. */
const body = (pieces, signal, { open = false } = {}) =>
  new ReadableStream({
    start(control) {
      for (const piece of pieces) control.enqueue(bytes(piece));
      if (!open) control.close();
      else signal.addEventListener("abort", () => control.error(new DOMException("aborted", "AbortError")));
    },
  });

/** What comes of a stream: the events, and the code of what ended it, or null where it ended in good order. */
async function heard(answer, { stop = new AbortController(), patience_ms = 5000, silence_ms = 5000, after } = {}) {
  const found = [];
  globalThis.fetch = async (path, options) => answer(options);
  try {
    for await (const said of events("/api/news", { key: "k", signal: stop.signal, patience_ms, silence_ms })) {
      found.push(said);
      after?.(stop);
    }
    return [found, null];
  } catch (error) {
    return [found, error.code ?? String(error)];
  }
}

test("events are whole however they were cut", async () => {
  const text = 'data: {"last":1}\n\ndata: {"last":2}\n\ndata: {"last":"ü"}\n\n';
  for (const pieces of [[text], [...text], [text.slice(0, 9), text.slice(9, 30), text.slice(30)]]) {
    const [found, end] = await heard(({ signal }) => new Response(body(pieces, signal), { headers: STREAM }));
    assert.deepEqual(found, [{ last: 1 }, { last: 2 }, { last: "ü" }]);
    assert.equal(end, null);
  }
});

test("a stream that says nothing, as behind a proxy that holds it up, is given up", async () => {
  const held = ({ signal }) => new Response(body([], signal, { open: true }), { headers: STREAM });
  assert.deepEqual(await heard(held, { patience_ms: 20 }), [[], "took-too-long"]);
  const silent = ({ signal }) =>
    new Response(body(['data: {"last":1}\n\n'], signal, { open: true }), { headers: STREAM });
  assert.deepEqual(await heard(silent, { silence_ms: 20 }), [[{ last: 1 }], "took-too-long"]);
});

test("who stops listening ends it in good order", async () => {
  const open = ({ signal }) =>
    new Response(body(['data: {"last":1}\n\n'], signal, { open: true }), { headers: STREAM });
  assert.deepEqual(await heard(open, { after: (stop) => stop.abort() }), [[{ last: 1 }], null]);
});

test("a refusal, a sign-in page and a flood are told apart", async () => {
  const problem = (code, status, more = {}) =>
    new Response(JSON.stringify({ code, status, detail: "" }), { status, headers: { ...PROBLEM, ...more } });
  assert.deepEqual(await heard(() => problem("too-many-streams", 503, { "Retry-After": "60" })), [[], "busy"]);
  assert.deepEqual(await heard(() => problem("no-key", 401)), [[], "key-refused"]);
  assert.deepEqual(await heard(() => problem("not-found", 404)), [[], "no-book"]);
  const page = { headers: { "Content-Type": "text/html" } };
  assert.deepEqual(await heard(() => new Response("<h1>Welcome</h1>", page)), [[], "not-ours"]);
  const flood = ({ signal }) => new Response(body(["x".repeat(20_000)], signal, { open: true }), { headers: STREAM });
  assert.deepEqual(await heard(flood), [[], "not-ours"]);
});
