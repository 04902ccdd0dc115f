/* A reading as it is typed: where its draft is kept, what the phone measured for it, the body of the entry it becomes.
   The reading's screen and the gauge share it. */

import { said } from "./sheet.js";

/** @import { Body } from "../types/log.d.ts" */
/** @import { ReadingRow, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/** @typedef {{ text?: string, sign?: number | string | null }} Figure A field as it was typed. */
/** @typedef {{ value: number | null, state?: Figure }} Field */
/**
 * @typedef {object} FromPhone What the phone measured, and the fields as they stood then.
 * @property {string} how
 * @property {Figure} arm
 * @property {Figure} [datum]
 * @property {number} sd
 * @property {boolean} reversed
 * @property {number | null} zero
 */
/** @typedef {{ phone?: FromPhone | null } | null | undefined} Typed The draft of a reading. */

/**
 * The draft's name: a reading of one kind, side, pose and teardown, new or being changed.
 * @param {{ what: What, side: Side, entry?: string, pose?: PoseBody, teardown?: number }} reading
 */
export const draftKey = ({ what, side, entry, pose, teardown }) =>
  [what, side, entry ?? "new", JSON.stringify(pose ?? {}), teardown].join("/");

/**
 * @param {Figure} [one]
 * @param {Figure} [other]
 */
const same = (one, other) => (one?.text ?? "") === (other?.text ?? "") && (one?.sign ?? null) === (other?.sign ?? null);

/**
 * What goes with a reading that the phone took, as long as its figures are still the phone's; {} otherwise.
 * @param {Typed} typed
 * @param {{ how: string, arm?: Figure, datum?: Figure }} now
 */
export function fromPhone(typed, { how, arm, datum }) {
  const phone = typed?.phone;
  if (!phone || phone.how !== how || !same(phone.arm, arm) || (how === "datum" && !same(phone.datum, datum))) return {};
  return {
    method: "phone",
    sd: phone.sd,
    reversed: phone.reversed,
    ...(phone.zero === null ? {} : { zero_error_deg: phone.zero }),
  };
}

const PHONES = ["method", "sd", "reversed", "zero_error_deg"];

/**
 * The body of the entry as it stands, or null while a figure is missing. `arm`, `datum`: {value, state} of the fields,
 * datum null for what has no sign; `how` the gauge is used; `entry` the reading that is changed; `typed` its draft.
 * @param {{ what: What, side: Side, pose?: PoseBody | null, teardown?: number, entry?: ReadingRow | null, how: string,
 *   typed?: Typed, resettled?: string | number | null, arm: Field, datum: Field | null }} reading
 * @returns {Body | null}
 */
export function readingBody({ what, side, pose, teardown, entry, how, typed, resettled, arm, datum }) {
  const byDatum = how === "datum";
  const against = byDatum ? (datum?.value ?? null) : null;
  if (arm.value === null || (byDatum && against === null)) return null;
  // Of a reading that is changed, everything else stays as it was said, fields of newer versions too.
  const { datum: _, reference: __, ...rest } = entry ? said(entry) : {};
  // Figures typed over the phone's are no longer the phone's.
  const other = entry && (entry.value !== arm.value || (entry.datum ?? null) !== against);
  if (entry?.method === "phone" && other) for (const name of PHONES) delete rest[name];
  /** @type {Body} */
  const body = {
    ...rest,
    what,
    side,
    value: arm.value,
    teardown,
    ...fromPhone(typed, { how, arm: arm.state, datum: datum?.state }),
  };
  if (byDatum) body.datum = against;
  if (datum && how === "gravity") body.reference = "gravity";
  if (pose) body.pose = pose;
  if (!entry && resettled) body.resettled = Number(resettled);
  if (entry) body.corrects = entry.id;
  return body;
}

/**
 * Whether a reading that is changed says the same as before.
 * @param {ReadingRow} entry
 * @param {Body} body
 */
export const sameFigures = (entry, body) =>
  /** @type {("value" | "datum" | "reference")[]} */ (["value", "datum", "reference"]).every(
    (name) => (entry[name] ?? null) === (body[name] ?? null),
  );
