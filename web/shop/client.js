/* One request to the shop's server, with a short patience, and every way it can go wrong under a name.

   A Trouble is about the way there: nothing was decided about what was sent, so it stays queued. What the server
   decided about the content (good, or refused with 400, 409, 413, 422) is a plain return. A refusal is the server's own
   only as a problem with one of its codes; a sign-in page and a stranger's JSON are a Trouble whatever their status. */

import { PHOTO_KINDS } from "../model/facts.js";
import { COPY } from "../model/place.js";
import { CODES, PROBLEM } from "./codes.js";
import { named } from "../work/this-device.js";

const PATIENCE_MS = 10_000;
/** How long a stream may say nothing: two beats of the server's (BEAT_S in api/news.py), and some. */
const SILENCE_MS = 40_000;
const STREAM = "text/event-stream";
/** A longer event than this is no event of the server's. */
const EVENT_CHARS = 10_000;
const DECIDED = [400, 409, 413, 422];

const WORDS = {
  "no-answer": "The shop's server cannot be reached.",
  "no-answer-tls":
    "The shop's server cannot be reached, or {here} does not trust its certificate. " +
    "If the shop's PC is on, its help page tells how to trust it.",
  "took-too-long": "The shop's server did not answer in time.",
  "key-refused": "The shop no longer accepts the key of {here}. Pair it again; everything is kept here.",
  "not-allowed": "The shop does not let {here} do that. Everything is kept here.",
  busy: "The shop's server is busy.",
  "server-trouble": "The shop's server has a fault. Everything is kept here.",
  "no-book": "This server has no shop database.",
  "not-ours": "Something else answered in place of the shop's server (a network's sign-in page, perhaps).",
  "not-understood": "The shop refused a record for a reason that this version does not know. Reload this page.",
  "no-shop": "This is a public copy of the app: no shop is behind it.",
  "not-paired": "{Here} is not paired with a shop.",
  "other-page": "Another page of this app is still sending.",
};

/** @import { Problem } from "../types/wire.d.ts" */

/** @typedef {keyof typeof WORDS} TroubleCode */
/**
 * @typedef {object} Asking
 * @property {unknown} [body] what is sent, as JSON
 * @property {Uint8Array<ArrayBuffer>} [bytes] what is sent instead, as it is
 * @property {string | null} [key] of the device
 * @property {number[]} [good] the statuses of a good answer
 * @property {number} [patience_ms]
 */
/**
 * @typedef {object} Reply
 * @property {number} status
 * @property {any} body the JSON of a good answer (null where it has none) or of a refusal
 * @property {number | null} clock_ms how far this phone's clock is ahead of the server's; null where it cannot be told
 */

/**
 * What stood in the way; `code` as above, `status` and the server's `problem` if there were any, `retry_after_s` if it
 * was named.
 */
export class Trouble extends Error {
  /**
   * @param {TroubleCode} code
   * @param {{ status?: number | null, retry_after_s?: number | null, problem?: Problem | null }} [more]
   */
  constructor(code, { status = null, retry_after_s = null, problem = null } = {}) {
    super(named(WORDS[code === "no-answer" && location.protocol === "https:" ? "no-answer-tls" : code]));
    this.name = "Trouble";
    this.code = code;
    this.status = status;
    this.retry_after_s = retry_after_s;
    this.problem = problem;
  }
}

/**
 * The server's own problem in an answer, or null where somebody else gave it.
 * @param {Response} reply
 * @param {any} json
 * @returns {Problem | null}
 */
function problemIn({ headers, status }, json) {
  if (headers.get("Content-Type")?.split(";")[0].trim() !== PROBLEM) return null;
  return json !== null && CODES[json.code] === status ? json : null;
}

/**
 * The Trouble that a status means. What only our server may say, for somebody must act on it, needs its problem.
 * @param {number} status
 * @param {Problem | null} problem
 * @returns {TroubleCode}
 */
function troubleOf(status, problem) {
  if (problem?.code === "no-book" || (problem && (status === 404 || status === 405))) return "no-book";
  if (problem && status === 401) return "key-refused";
  if (problem && status === 403) return "not-allowed";
  if (status === 408 || status === 425 || status === 429 || status === 503) return "busy";
  return status >= 500 ? "server-trouble" : "not-ours";
}

/**
 * Seconds of a Retry-After header (a number or a date), or null.
 * @param {Headers} headers
 */
function retryAfter(headers) {
  const text = headers.get("Retry-After");
  if (!text) return null;
  const seconds = /^\d+$/.test(text) ? Number(text) : (Date.parse(text) - Date.now()) / 1000;
  return Number.isFinite(seconds) ? Math.max(0, seconds) : null;
}

/**
 * Send and read to the end within the patience; rejects with a Trouble.
 * @template T
 * @param {string} path
 * @param {RequestInit} options
 * @param {number} patience_ms
 * @param {(reply: Response) => Promise<T>} read
 */
async function exchanged(path, options, patience_ms, read) {
  // A static host is not asked: what it would answer is nobody's word.
  if (COPY !== null) throw new Trouble("no-shop");
  try {
    const reply = await fetch(path, {
      ...options,
      cache: "no-store",
      credentials: "omit",
      redirect: "error",
      signal: AbortSignal.timeout(patience_ms),
    });
    return { reply, read: await read(reply) };
  } catch (error) {
    const late = error instanceof Error && ["TimeoutError", "AbortError"].includes(error.name);
    throw new Trouble(late ? "took-too-long" : "no-answer");
  }
}

/**
 * The same for a text.
 * @param {string} path
 * @param {RequestInit} options
 * @param {number} patience_ms
 */
async function exchange(path, options, patience_ms) {
  const { reply, read } = await exchanged(path, options, patience_ms, (answer) => answer.text());
  return { reply, text: read };
}

/**
 * What a request says of itself beside its body.
 * @param {Pick<Asking, "body" | "bytes" | "key">} asking
 */
function headersOf({ body, bytes, key }) {
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json" };
  if (key) headers.Authorization = `Bearer ${key}`;
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (bytes) headers["Content-Type"] = "application/octet-stream";
  return headers;
}

/**
 * The JSON of a text, or null where it is none: then its status tells, or it is somebody else's answer.
 * @param {string} text
 */
function jsonOf(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

/**
 * Ask the server. Rejects with a Trouble.
 * @param {string} method
 * @param {string} path
 * @param {Asking} [asking]
 * @returns {Promise<Reply>}
 */
export async function request(method, path, { body, bytes, key, good = [200], patience_ms = PATIENCE_MS } = {}) {
  const sent = bytes ?? (body === undefined ? undefined : JSON.stringify(body));
  const headers = headersOf({ body, bytes, key });
  const { reply, text } = await exchange(path, { method, headers, body: sent }, patience_ms);
  const { status } = reply;
  if (status === 204) return { status, body: null, clock_ms: null };
  const json = jsonOf(text);
  const problem = problemIn(reply, json);
  const decided = status < 400 ? good.includes(status) : problem && [...good, ...DECIDED].includes(status);
  if (!decided)
    throw new Trouble(troubleOf(status, problem), { status, retry_after_s: retryAfter(reply.headers), problem });
  if (json === null || typeof json !== "object") throw new Trouble("not-ours", { status });
  const there = Date.parse(reply.headers.get("Date") ?? "");
  return { status, body: json, clock_ms: Number.isFinite(there) ? Date.now() - there : null };
}

/**
 * The text at an address, of that media type, within the patience; rejects with a Trouble, whose message is the
 * server's own where it gave one.
 * @param {string} path
 * @param {string} kind
 * @param {{ key: string, patience_ms?: number }} how
 */
export async function textAt(path, kind, { key, patience_ms = PATIENCE_MS }) {
  const headers = { Accept: kind, Authorization: `Bearer ${key}` };
  const { reply, text } = await exchange(path, { headers }, patience_ms);
  if (reply.ok && reply.headers.get("Content-Type")?.startsWith(kind)) return text;
  const problem = reply.ok ? null : problemIn(reply, jsonOf(text));
  if (problem?.status === 401) throw new Trouble("key-refused", { status: 401, problem });
  throw problem?.detail
    ? Object.assign(new Trouble("server-trouble", { status: reply.status }), { message: `${problem.detail}.` })
    : new Trouble("not-ours");
}

/**
 * The bytes of an image at an address, with its media type; null where it is not there. Rejects with a Trouble.
 * @param {string} path
 * @param {{ key: string, patience_ms?: number }} how
 * @returns {Promise<{ bytes: Uint8Array<ArrayBuffer>, kind: string } | null>}
 */
export async function bytesAt(path, { key, patience_ms = 3 * PATIENCE_MS }) {
  const headers = { Accept: PHOTO_KINDS.join(", "), Authorization: `Bearer ${key}` };
  const { reply, read } = await exchanged(path, { headers }, patience_ms, (answer) => answer.arrayBuffer());
  const kind = reply.headers.get("Content-Type") ?? "";
  if (reply.ok && PHOTO_KINDS.includes(kind)) return { bytes: new Uint8Array(read), kind };
  const problem = reply.ok ? null : problemIn(reply, jsonOf(new TextDecoder().decode(read)));
  if (problem?.status === 404) return null;
  throw new Trouble(troubleOf(reply.status, problem), { status: reply.status, problem });
}

/**
 * The text of an answer in pieces, as they come; `came` is called with every one.
 * @param {Response} reply
 * @param {() => void} came
 */
async function* pieces(reply, came) {
  const reader = /** @type {ReadableStream<Uint8Array>} */ (reply.body).getReader();
  const decoder = new TextDecoder();
  for (;;) {
    const { value, done } = await reader.read();
    if (done) return;
    came();
    yield decoder.decode(value, { stream: true });
  }
}

/**
 * A stream that has begun; rejects with a Trouble where something else came.
 * @param {string} path
 * @param {string} key
 * @param {AbortSignal} signal
 */
async function begun(path, key, signal) {
  const headers = { Accept: STREAM, Authorization: `Bearer ${key}` };
  const reply = await fetch(path, { headers, cache: "no-store", credentials: "omit", redirect: "error", signal });
  if (reply.ok && reply.headers.get("Content-Type")?.startsWith(STREAM)) return reply;
  const { status } = reply;
  const problem = reply.ok ? null : problemIn(reply, jsonOf(await reply.text()));
  throw new Trouble(troubleOf(status, problem), { status, retry_after_s: retryAfter(reply.headers), problem });
}

/**
 * The data of a stream's events (text/event-stream), until the server ends it or the signal says so. Rejects with a
 * Trouble: refused, broken, or silent for too long, which is also what comes of a proxy that holds it up.
 * @param {string} path
 * @param {{ key: string, signal: AbortSignal, patience_ms?: number, silence_ms?: number }} how
 * @returns {AsyncGenerator<any, void, void>}
 */
export async function* events(path, { key, signal, patience_ms = PATIENCE_MS, silence_ms = SILENCE_MS }) {
  const cut = new AbortController();
  const end = () => cut.abort();
  let timer = setTimeout(end, patience_ms);
  const came = () => {
    clearTimeout(timer);
    timer = setTimeout(end, silence_ms);
  };
  signal.addEventListener("abort", end);
  if (signal.aborted) end();
  try {
    const reply = await begun(path, key, cut.signal);
    let text = "";
    for await (const piece of pieces(reply, came)) {
      const whole = (text + piece).split("\n\n");
      text = whole.pop() ?? "";
      if (text.length > EVENT_CHARS) throw new Trouble("not-ours", { status: reply.status });
      for (const event of whole) yield jsonOf(event.replace(/^data: ?/gm, ""));
    }
  } catch (error) {
    if (error instanceof Trouble) throw error;
    if (!signal.aborted) throw new Trouble(cut.signal.aborted ? "took-too-long" : "no-answer");
  } finally {
    clearTimeout(timer);
    signal.removeEventListener("abort", end);
    end();
  }
}
