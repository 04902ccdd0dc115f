/* How the angle gauge is used, asked once a job before the first angle. The question itself is parts/gauge-zero.js. */

import { running } from "../parts/chance-line.js";
import { zeroScreen } from "../parts/gauge-zero.js";
import { laterItem, onward, zeroOf } from "../work/flow.js";
import { SIDES } from "../work/readings.js";
import { thenWords } from "../work/then.js";

/** @import { JobContext } from "../types/context.d.ts" */

/**
 * The screen: route word ["zero"].
 * @param {JobContext} ctx
 */
export function zero(ctx) {
  const go = () => ctx.go(onward(ctx.sheet, ctx.words, ctx.query));
  return zeroScreen(ctx, {
    chosen: zeroOf(ctx.sheet),
    done: go,
    run: running(ctx, { key: "gauge-zero" }),
    small: thenWords(onward(ctx.sheet, ctx.words, ctx.query), { words: ctx.words }),
    quiet: {
      words: "Not now",
      ontap: async () => {
        const items = SIDES.map((side) => laterItem(ctx.sheet, "riding-angle", side));
        if (zeroOf(ctx.sheet) || (await ctx.save([laterItem(ctx.sheet, "gauge-zero"), ...items], { said: "not now" })))
          go();
      },
    },
  });
}
