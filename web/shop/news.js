/* In step with the shop while a job is open: one stream of news for the whole browser, and a round for whatever it
   tells of.

   Owns when the stream stands. A browser holds six connections to one server, so however many pages are open, one of
   them has the lock and the stream; what its rounds bring the others hear of as of any round. A page that is hidden
   or shows no job has none, and the next in line takes over. Where it is refused, held up on its way or broken, or
   the browser has no locks, rounds go as they would without (pace.js); tries come ever more rarely. */

import { access } from "../book/device.js";
import { listen } from "../book/tabs.js";
import { events, Trouble } from "./client.js";
import { hear, inStep, roundNow, status, waitS } from "./pace.js";

/** @import { News } from "../types/wire.d.ts" */

const LOCK = "bothends-news";

/** Whether a job is shown on this page. */
let open = false;
/** @type {AbortController | null} */
let stop = null;

/**
 * Wait: for so long (null: for ever), or until the network comes back, the phone is paired, or the signal says so.
 * @param {number | null} seconds
 * @param {AbortSignal} signal
 * @returns {Promise<void>}
 */
function pause(seconds, signal) {
  return new Promise((resolve) => {
    const done = () => {
      clearTimeout(timer);
      stopListening();
      removeEventListener("online", done);
      signal.removeEventListener("abort", done);
      resolve();
    };
    const timer = seconds === null ? undefined : setTimeout(done, seconds * 1000);
    const stopListening = listen((message) => message.what === "access" && done());
    addEventListener("online", done);
    signal.addEventListener("abort", done);
    if (signal.aborted) done();
  });
}

/**
 * @param {any} said
 * @returns {said is News}
 */
const isNews = (said) => typeof said?.epoch === "string" && Number.isInteger(said.last);

/**
 * Listen until the stream ends; how often it has failed in a row, and what the shop asks to wait.
 * @param {string} key
 * @param {AbortSignal} signal
 * @param {number} failures
 */
async function listenOnce(key, signal, failures) {
  let heard = 0;
  let retry_after_s = null;
  try {
    for await (const said of events("/api/news", { key, signal })) {
      if (!isNews(said)) throw new Trouble("not-ours");
      heard += 1;
      inStep(true);
      hear(said);
    }
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    ({ retry_after_s } = error);
  } finally {
    inStep(false);
  }
  // One that stood began anew; the second message came after the first beat at the latest.
  return { failures: heard > 1 ? 1 : failures + 1, retry_after_s };
}

/**
 * Keep the stream up until the signal says so.
 * @param {AbortSignal} signal
 */
async function keep(signal) {
  let failures = 0;
  while (!signal.aborted) {
    const held = await access();
    if (!held || status().state === "stopped") {
      await pause(null, signal);
      failures = 0;
      continue;
    }
    const told = await listenOnce(held.key, signal, failures);
    if (signal.aborted) return;
    failures = told.failures;
    // Why it ended (access that is over, a server that stops) and what was missed, a round says.
    if (status().state !== "waiting") await roundNow();
    if (status().state !== "stopped") await pause(waitS(failures, told), signal);
  }
}

/** Stand in line for the stream, or leave it, as the page is now. */
function look() {
  const wanted = open && !document.hidden && Boolean(navigator.locks);
  if (wanted === Boolean(stop)) return;
  if (!wanted) {
    stop?.abort();
    stop = null;
    return;
  }
  stop = new AbortController();
  const { signal } = stop;
  // Leaving the line rejects; so does a browser that keeps nothing, which then has no key either.
  navigator.locks.request(LOCK, { signal }, () => keep(signal)).catch(() => {});
}

/**
 * Say whether this page shows a job.
 * @param {boolean} shown
 */
export function jobShown(shown) {
  open = shown;
  look();
}

document.addEventListener("visibilitychange", look);
