/* What is asked about a reading that does not fit, and what a gauge should show on an arm just re-indexed. */

import { angle } from "./numbers.js";
import { missing } from "./guide.js";

export const ASK = {
  "sign flipped": "Did you turn the gauge round, or choose the other way?",
  "gauge turned round": "Did you turn the gauge round for the pair?",
  "datum missing": "Was the datum forgotten?",
  "datum sign flipped": "Does the datum slope the other way?",
  "datum of the other side": "Was the datum read on the other side?",
  "inches for millimetres": "Were these inches?",
  "centimetres for millimetres": "Were these centimetres?",
  "millimetres for inches": "Were these millimetres?",
  "sides swapped": "Are left and right exchanged?",
};

/** What a gauge should show on an arm just re-indexed, following the datum as it is typed; "" where no plan says. */
export function shouldRead(planned, datum) {
  if (planned === null) return "";
  if (datum === null)
    return `By the plan the arm hangs at ${angle(planned)} to the body: the gauge shows that more than on the datum.`;
  return datum === 0
    ? `By the plan the gauge now reads ${angle(planned)}.`
    : `By the plan the gauge now reads ${angle(planned + datum)}: datum and ${angle(planned)}.`;
}
