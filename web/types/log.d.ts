/* The phone's log: entries as they travel, and what stands beside them in its database (web/book/base.js). */

import type { Sheet } from "./sheet.d.ts";
import type { Letterhead } from "./wire.d.ts";

/** What an entry says; what that means is the sheet's business. */
export type Body = { [name: string]: any };

/** An entry as it travels. A newer app may have put more into it; that is kept. */
export interface Entry {
  schema?: number;
  id: string;
  job: string;
  device: string;
  device_seq?: number | null;
  /** The writer's clock, RFC 3339. */
  at: string;
  kind: string;
  /** Of a card: the entries of it that its writer had in front of it. */
  saw?: string[] | null;
  /** Who wrote it, by the name given on the device; "" where nobody gave one when asked. */
  writer?: string | null;
  /** The job's last record of kind erase that its writer knew of: what it says was written afterwards. */
  erasure?: string | null;
  /** Its words are gone, since the customer was erased; its figures stand. "car": only names of a car are gone. */
  erased?: boolean | "car" | null;
  body: Body;
}

/** A kind and what is said: an entry to be. */
export type Item = [kind: string, body: Body];

/** Where an entry came from. */
export type Came = "here" | "shop" | "device" | "link" | "file";

/** Why the shop refused an entry. */
export interface Why {
  code: string;
  path: string;
  detail: string;
}

export type MarkState = "waiting" | "shop" | "refused";

/** What has become of an entry on its way to the shop; `n` counts arrivals on this phone. */
export interface Mark {
  id: string;
  job: string;
  n: number;
  state: MarkState;
  why?: Why;
  /** Why it was refused before it was settled. */
  before?: Why;
}

/** What the shop answered for one entry; `stored` is another content that it has under the id. */
export interface Answer {
  id: string;
  state: "shop" | "refused";
  why?: Why;
  stored?: Entry;
  /** The shop keeps it without its words; "car": without names that said which car it is. */
  erased?: true | "car";
}

/** When somebody settled which contents hold, and the entries that say so. */
export interface Settlement {
  at: string;
  wrote: string[];
}

/** Another content that came under an id this phone has. */
export interface Disputed {
  key: string;
  id: string;
  entry: Entry;
  came: Came;
  at: string;
  settled?: Settlement;
}

/** The disputes of one entry; `settled` is null while the question is open. */
export interface Dispute {
  id: string;
  job: string;
  mine: Entry;
  others: Pick<Disputed, "key" | "entry" | "came" | "at">[];
  settled: Settlement | null;
}

/** What merging came to: ids, and for rows that are no entries which and why. */
export interface Merged {
  added: string[];
  known: string[];
  disputed: string[];
  unfit: { index: number; why: string }[];
}

/** How many entries stand where. */
export type Counts = Record<MarkState, number>;

/** The shop's key for this device. */
export interface Access {
  key: string;
  id: string;
  name: string;
}

/** How far which book of the shop has been read: up to the entry numbered `after`, whose id is `id` (older cursors have
    none). `acked` is an entry that the shop has answered for under a higher number and that has not come back yet. */
export interface Place {
  epoch: string | null;
  after: number;
  id?: string;
  acked?: { seq: number; id: string };
  /** How far the contents were read that came to the shop under ids which were taken. */
  others?: number;
  /** Whether this device holds some of the shop's jobs only: those whose row says `whole`. */
  some?: boolean;
  /** Whether the list of jobs was not whole when it was read, so that there may be open ones to fetch. */
  unlisted?: boolean;
  /** How far the list of all jobs was read, where all are to be fetched: which of its lists, behind which number, and
      whether it has ended. */
  rest?: { state: "" | "hidden"; after: number; ended?: boolean };
}

/** How a job's card looks, worked out when the job was folded; sentences in the unit of lengths that was chosen then. */
export interface Card {
  name: string;
  /** The target, or the request in the customer's words; "" where neither was said. */
  target: string;
  /** Which of the stages is in hand, from 0; as many as there are where all are done. */
  at: number;
  stages: string[];
  stage: string;
  /** Where it stands, in a sentence; the same shorter, for the key that goes on. */
  stands: string;
  place: string;
  small: string;
  next: { words: string[]; query: { [name: string]: string | number | undefined } };
  /** Made by mistake, and left out of the lists. */
  hidden: boolean;
  /** Handed over; and what is still to be done then, or null. */
  done: boolean;
  due: string | null;
  /** How much a person has to settle. */
  asks: number;
  /** What a search looks at, in lower case. */
  text: string;
  /** That the customer was erased, and when; null where nobody was. */
  erased: Sheet["erased"];
}

/** What this device has of a job beside its entries. */
export interface JobRow {
  job: string;
  shelf: "open" | "closed" | "hidden";
  /** The greatest id of its entries, as far as they are known: by it lists are ordered. */
  last: string;
  /** Grows with every write of entries to it. */
  grown: number;
  /** By what the card was made; "" where entries came since. */
  made: string;
  /** Whether all its entries are here that the shop had when it was read last; nothing is written to a job without. */
  whole: boolean;
  /** How far the shop's book was when its entries were fetched, where they were fetched by job. */
  upto?: number;
  /** Whether it is to be fetched whole; missing where not. */
  wanted?: 1;
  /** How much there is to settle, and whether it is to be rechecked; missing where not. */
  asks?: number;
  due?: 1;
  card: Card | null;
}

/** Single values, by name. */
export interface Meta {
  device: { id: string; seq: number };
  count: number;
  access: Access | null;
  sync: Place | null;
  synced_at: number;
  /** How many jobs the shop had when it was last asked, hidden ones too, and the epoch of that book. */
  shop_jobs: { epoch: string | null; total: number };
  /** The epoch of the book that photos were last offered to. */
  photos_of: string | null;
  simulated: boolean;
  help: string | null;
  /** Where devices best reach the shop, and its public copy of the app, as its server last said; folders. */
  address: string | null;
  public_copy: string | null;
  /** The shop as its papers name it, as it last said. */
  letterhead: Letterhead;
  /** By job, where it was kept from. */
  senders: Record<string, Sender>;
  /** Who writes here; "" where the device was asked and nobody gave a name, missing where it was not asked. */
  writer: string;
  /** By job, how many entries had arrived on this device when its Log was last looked at. */
  looked: Record<string, number>;
  /** By which number people at the shop call a job. */
  [job: `number ${string}`]: number;
  /** The job that each short link was kept as. */
  kept_links: Record<string, string>;
  /** By job, the last record of kind erase that this device goes by; "" where only its entries show that. */
  erasures: Record<string, string>;
  /** The same of those that take names of a car alone. */
  unnamed: Record<string, string>;
  /** What an erasure has still to take beside the log: drafts of jobs, photos. */
  gone: { jobs: string[]; photos: string[] };
}

/** Who sent a job by link or file, as that says, and the address of the shop that it goes back to. */
export interface Sender {
  name?: string;
  address?: string;
}

export type PhotoState = "waiting" | "shop" | "removed";

/** A photo whose bytes are on this device; `seen` ms since 1970. */
export interface KeptPhoto {
  sha256: string;
  size: number;
  state: PhotoState;
  seen: number;
  /** Why the shop did not take it. */
  why?: string;
}

/** The stores of the database; photos and bytes are those of the database of photos. */
export interface Stores {
  photos: { key: string; value: KeptPhoto };
  bytes: { key: string; value: ArrayBuffer };
  entries: { key: string; value: Entry };
  marks: { key: string; value: Mark };
  disputed: { key: string; value: Disputed };
  meta: { key: keyof Meta; value: Meta };
  jobs: { key: string; value: JobRow };
}

/** Word between the pages of this app (web/book/tabs.js). */
/** An element in data: its name, its attributes, then what is in it. */
export type Tree = [tag: string, set: { [name: string]: string }, ...inside: (string | Tree)[]];

export type Message =
  | { what: "entries"; jobs: string[]; came: Came }
  | { what: "marks"; jobs: string[] }
  | { what: "cards"; jobs: string[] }
  | { what: "access" }
  | { what: "unsaved?"; from: number }
  | { what: "unsaved"; to: number };
