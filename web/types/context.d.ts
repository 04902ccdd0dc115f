/* What a screen is given (web/context.js). */

import type { groups } from "../context/groups.js";
import type { files } from "../context/files.js";
import type { pc } from "../context/pc.js";
import type { photos } from "../context/photos.js";
import type { rest } from "../context/rest.js";
import type { Entry, Item } from "./log.d.ts";
import type { Folded } from "./sheet.d.ts";

/** Where a screen is: words and query of its address. */
export interface Route {
  words: string[];
  query?: { [name: string]: string | number | undefined };
}

/** What a screen gives back. */
export interface Shown {
  title: string;
  node: Element;
  /** The element to start at. */
  focus?: HTMLElement | null;
  /** Called instead of drawing again when the job changed elsewhere. */
  fresh?: () => void;
  /** Settles once there is on the screen what it is for, where that comes after drawing it. */
  stands?: Promise<void>;
  /** What stands in the car's place in the bar, where the screen says so. */
  bar?: { name: string; href: string; title: string };
}

/** What was refused at a field. */
export interface Refused {
  key: string;
  detail?: string;
  [more: string]: unknown;
}

type Groups = typeof groups;

export interface Context extends Pick<Groups, "address" | "device" | "log"> {
  /** The job of the address, "" where none is meant. */
  readonly job: string;
  /** The axle that the screen is of, where it is the job's other one (web/context/there.js). */
  readonly there?: "rear" | "front";
  /** Beside it: the teardown of the job's own axle that is under way. */
  readonly begunElsewhere?: number | null;
  readonly words: string[];
  readonly query: { [name: string]: string };
  /** The job as it is, fresh after every save; null where no job is meant. */
  readonly sheet: Folded["sheet"] | null;
  readonly request: Folded["request"] | null;
  readonly stages: Folded["stages"];
  readonly timeline: Folded["timeline"];
  /** Here once `need` has resolved. */
  readonly files: typeof files;
  readonly pc: typeof pc;
  readonly photos: typeof photos;
  readonly drafts: (typeof rest)["drafts"];
  readonly model: (typeof rest)["model"];
  readonly news: (typeof rest)["news"];
  readonly shop: (typeof rest)["shop"];
  need(...names: ("files" | "pc" | "photos" | "rest")[]): Promise<void>;
  entry(id: string): Entry | null;
  entries(): Entry[];
  /** True once it is on the disk; `said` names it for the undo that is then offered. */
  save(items: Item[], how?: { said?: string }): Promise<boolean>;
  /** The id of a new job, or null where it was not kept. */
  begin(items: Item[]): Promise<string | null>;
  go(to: Route, how?: { job?: string; replace?: boolean }): void;
  href(to: Route, job?: string): string;
  redraw(): void;
  /** Whether something typed here is not saved. */
  unsaved(question: () => boolean): void;
  /** Called when the screen is left. */
  whileShown(stop: () => void): void;
  sayKept(text: string): void;
  /** Whether a draft was kept. */
  kept(work: () => void): boolean;
  /** Remember what the solver refused and go to its field. */
  refuse(problem: Refused, to: Route): void;
  problemAt(key: string): Refused | null;
  solved(key: string): void;
}

/** The context of a screen of a job: the job is there. */
export type JobContext = Context & { readonly sheet: Folded["sheet"]; readonly request: Folded["request"] };
