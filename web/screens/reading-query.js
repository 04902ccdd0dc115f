/* A reading that does not fit the rest is asked about as soon as it is kept: likely what, the value that would fit, one tap
   to take it, one to keep it all the same. The model on this phone judges; where it cannot in time, the plan will ask. */

import { strikeOf } from "../book/sheet.js";
import { already, checkedWithin } from "../model/check.js";
import { pickOne } from "../parts/dialog.js";
import { angle } from "../parts/numbers.js";
import { missing } from "./guide.js";
import { repair, words } from "./plan-doubts.js";
import { nameOf, valueOf } from "./readings.js";

const PATIENCE_MS = 2500;
const ASK = {
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

/** The doubt about an entry just kept, or null. `onwait()` when it is being worked out. */
async function doubtOf(ctx, id, onwait) {
  if (missing(ctx.sheet).length) return null;
  const { request, ids } = ctx.request;
  if (!already(request)) onwait();
  const answer = await checkedWithin(request, PATIENCE_MS);
  return answer?.doubts.find((doubt) => ids[doubt.log_index] === id) ?? null;
}

/**
 * Ask about the reading with that id where the model doubts it; what is chosen is kept. Resolves to "on" (go on) or "again"
 * (it was struck, to be read again).
 */
export async function queried(ctx, id, onwait = () => {}) {
  const doubt = await doubtOf(ctx, id, onwait);
  const reading = doubt && ctx.sheet.readings.find((each) => each.id === id);
  if (!reading) return "on";
  const fix = repair(doubt, reading, ctx.sheet);
  const fits = fix ? words(doubt, reading) : "";
  const question = ASK[doubt.guess] ?? "";
  const picked = await pickOne({
    title: `${nameOf(reading)}: ${valueOf(reading)} does not fit the rest`,
    options: [
      ...(fix
        ? [
            {
              value: "take",
              label: `Take ${fits}`,
              text: `${fits.charAt(0).toUpperCase()}${fits.slice(1)} would fit. ${question}`,
            },
          ]
        : []),
      {
        value: "again",
        label: "Read again",
        text: fix ? "This one is struck out." : `${question} This one is struck out.`.trim(),
      },
      {
        value: "keep",
        label: "Keep it all the same",
        text: "It is noted that it was kept; the plan goes on asking about it.",
      },
    ],
  });
  if (picked === "take") await ctx.save(fix, { said: "the value taken" });
  if (picked === "keep")
    await ctx.save(
      [
        [
          "note",
          {
            about: id,
            text: `Kept as read, though it does not fit the rest (${doubt.guess === "unexplained" ? "unexplained" : `${doubt.guess}?`})`,
          },
        ],
      ],
      { said: "the note" },
    );
  if (picked === "again") return (await ctx.save([strikeOf(reading)], { said: "the reading struck" })) ? "again" : "on";
  return "on";
}

/** What a gauge should show on an arm just re-indexed, following the datum as it is typed; "" where no plan says. */
export function shouldRead(planned, datum) {
  if (planned === null) return "";
  if (datum === null)
    return `By the plan the arm hangs at ${angle(planned)} to the body: the gauge shows that more than on the datum.`;
  return datum === 0
    ? `By the plan the gauge now reads ${angle(planned)}.`
    : `By the plan the gauge now reads ${angle(planned + datum)}: datum and ${angle(planned)}.`;
}
