/* When to go a round with the shop: at the start, after an entry, when the network or the page comes back, now and
   then; after a failure ever more rarely, never in a hurry. Owns the timer and the status that screens show. */

import { NotKept } from "../book/base.js";
import { listen } from "../book/tabs.js";
import { isBehind, round, syncedAt } from "./sync.js";
import { Trouble } from "./client.js";
import { named } from "../work/this-device.js";

/** @import { Told } from "./sync.js" */
/** @import { News } from "../types/wire.d.ts" */

/**
 * @typedef {object} Status
 * @property {"idle" | "working" | "waiting" | "stopped"} state `waiting` for the next try; `stopped`: somebody must act
 * @property {string | null} code what stood in the way
 * @property {string} text the same for people
 * @property {number | null} ok_at when a round last went well, ms since 1970
 * @property {number | null} next_at when the next is tried
 * @property {string | null} clock a sentence where this phone's clock and the shop's differ
 */

/** What one save writes in several goes, goes in one round. */
const SOON_MS = 50;
const FIRST_S = 5;
const LONGEST_S = 300;
const POLL_S = 60;
/** The same while a stream tells of whatever is new. */
const CALM_S = 300;
const APART_MS = 10_000;
const SKEW_MS = 120_000;
/** With these, trying again by itself is no use: somebody must do something. */
const STOP = ["not-paired", "key-refused", "not-allowed"];

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
/** @type {Promise<Told | null> | null} */
let running = null;
let again = false;
let tries = 0;
let last = -Infinity;
let started = false;
let streaming = false;
let hearing = false;
/** @type {News | null} */
let newest = null;
/** @type {Status} */
let now = { state: "idle", code: null, text: "", ok_at: null, next_at: null, clock: null };
/** @type {Set<(status: Status) => void>} */
const watchers = new Set();

/**
 * Seconds to wait after so many failures in a row; `random` 0 to 1 keeps phones from coming all at once.
 * @param {number} failures
 * @param {{ random?: number, retry_after_s?: number | null }} [how]
 */
export function waitS(failures, { random = Math.random(), retry_after_s = null } = {}) {
  const usual = Math.min(LONGEST_S, FIRST_S * 2 ** (failures - 1)) * (0.75 + random / 2);
  return Math.max(usual, retry_after_s ?? 0);
}

/** How it stands with the shop. */
export const status = () => now;

/**
 * Be told of every change of the status. Returns how to stop.
 * @param {(status: Status) => void} watcher
 */
export function watchSync(watcher) {
  watchers.add(watcher);
  watcher(now);
  return () => watchers.delete(watcher);
}

/** @param {Partial<Status>} change */
function say(change) {
  now = { ...now, ...change };
  for (const watcher of watchers) watcher(now);
}

/** @param {number} seconds */
function later(seconds) {
  clearTimeout(timer);
  timer = setTimeout(go, seconds * 1000);
  return Date.now() + seconds * 1000;
}

/**
 * What to say of the clocks; they are labels, so nothing is refused for them.
 * @param {number | null} ms
 */
function clockNote(ms) {
  if (ms === null) return now.clock;
  if (Math.abs(ms) < SKEW_MS) return null;
  const hours = Math.abs(ms) / 3_600_000;
  const much =
    hours < 1
      ? `${Math.round(hours * 60)} minutes`
      : hours < 48
        ? `${Math.round(hours)} hours`
        : `${Math.round(hours / 24)} days`;
  const side = ms > 0 ? "ahead of" : "behind";
  return named(`The clock of {here} is ${much} ${side} the shop's. Records keep their order.`);
}

/** Whether something new goes at once: where all is well, and where the last try is a while ago. The network may be
    back, and a phone that waits for minutes between tries would not know. */
const mayGo = () =>
  now.state === "idle" || (now.state === "waiting" && now.code !== "busy" && performance.now() - last > APART_MS);

async function once() {
  last = performance.now();
  say({ state: "working", next_at: null });
  try {
    const told = await round();
    tries = 0;
    const next_at = started && !document.hidden ? later(streaming ? CALM_S : POLL_S) : null;
    say({ state: "idle", code: null, text: "", ok_at: Date.now(), next_at, clock: clockNote(told.clock_ms) });
    return told;
  } catch (error) {
    tries += 1;
    const code = error instanceof Trouble || error instanceof NotKept ? error.code : "failed";
    const stop = STOP.includes(code);
    const retry_after_s = error instanceof Trouble ? error.retry_after_s : null;
    const next_at = started && !stop ? later(waitS(tries, { retry_after_s })) : null;
    const text = error instanceof Error ? error.message : String(error);
    say({ state: stop ? "stopped" : "waiting", code, text, next_at });
    return null;
  }
}

/** @returns {Promise<Told | null>} */
async function go() {
  clearTimeout(timer);
  if (running) {
    again = true;
    return running;
  }
  running = once();
  const told = await running;
  running = null;
  // What was entered meanwhile goes now; after a failure it waits with the rest.
  if (again && now.state === "idle") later(SOON_MS / 1000);
  again = false;
  return told;
}

/**
 * Go a round at once because a person asked; resolves to what it came to, or null where the status says why not.
 */
export async function syncNow() {
  // A round that is under way may have passed what was entered last.
  if (running) await running;
  tries = 0;
  return go();
}

/** Go a round now, unless one is under way already; resolves when it has ended. */
export const roundNow = () => running ?? go();

/**
 * Say whether a stream of news stands (news.js), so that rounds by the clock may be rarer.
 * @param {boolean} stands
 */
export function inStep(stands) {
  if (streaming === stands) return;
  streaming = stands;
  // What was put off goes by the usual clock again.
  if (!stands && started && now.state === "idle" && !running && !document.hidden) say({ next_at: later(POLL_S) });
}

/**
 * Hear how far the shop's book is, and go a round where this browser is not there yet. What is heard while one is under
 * way counts once it has ended.
 * @param {News} news
 */
export async function hear(news) {
  newest = news;
  if (hearing) return;
  hearing = true;
  try {
    while (newest && now.state !== "stopped") {
      if (running) await running;
      /** @type {News} */
      const latest = newest;
      newest = null;
      if (await isBehind(latest)) await roundNow();
    }
  } catch {
    // A log that cannot be read is said by the round, and by the page.
  } finally {
    hearing = false;
  }
}

/** Begin to keep in step with the shop by itself. Returns how to stop. */
export function startSync() {
  started = true;
  syncedAt().then(
    (at) => say({ ok_at: now.ok_at ?? at }),
    () => {},
  );
  const stopListening = listen((message, elsewhere) => {
    if (message.what === "access") tries = 0;
    if (message.what === "access" || (message.what === "entries" && message.came !== "shop" && !elsewhere)) {
      if (running) again = true;
      else if (message.what === "access" || mayGo()) later(SOON_MS / 1000);
    }
  });
  const back = () => {
    if (document.hidden || now.state === "stopped" || performance.now() - last < APART_MS) return;
    go();
  };
  const online = () => {
    tries = 0;
    if (now.state !== "stopped" && !running) later(1);
  };
  document.addEventListener("visibilitychange", back);
  addEventListener("online", online);
  go();
  return () => {
    started = false;
    clearTimeout(timer);
    stopListening();
    document.removeEventListener("visibilitychange", back);
    removeEventListener("online", online);
  };
}
