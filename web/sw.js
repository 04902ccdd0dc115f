/* The service worker: this app's files, whole versions at a time, so that it opens without any server.

   Owns one cache per version, named by the hash in assets.js. A version is installed whole and checked against its sums,
   or not at all; it takes over only when the page says that the user agreed. Nothing below /api is ever touched: what
   the shop answers belongs to the log, and a revoked link must not open from here. */

importScripts("/assets.js");

const PREFIX = "bothends-";
const NAME = PREFIX + self.ASSETS.hash;
// Where a cache keeps the sums of its files, so that the next version fetches only what changed.
const SUMS = "/assets.sums";
const PATIENCE_MS = 4000;
const INSTALL_PATIENCE_MS = 60_000;

const hex = (buffer) => [...new Uint8Array(buffer)].map((b) => b.toString(16).padStart(2, "0")).join("");

/** Caches of other versions with their sums: [{cache, sums}]. */
async function earlier() {
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== NAME);
  return Promise.all(
    names.map(async (name) => {
      const cache = await caches.open(name);
      return { cache, sums: (await (await cache.match(SUMS))?.json()) ?? {} };
    }),
  );
}

/** One file of this version: from an earlier cache where it has not changed, else from the server; checked either way. */
async function fetched(path, sum, before) {
  const kept = before.find(({ sums }) => sums[path] === sum);
  const options = { cache: "no-cache", credentials: "omit", redirect: "error", signal: AbortSignal.timeout(INSTALL_PATIENCE_MS) };
  const reply = (await kept?.cache.match(path)) ?? (await fetch(path, options));
  if (!reply.ok) throw new Error(`${path}: the server answered ${reply.status}`);
  const body = await reply.clone().arrayBuffer();
  const came = hex(await crypto.subtle.digest("SHA-256", body));
  if (came !== sum) throw new Error(`${path} is not the file of version ${self.ASSETS.hash}`);
  return reply;
}

async function install() {
  const before = await earlier();
  const cache = await caches.open(NAME);
  try {
    await Promise.all(
      Object.entries(self.ASSETS.files).map(async ([path, sum]) => cache.put(path, await fetched(path, sum, before))),
    );
    await cache.put(SUMS, new Response(JSON.stringify(self.ASSETS.files)));
  } catch (error) {
    // Half a version is none; the one that works stays.
    await caches.delete(NAME);
    throw error;
  }
}

async function activate() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== NAME).map((name) => caches.delete(name)));
  await self.clients.claim();
}

/** The path under which the cache has a request's file, or null. */
function pathOf(request) {
  const { pathname } = new URL(request.url);
  if (self.ASSETS.files[pathname]) return pathname;
  // Any address of a page is the app; its screens are in the fragment.
  const page = request.mode === "navigate" && !pathname.split("/").pop().includes(".");
  return page || pathname === "/index.html" ? "/" : null;
}

async function answer(request, path) {
  const found = path && (await (await caches.open(NAME)).match(path));
  if (found) return found;
  return fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
}

self.addEventListener("install", (event) => event.waitUntil(install()));
self.addEventListener("activate", (event) => event.waitUntil(activate()));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== self.location.origin || pathname.startsWith("/api/")) return;
  const path = pathOf(request);
  if (path) event.respondWith(answer(request, path));
});
self.addEventListener("message", ({ data, source }) => {
  if (data === "take over") self.skipWaiting();
  if (data === "which") source?.postMessage({ version: self.ASSETS.hash });
});
