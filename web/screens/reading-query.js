/* A reading that does not fit the rest is asked about as soon as it is kept: likely what, the value that would fit, one tap
   to take it, one to keep it all the same. The model on this phone judges; where it cannot in time, the plan will ask. */

import { strikeOf } from "../work/sheet.js";
import { already, checkedWithin } from "../model/check.js";
import { pickOne } from "../parts/dialog.js";
import { missing } from "../work/guide.js";
import { nameOf, valueOf } from "../work/readings.js";
import { repair, words } from "../work/repair.js";
import { ASK } from "../work/reading-query.js";

const PATIENCE_MS = 2500;

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
