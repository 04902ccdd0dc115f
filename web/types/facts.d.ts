/* The model's table of facts as web/model/facts.js has it. */

import type { What } from "./sheet.d.ts";
import type { Target } from "./wire.d.ts";

/** A number of a request; both bounds are allowed. */
export interface Fact {
  /** As it stands behind a figure, with its space: " mm". */
  unit: string;
  low: number;
  high: number;
  whole?: boolean;
  default?: number;
  /** What is taken until it is said, in words. */
  assumed?: string;
}

/** A kind of reading. */
export interface Kind {
  unit: string;
  /** Whether a sign counts. */
  signed: boolean;
  sd: number;
  error: number;
  words: string;
  /** Read with the car on its wheels only; or the same in any pose; else as the reading says. */
  pose: "on-wheels" | "free" | "";
  /** The number of the entries' schema that first had it. */
  since: number;
}

export type Facts = Record<string, Fact>;
export type Kinds = Record<What, Kind>;
/** The form that a target has. */
export type Form = NonNullable<Target["as"]>;
export type Forms = Record<Form, string[]>;
export type Beliefs = Record<string, number>;
