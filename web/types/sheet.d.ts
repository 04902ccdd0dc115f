/* What the entries of a job come to, as api/bothends/book/sheet/ folds them on phone and PC.

   Written by hand, since MicroPython has no types to make it from; tests/book/test_sheet_types.py folds real logs and
   holds every name here against what comes out. */

import type {
  CarBody,
  CloseBody,
  Estimate,
  JobBody,
  KnownBody,
  Lift,
  MoveBody,
  NoteBody,
  PhotoBody,
  PlanBody,
  PlannedBody,
  ReadingEntry,
  Screw,
  SettleBody,
  SolveRequest,
  StepBody,
  TargetBody,
} from "./wire.d.ts";

export type Side = "left" | "right";
export type End = "inner" | "outer";
export type State = "measuring" | "planned" | "torn down" | "checked" | "closed";
/** One value for each side; null where there is none. */
export type Sides<T> = { [side in Side]: T };

type KeyOf<U> = U extends unknown ? keyof U : never;
type ValueOf<U, K> = U extends unknown ? (K extends keyof U ? U[K] : never) : never;
/** All that one of several forms may say, without asking which it is. */
export type Any<U> = { [K in keyof U]: U[K] } & { [K in Exclude<KeyOf<U>, keyof U>]?: ValueOf<U, K> };

/** What a reading may say, whatever its kind. */
export type ReadingBody = Any<ReadingEntry["body"]> & { reversed?: boolean; zero_error_deg?: number | null };
export type What = ReadingBody["what"];

/** Where a row comes from. */
export interface Row {
  id: string;
  at: string;
  device: string;
  /** Its writer's name, or the first one given on its device in this job; "" where it was asked and none was given. */
  writer: string | null;
}

/** A row that may have been corrected. */
export interface Chained extends Row {
  /** The first entry of the chain: the one to strike. */
  root: string;
  /** What it stands in place of. */
  corrected: string[];
  unsettled: boolean;
}

/** A move's own. */
export interface Numbered extends Chained {
  /** Other moves that bear its number. */
  also: string[];
}

/** A row that was taken out. */
export interface Struck extends Row {
  kind: string;
  /** The strikes that did it. */
  by: string[];
  [said: string]: unknown;
}

export type ReadingRow = ReadingBody & Chained;
export type MoveRow = MoveBody & Numbered;
/** A side of a plan as the phone writes it: with what the steps of the teardown need. */
export type PlannedSide = PlannedBody & {
  riding_deg?: number | null;
  lift?: Lift | null;
  lift_now?: Lift | null;
  hanging_now_deg?: Estimate | null;
  /** Turns of this wheel's adjuster, raising positive; what is left of it, what its screw takes. */
  turns?: number;
  raise_turns_left?: number | null;
  lower_turns_left?: number | null;
  screw?: Screw | null;
};
export type Plan = Omit<PlanBody, Side> & Sides<PlannedSide> & { cautions?: string[] };
export type PlanRow = Plan & Row;
export type NoteRow = NoteBody & Row;
export type PhotoRow = PhotoBody & Row;
export type StepRow = StepBody & Row;
export type SettleRow = SettleBody & Row;
export type CloseRow = CloseBody & Row;

/** One of the entries that contradict each other. */
export interface Said {
  entry: string;
  /** Of a field its value, null where it is taken back; of a target the whole of it; of a reading its figure; of a move
   * its teeth: left inner, left outer, right inner, right outer; of a strike null. */
  value: any;
  at: string;
  device: string;
  writer: string | null;
}

/** What a person must settle. */
export interface Conflict {
  about: "card" | "correction" | "strike" | "teardown";
  kind: "car" | "job" | "known" | "move" | "reading" | "target";
  /** Where in its card they differ, such as bar.length_mm; "" for the whole record. */
  field: string;
  teardown: number;
  entries: string[];
  /** What each of them says, in the same order. */
  values: Said[];
  /** The one that counts until then. */
  used: string;
  /** Whether no teardown may begin until then. */
  before_teardown: boolean;
  text: string;
  /** Settlements that speak of these entries; a new one names them in `replaces`. */
  settlements: string[];
  contradicted: boolean;
}

/** What was entered on a device that went by something else than what a person chose in the end. */
export interface Unsure {
  /** The entry that says what was chosen. */
  choice: string;
  kind: "car" | "move" | "target";
  /** Of a car, such as bar.inner_teeth; else "". */
  field: string;
  /** Of a move, the first teardown that it makes unsure. */
  teardown: number;
  device: string;
  writer: string | null;
  kept: Said;
  lost: Said;
  /** Readings that nobody has looked at since. */
  readings: string[];
  text: string;
}

/** An entry whose other end has not arrived. */
export interface Waiting {
  id: string;
  for: string;
}

/** An entry that this version cannot take into account. */
export interface Puzzle {
  id: string;
  kind: string;
  text: string;
}

/** An entry before which a device's clock went back. */
export interface Clock {
  id: string;
  device: string;
  text: string;
}

/** The folded job; words are "" where nobody has said. */
export interface Sheet {
  job: string;
  title: string;
  owner: string;
  wish: string;
  car_name: string;
  about: Partial<JobBody>;
  car: Partial<CarBody>;
  target: Partial<TargetBody>;
  known: Partial<KnownBody>;
  readings: ReadingRow[];
  moves: MoveRow[];
  /** Of the other axle, where the car says of that too; loads of its wheels are in `readings`. */
  other: { readings: ReadingRow[]; moves: MoveRow[]; hit: boolean | null };
  plans: PlanRow[];
  notes: NoteRow[];
  photos: PhotoRow[];
  steps: StepRow[];
  settlements: SettleRow[];
  struck: Struck[];
  /** How many moves. */
  teardowns: number;
  state: State;
  closed: CloseRow | null;
  conflicts: Conflict[];
  unsure: Unsure[];
  /** By device, the first name given on it. */
  writers: Record<string, string>;
  waiting: Waiting[];
  puzzles: Puzzle[];
  clocks: Clock[];
  /** That the customer was erased: the last record of it; null where not. */
  erased: Erased | null;
  /** How many entries. */
  entries: number;
}

/** The last record of an erasure; each null where only other records show that there was one. */
export interface Erased {
  id: string | null;
  at: string | null;
  device: string | null;
  /** Nothing else of the job is here: it is hidden until its records come again. */
  alone: boolean;
}

/** What has to be settled or entered before a plan can be made. */
export interface Stop {
  code: "unsettled-move" | "missing-move" | "missing-target";
  text: string;
  entries: string[];
}

/** The solve request of a sheet. */
export interface Request {
  request: SolveRequest;
  /** The entry at each place of the request's log. */
  ids: string[];
  stops: Stop[];
}

export interface Promised {
  odds: number;
  left_mm: number | null;
  left_sd_mm: number | null;
  right_mm: number | null;
  right_sd_mm: number | null;
}

export interface Reached {
  left_mm: number | null;
  right_mm: number | null;
  lean_mm: number | null;
}

export interface Settled {
  left_mm: number | null;
  right_mm: number | null;
}

/** The car as found (teardown 0), after a move, or at a follow-up (`after_km`). */
export interface Stage {
  teardown: number;
  after_km: number | null;
  at: string | null;
  move: string | null;
  plan: string | null;
  /** Left inner, left outer, right inner, right outer. */
  turned: number[] | null;
  /** Turns of the adjusters, left and right, raising positive. */
  turns: number[] | null;
  promised: Promised | null;
  followed: boolean | null;
  reached: Reached;
  /** Cross-weight (RF + LR) by the loads of all four wheels, [%]. */
  cross_percent: number | null;
  cross_sd_percent: number | null;
  cross_kg: number | null;
  cross_sd_kg: number | null;
  hub_mm: Sides<number | null>;
  hanging_deg: Sides<number | null>;
  riding_deg: Sides<number | null>;
  /** With the heights that it comes to. */
  target: Partial<TargetBody>;
  hit: boolean | null;
  settled: Settled | null;
  still_within: boolean | null;
  unsettled: boolean;
  /** Who entered the teeth, where nobody did the plan. */
  by: { device: string; writer: string | null } | null;
}

/** What came of a plan that was done. */
export interface Came {
  left_mm: number | null;
  right_mm: number | null;
  hit: boolean | null;
  followed: boolean | null;
}

/** What happened, in the order of the work. */
export type Happened =
  | { kind: "reading"; row: ReadingRow }
  | { kind: "move"; row: MoveRow }
  | { kind: "plan"; row: PlanRow & { came: Came | null } };

/** All that a job's entries come to. */
export interface Folded {
  sheet: Sheet;
  request: Request;
  stages: Stage[];
  timeline: Happened[];
}
