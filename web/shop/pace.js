/* When to go a round with the shop: at the start, after an entry, when the network or the page comes back, now and
   then; after a failure ever more rarely, never in a hurry. Owns the timer and the status that screens show. */

import { NotKept } from "../book/base.js";
import { listen } from "../book/tabs.js";
import { round, syncedAt } from "./sync.js";
import { Trouble } from "./client.js";

const SOON_MS = 300;
const FIRST_S = 5;
const LONGEST_S = 300;
const POLL_S = 60;
const APART_MS = 10_000;
const SKEW_MS = 120_000;
/** With these, trying again by itself is no use: somebody must do something. */
const STOP = ["not-paired", "key-refused", "not-allowed"];

let timer = null;
let running = null;
let again = false;
let tries = 0;
let last = -Infinity;
let started = false;
let now = { state: "idle", code: null, text: "", ok_at: null, next_at: null, clock: null };
const watchers = new Set();

/** Seconds to wait after so many failures in a row; `random` 0 to 1 keeps phones from coming all at once. */
export function waitS(failures, { random = Math.random(), retry_after_s = null } = {}) {
  const usual = Math.min(LONGEST_S, FIRST_S * 2 ** (failures - 1)) * (0.75 + random / 2);
  return Math.max(usual, retry_after_s ?? 0);
}

/**
 * {state, code, text, ok_at, next_at, clock}: state is idle, working, waiting (for the next try) or stopped (somebody must
 * act); code and text say what stood in the way; ok_at, next_at in ms since 1970; clock a sentence where this phone's
 * clock and the shop's differ.
 */
export const status = () => now;

/** Be told of every change of the status. Returns how to stop. */
export function watchSync(watcher) {
  watchers.add(watcher);
  watcher(now);
  return () => watchers.delete(watcher);
}

function say(change) {
  now = { ...now, ...change };
  for (const watcher of watchers) watcher(now);
}

function later(seconds) {
  clearTimeout(timer);
  timer = setTimeout(go, seconds * 1000);
  return Date.now() + seconds * 1000;
}

/** What to say of the clocks; they are labels, so nothing is refused for them. */
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
  return `This phone's clock is ${much} ${ms > 0 ? "ahead of" : "behind"} the shop's. Entries are kept in their order all the same.`;
}

async function once() {
  last = performance.now();
  say({ state: "working", next_at: null });
  try {
    const told = await round();
    tries = 0;
    const next_at = started && !document.hidden ? later(POLL_S) : null;
    say({ state: "idle", code: null, text: "", ok_at: Date.now(), next_at, clock: clockNote(told.clock_ms) });
    return told;
  } catch (error) {
    tries += 1;
    const code = error instanceof Trouble || error instanceof NotKept ? error.code : "failed";
    const stop = STOP.includes(code);
    const next_at = started && !stop ? later(waitS(tries, { retry_after_s: error.retry_after_s })) : null;
    say({ state: stop ? "stopped" : "waiting", code, text: error.message, next_at });
    return null;
  }
}

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

/** Go a round at once because a person asked; resolves to what it came to, or null where the status says why not. */
export async function syncNow() {
  // A round that is under way may have passed what was entered last.
  if (running) await running;
  tries = 0;
  return go();
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
      else if (now.state === "idle" || message.what === "access") later(SOON_MS / 1000);
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
