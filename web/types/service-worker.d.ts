/* What web/sw.js uses of a service worker's own, as the standard has it. TypeScript's library for workers and the one
   for pages exclude each other, and all of web/ is read as one program. */

/** Whoever sent a message. */
export interface Page {
  postMessage(message: unknown): void;
}

export interface ExtendableEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}

/** Where requests that fit are answered from, without the worker; not every browser has it. */
interface Rule {
  condition: { or: { urlPattern: URLPattern }[] };
  source: { cacheName: string };
}

export interface Installing extends ExtendableEvent {
  addRoutes?(rule: Rule): Promise<void>;
}

export interface FetchEvent extends ExtendableEvent {
  readonly request: Request;
  respondWith(reply: Promise<Response>): void;
}

export interface PageMessage extends ExtendableEvent {
  readonly data: unknown;
  readonly source: Page | null;
}

interface Events {
  install: Installing;
  activate: ExtendableEvent;
  fetch: FetchEvent;
  message: PageMessage;
}

/** What web/assets.js says: files and their sums, by when they are fetched. */
export interface Assets {
  hash: string;
  files: { [path: string]: string };
  soon?: { [path: string]: string };
  later?: { [path: string]: string };
}

/** The service worker, once its list of files has been read. */
export interface AppWorker {
  readonly ASSETS: Assets;
  readonly trustedTypes?: import("../model/place.js").Policies;
  readonly location: Location;
  readonly clients: { claim(): Promise<void> };
  importScripts(address: string): void;
  skipWaiting(): Promise<void>;
  addEventListener<Name extends keyof Events>(name: Name, listener: (event: Events[Name]) => void): void;
}
