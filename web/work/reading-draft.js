/* A reading as it is typed: where its draft is kept, what the phone measured for it.
   The reading's screen and the gauge share it. */

/** @import { Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

/** @typedef {{ text?: string, sign?: number | string | null }} Figure A field as it was typed. */
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
 * @param {{ what: What, side: Side, entry?: string, pose?: PoseBody, teardown?: number,
 *   axle?: string | null }} reading
 */
export const draftKey = ({ what, side, entry, pose, teardown, axle }) =>
  [axle ? `${what}-${axle}` : what, side, entry ?? "new", JSON.stringify(pose ?? {}), teardown].join("/");

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
