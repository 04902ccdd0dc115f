/* As much of idb 8 as is used, with the stores of this app's database in it. */

import type { Meta, Stores } from "../types/log.d.ts";

export type Name = keyof Stores;

/** A store's values by key; of `meta` each name has a value of its own kind. */
export interface Store<N extends Name> extends Index<N> {
  get<K extends Stores[N]["key"]>(key: K): Promise<Value<N, K> | undefined>;
  add(value: Stores[N]["value"]): Promise<IDBValidKey>;
  delete(key: Stores[N]["key"]): Promise<void>;
  put<K extends Stores[N]["key"]>(value: Value<N, K>, key?: K): Promise<IDBValidKey>;
  delete(key: Stores[N]["key"]): Promise<void>;
  index(name: string): Index<N>;
  createIndex(name: string, path: string | string[]): Index<N>;
}

type Value<N extends Name, K> = N extends "meta" ? Stores["meta"]["value"][K & keyof Meta] : Stores[N]["value"];

export interface Index<N extends Name> {
  getAll(query?: IDBValidKey | IDBKeyRange | null, count?: number): Promise<Stores[N]["value"][]>;
  getAllKeys(query?: IDBValidKey | IDBKeyRange | null, count?: number): Promise<Stores[N]["key"][]>;
  count(query?: IDBValidKey | IDBKeyRange | null): Promise<number>;
  openCursor(
    query?: IDBValidKey | IDBKeyRange | null,
    direction?: IDBCursorDirection,
  ): Promise<ValueCursor<Stores[N]["value"]> | null>;
  openKeyCursor(query?: IDBValidKey | IDBKeyRange | null, direction?: IDBCursorDirection): Promise<KeyCursor | null>;
}

export interface KeyCursor {
  readonly key: string;
  readonly primaryKey: string;
  continue(): Promise<KeyCursor | null>;
}

export interface ValueCursor<V> {
  readonly value: V;
  continue(): Promise<ValueCursor<V> | null>;
}

/** What a transaction over at least these stores can do. */
export interface Over<N extends Name> {
  objectStore<One extends N>(name: One): Store<One>;
}

export interface Transaction<N extends Name> extends Over<N> {
  /** The store, where the transaction is over one. */
  readonly store: Store<N>;
  readonly done: Promise<void>;
  readonly error: DOMException | null;
  abort(): void;
}

export interface Database {
  transaction<N extends Name>(
    names: N[],
    mode: "readonly" | "readwrite",
    options?: { durability?: "default" | "strict" | "relaxed" },
  ): Transaction<N>;
  createObjectStore<N extends Name>(name: N, options?: IDBObjectStoreParameters): Store<N>;
  close(): void;
}

export interface Futures {
  upgrade?(db: Database, from: number, to: number | null, tx: Transaction<Name>): void;
  blocked?(current: number, wanted: number | null): void;
  blocking?(current: number, wanted: number | null, event: { target: { close(): void } }): void;
  terminated?(): void;
}

export function openDB(name: string, version: number, futures: Futures): Promise<Database>;
