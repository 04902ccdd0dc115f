/* The page's side of the service worker: whether the app works without a server, and changing to a new version.

   A new version waits until somebody agrees, and is held as long as any page has typed something that is not saved. No
   worker (plain http, an untrusted certificate, an old browser) is not an error: the app runs, and can say so. */

import { COPY, HOME, scriptAddress } from "../model/place.js";
import { dropStart } from "./last-start.js";
import { listen, tell } from "./tabs.js";
import { named } from "../work/this-device.js";

/** @typedef {keyof typeof WORDS} Readiness Whether the app opens without a network. */
/** @typedef {{ worker: Readiness, text: string, update: null | { held: string } }} AppState */

const ASK_MS = 400;
const LOOK_EVERY_MS = 60 * 60 * 1000;

const WORDS = {
  ready: "Works offline.",
  partly:
    "Opens offline, but not every screen is here yet. The rest comes as soon as there is a network; " +
    "keep the app open for a moment then.",
  starting: "Getting ready to work offline…",
  insecure:
    "Opened over plain http: offline it works only while this page stays open. " +
    (COPY === null ? "Use the shop's https address." : "Open it by its https address."),
  refused:
    "{Here} does not trust the shop's certificate, so the app does not open offline. " +
    "Install the certificate as the help page of the shop's PC shows, then reload.",
  failed: "Not ready to work offline. The app tries again at the next start.",
  unsupported: "This browser cannot open the app offline. Your data is saved.",
};
const HELD = "Something you typed is not saved. Save or clear it, then update.";

let unsaved = () => false;
/** @type {ServiceWorkerRegistration | null} */
let registration = null;
/** @type {AppState} */
let state = { worker: "starting", text: WORDS.starting, update: null };
let reloading = false;
/** @type {Set<(state: AppState) => void>} */
const watchers = new Set();

/**
 * Be told now and at every change; `update.held` is "" or why not yet. Returns how to stop.
 * @param {(state: AppState) => void} watcher
 */
export function watchApp(watcher) {
  watchers.add(watcher);
  watcher(state);
  return () => watchers.delete(watcher);
}

/** @param {Partial<AppState>} change */
function say(change) {
  state = { ...state, ...change };
  for (const watcher of watchers) watcher(state);
}

/** @param {Readiness} name */
const worker = (name) => say({ worker: name, text: named(WORDS[name]) });

listen((message, elsewhere) => {
  if (elsewhere && message.what === "unsaved?" && unsaved()) tell({ what: "unsaved", to: message.from });
});

/** Whether any page of this app has typed something that is not saved. */
async function unsavedAnywhere() {
  if (unsaved()) return true;
  const from = Math.random();
  return new Promise((resolve) => {
    const stop = listen((message) => {
      if (message.what === "unsaved" && message.to === from) done(true);
    });
    const timer = setTimeout(() => done(false), ASK_MS);
    /** @param {boolean} answer */
    function done(answer) {
      stop();
      clearTimeout(timer);
      resolve(answer);
    }
    tell({ what: "unsaved?", from });
  });
}

/** Reload into the version that took over, as soon as nothing typed here would be lost. */
function reload() {
  if (reloading) return;
  if (unsaved()) {
    say({ update: { held: HELD } });
    setTimeout(reload, 1000);
    return;
  }
  reloading = true;
  location.reload();
}

/**
 * The user agrees to the update: true if it goes on (the page reloads), false if it is held; then the state says why.
 */
export async function acceptUpdate() {
  const waiting = registration?.waiting;
  if (!waiting) return false;
  if (await unsavedAnywhere()) {
    say({ update: { held: HELD } });
    return false;
  }
  dropStart();
  waiting.postMessage("take over");
  return true;
}

/** @param {ServiceWorkerRegistration} found */
function follow(found) {
  registration = found;
  const look = () => {
    if (found.waiting && navigator.serviceWorker.controller) say({ update: { held: "" } });
    // Whether every screen is here is known to the worker alone; its answer is heard in startApp.
    if (found.active && state.worker !== "ready") found.active.postMessage("is the app kept");
  };
  const installing = (/** @type {ServiceWorker | null} */ coming) =>
    coming?.addEventListener("statechange", () => {
      if (coming.state === "redundant" && !found.active) worker("failed");
      look();
    });
  installing(found.installing);
  found.addEventListener("updatefound", () => installing(found.installing));
  look();
}

/** Ask now whether there is a new version; without a server nothing happens. */
export const lookForUpdate = () => registration?.update().catch(() => {});

/**
 * Keep every screen, so that all of a job opens without a network; the state says when it is so, and when it is not.
 * Where there is no worker yet, once there is one.
 */
export const keepApp = () =>
  navigator.serviceWorker?.ready.then((found) => found.active?.postMessage("keep the app")).catch(() => {});

/**
 * Keep the shop's pages too, so that they open without a network; where the worker cannot yet, they come when wanted.
 */
export const keepShopPages = () =>
  navigator.serviceWorker?.ready.then((found) => found.active?.postMessage("keep the rest")).catch(() => {});

/**
 * Start the worker. `hasUnsaved()` is asked before any reload: whether this page has typed something not saved.
 * Resolves once it is known whether there will be a worker; never rejects.
 * @param {{ hasUnsaved?: () => boolean }} [how]
 */
export async function startApp({ hasUnsaved = () => false } = {}) {
  unsaved = hasUnsaved;
  if (!isSecureContext) return worker("insecure");
  const workers = navigator.serviceWorker;
  if (!workers) return worker("unsupported");
  let controlled = Boolean(workers.controller);
  workers.addEventListener("controllerchange", () => {
    // The first worker of all claims a page that is its own version already: no reason to reload.
    if (controlled) reload();
    controlled = true;
  });
  workers.addEventListener("message", ({ data }) => {
    if (data?.kept) worker("ready");
    else if (data?.tried) worker("partly");
  });
  addEventListener("online", () => state.worker === "partly" && keepApp());
  try {
    follow(await workers.register(scriptAddress("sw.js"), { scope: HOME, updateViaCache: "none" }));
  } catch (error) {
    const distrusted = error instanceof Error && error.name === "SecurityError";
    if (workers.controller) return workers.controller.postMessage("is the app kept");
    return worker(distrusted ? "refused" : "failed");
  }
  document.addEventListener("visibilitychange", () => document.hidden || lookForUpdate());
  setInterval(lookForUpdate, LOOK_EVERY_MS);
}
