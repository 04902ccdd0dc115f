/* The service worker: this app's files, whole versions at a time, so that it opens without any server.

   Owns one cache per version, named by the hash in assets.js and, where the app is not at the root of its address, by
   the folder it stands in, so that copies in other folders keep theirs. Paths in assets.js are below that folder. A
   version is installed whole and checked against its sums, or not at all; it takes over only when the page says that
   the user agreed. What the list names as `soon` (screens after the first plan) and `later` (pages of the shop's PC) is
   fetched when first wanted, or when the page asks for all of it, checked the same way, and kept; a version that
   follows another has what is `soon` from the start.
   Nothing below /api is ever touched: what the shop answers belongs to the log, and a revoked link must not open from
   here. */

/** @import { AppWorker, Installing, Page } from "./types/service-worker.d.ts" */

/** @typedef {{ [path: string]: string }} Sums What each file of a version comes to. */
/** @typedef {{ cache: Cache, sums: Sums }} Earlier A version that was here before. */

const worker = /** @type {AppWorker} */ (/** @type {unknown} */ (self));
// The folder of the app, without its last slash: "" at the root.
const HOME = new URL(".", worker.location.href).pathname.slice(0, -1);
const LIST = `${HOME}/assets.js`;
// The page's policy holds here too: no address of a script but this one.
const policy = worker.trustedTypes?.createPolicy("bothends", { createScriptURL: () => LIST });
worker.importScripts(policy?.createScriptURL("") ?? LIST);

const PREFIX = "bothends-";
const NAME = [PREFIX + worker.ASSETS.hash, HOME].filter(Boolean).join(" ");
// Where a cache keeps the sums of its files, so that the next version fetches only what changed.
const SUMS = `${HOME}/assets.sums`;
const SOON = worker.ASSETS.soon ?? {};
const LATER = worker.ASSETS.later ?? {};
/** @type {Sums} */
const REST = { ...SOON, ...LATER };
const PATIENCE_MS = 4000;
const INSTALL_PATIENCE_MS = 60_000;

/** @param {ArrayBuffer} buffer */
const hex = (buffer) => [...new Uint8Array(buffer)].map((b) => b.toString(16).padStart(2, "0")).join("");

/** Names of this app's caches of other versions. */
async function others() {
  const mine = (/** @type {string} */ name) => {
    const [version, ...folder] = name.split(" ");
    return version.startsWith(PREFIX) && folder.join(" ") === HOME;
  };
  return (await caches.keys()).filter((name) => mine(name) && name !== NAME);
}

/**
 * Caches of other versions with their sums.
 * @returns {Promise<Earlier[]>}
 */
async function earlier() {
  return Promise.all(
    (await others()).map(async (name) => {
      const cache = await caches.open(name);
      return { cache, sums: (await (await cache.match(SUMS))?.json()) ?? {} };
    }),
  );
}

/**
 * One file of this version, checked: from an earlier cache where it has not changed, else from the server.
 * @param {string} path
 * @param {string} sum
 * @param {Earlier[]} before
 */
async function fetched(path, sum, before) {
  const kept = before.find(({ sums }) => sums[path] === sum);
  /** @type {RequestInit} */
  const options = {
    cache: "no-cache",
    credentials: "omit",
    redirect: "error",
    signal: AbortSignal.timeout(INSTALL_PATIENCE_MS),
  };
  const reply = (await kept?.cache.match(HOME + path)) ?? (await fetch(HOME + path, options));
  if (!reply.ok) throw new Error(`${path}: the server answered ${reply.status}`);
  const body = await reply.clone().arrayBuffer();
  // The list has the first half of each sum.
  const came = hex(await crypto.subtle.digest("SHA-256", body)).slice(0, sum.length);
  if (came !== sum) throw new Error(`${path} is not the file of version ${worker.ASSETS.hash}`);
  return reply;
}

async function install() {
  const before = await earlier();
  const cache = await caches.open(NAME);
  // Whoever had everything has it after an update too, even where the network is gone by then.
  const files = before.length ? { ...worker.ASSETS.files, ...SOON } : worker.ASSETS.files;
  try {
    await Promise.all(
      Object.entries(files).map(async ([path, sum]) => cache.put(HOME + path, await fetched(path, sum, before))),
    );
    await cache.put(SUMS, new Response(JSON.stringify({ ...worker.ASSETS.files, ...REST })));
  } catch (error) {
    // Half a version is none; the one that works stays.
    await caches.delete(NAME);
    throw error;
  }
}

/** Have the browser take the first load's files from this version's cache itself, where it knows how: then a start
    does not wait for the worker. Exact addresses only; a file gone from the cache comes from the server either way. */
function route(/** @type {Installing} */ event) {
  const baseURL = worker.location.origin;
  const at = (/** @type {string} */ pathname) => ({ urlPattern: new URLPattern({ pathname, search: "", baseURL }) });
  // What a pattern would take for a sign of its own is meant as it stands.
  const home = HOME.replaceAll(/[{}()*+?:\\]/g, "\\$&");
  const or = Object.keys(worker.ASSETS.files).map((path) => at(home + path));
  return event.addRoutes?.({ condition: { or }, source: { cacheName: NAME } });
}

async function activate() {
  await Promise.all((await others()).map((name) => caches.delete(name)));
  await worker.clients.claim();
}

/**
 * Which of these files are not here yet.
 * @param {string[]} paths
 */
async function lackingOf(paths) {
  const cache = await caches.open(NAME);
  const here = new Set((await cache.keys()).map(({ url }) => new URL(url).pathname));
  return paths.filter((path) => !here.has(HOME + path));
}

/**
 * Keep the files of `soon` and `later`, those of `paths` that are not here yet.
 * @param {string[]} paths
 */
async function keepRest(paths) {
  const lacking = await lackingOf(paths);
  const cache = await caches.open(NAME);
  const before = lacking.length ? await earlier() : [];
  await Promise.all(lacking.map(async (path) => cache.put(HOME + path, await fetched(path, REST[path], before))));
}

/**
 * Tell a page whether every screen opens without a network, after trying where it asks for that.
 * @param {Page | null} page
 * @param {boolean} trying
 */
async function tellKept(page, trying) {
  if (trying) await keepRest(Object.keys(SOON)).catch(() => {});
  page?.postMessage({ kept: !(await lackingOf(Object.keys(SOON))).length, tried: trying });
}

/**
 * The path in the list of a request's file, or null.
 * @param {Request} request
 */
function pathOf(request) {
  const address = new URL(request.url).pathname;
  if (!address.startsWith(`${HOME}/`)) return null;
  const pathname = address.slice(HOME.length);
  if (worker.ASSETS.files[pathname] || REST[pathname]) return pathname;
  // Any address of a page is the app; its screens are in the fragment.
  const page = request.mode === "navigate" && !pathname.split("/").at(-1)?.includes(".");
  return page || pathname === "/index.html" ? "/" : null;
}

/**
 * The file of a request, kept from now on where it came later.
 * @param {Request} request
 * @param {string} path in the list
 */
async function answer(request, path) {
  const cache = await caches.open(NAME);
  const found = await cache.match(HOME + path);
  if (found) return found;
  if (REST[path]) {
    // A file that is not of this version would not fit the others: then it is an error, and the page says so.
    await keepRest([path]);
    return /** @type {Promise<Response>} */ (cache.match(HOME + path));
  }
  return fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
}

worker.addEventListener("install", (event) => event.waitUntil(Promise.all([install(), route(event)])));
worker.addEventListener("activate", (event) => event.waitUntil(activate()));
worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== worker.location.origin || pathname.startsWith("/api/")) return;
  const path = pathOf(request);
  if (path) event.respondWith(answer(request, path));
});
worker.addEventListener("message", (event) => {
  const { data, source } = event;
  if (data === "take over") worker.skipWaiting();
  // Without a server nothing is lost: it is asked again at the next start.
  if (data === "keep the rest") event.waitUntil(keepRest(Object.keys(REST)).catch(() => {}));
  if (data === "keep the app") event.waitUntil(tellKept(source, true));
  if (data === "is the app kept") event.waitUntil(tellKept(source, false));
  if (data === "which") source?.postMessage({ version: worker.ASSETS.hash });
});
