/* Where the draft of a reading is kept, and what the phone measured for it. The reading's screen and the gauge share it. */

/** The draft's name: a reading of one kind, side, pose and teardown, new or being changed. */
export const draftKey = ({ what, side, entry, pose, teardown }) =>
  [what, side, entry ?? "new", JSON.stringify(pose ?? {}), teardown].join("/");

const same = (one, other) => (one?.text ?? "") === (other?.text ?? "") && (one?.sign ?? null) === (other?.sign ?? null);

/** What goes with a reading that the phone took, as long as its figures are still the phone's; {} otherwise. */
export function fromPhone(typed, { how, arm, datum }) {
  const { phone } = typed ?? {};
  if (!phone || phone.how !== how || !same(phone.arm, arm) || (how === "datum" && !same(phone.datum, datum))) return {};
  return {
    method: "phone",
    sd: phone.sd,
    reversed: phone.reversed,
    ...(phone.zero === null ? {} : { zero_error_deg: phone.zero }),
  };
}
