/* What to measure before turning a tooth: each a key that leads straight to the first reading of it. */

import { h } from "../parts/dom.js";
import { inHundred } from "../work/numbers.js";
import { startOf } from "../work/guide.js";

/** The list of advised tests; null when nothing is worth the minutes. */
export function measureNext(ctx, list, odds) {
  if (!list.length) return null;
  const [best, ...others] = list;
  const key = (test, cls) =>
    h(
      "a",
      { class: `key test ${cls}`, href: ctx.href(startOf(test, ctx.sheet)) },
      h("span", { class: "what", text: test.text }),
      h("span", {
        class: "gain",
        text: `${inHundred(odds).replace(" in 100", "")} → ${inHundred(test.odds_after)}, ${test.minutes} min`,
      }),
    );
  return h(
    "section",
    { class: "next" },
    h("h2", { text: "Measure this first" }),
    key(best, "best"),
    others.length
      ? h(
          "details",
          null,
          h("summary", { text: `Other things worth reading: ${others.length}` }),
          h(
            "div",
            { class: "next" },
            others.map((test) => key(test, "")),
          ),
        )
      : null,
  );
}
