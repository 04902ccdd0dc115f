/* Which axle the bars spring and what sets the height, with what only the car's own table asks: where the adjuster
   acts, whether its link is off. Writes the car; asks no figure. Route ["layout"]. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { rowLabel } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { adjusterOf, sprungOf } from "../work/adjuster.js";
import { LAYOUTS, layoutBody, layoutOf } from "../work/layouts.js";
import { ofAxle } from "../work/sentence.js";
import { ofBoth } from "../work/weighing.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */

const SAID = {
  title: "What sets the height?",
  how: "Teeth already entered stay. Readings stay.",
  back: "Back",
  saved: "what sets the height",
  link: "Anti-roll link while heights are read",
  on: "On",
  off: "One link off",
  end: "The adjuster acts at the bar’s",
  inner: "Inner end",
  outer: "Outer end",
  longer: "A longer adjusting bolt",
  raises: "Raises",
  lowers: "Lowers",
};

/**
 * A choice of two, kept at once.
 * @param {JobContext} ctx
 * @param {{ name: string, legend: string, options: { value: string, label: string }[], chosen: string,
 *   body: (value: string) => Record<string, any> }} what
 */
function pair(ctx, { name, legend, options, chosen, body }) {
  const onchoose = async (/** @type {string} */ value) => {
    await ctx.save([["car", body(value)]], { said: legend });
  };
  return h(
    "div",
    { class: "axle" },
    h("h2", { text: legend }),
    choice({ name, legend, options, chosen, onchoose, cls: "compact" }),
  );
}

/** What may be said of this layout besides. @param {JobContext} ctx */
function details(ctx) {
  const { car } = ctx.sheet;
  const given = /** @type {any} */ (car);
  const adjuster = adjusterOf(car);
  return [
    adjuster && !adjuster.shared
      ? pair(ctx, {
          name: "adjuster-end",
          legend: SAID.end,
          options: [
            { value: "inner", label: SAID.inner },
            { value: "outer", label: SAID.outer },
          ],
          chosen: adjuster.end,
          body: (value) => ({ adjuster: { end: value } }),
        })
      : null,
    adjuster?.kind === "screw"
      ? pair(ctx, {
          name: "adjuster-longer",
          legend: SAID.longer,
          options: [
            { value: "raises", label: SAID.raises },
            { value: "lowers", label: SAID.lowers },
          ],
          chosen: given.adjuster?.longer ?? "raises",
          body: (value) => ({ adjuster: { longer: value } }),
        })
      : null,
    sprungOf(car) === "front"
      ? pair(ctx, {
          name: "link",
          legend: SAID.link,
          options: [
            { value: "off", label: SAID.off },
            { value: "on", label: SAID.on },
          ],
          chosen: given.anti_roll_off ? "off" : "on",
          body: (value) => ({ anti_roll_off: value === "off" }),
        })
      : null,
  ];
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function layout(ctx) {
  const both = ofBoth(ctx.sheet);
  const title = ofAxle(ctx.there, SAID.title);
  const chosen = layoutOf(ctx.sheet.car)?.key ?? null;
  const onchoose = async (/** @type {string} */ key) => {
    const body = layoutBody(key, ctx.sheet.car);
    if (Object.keys(body).length && (await ctx.save([["car", body]], { said: SAID.saved }))) ctx.redraw();
  };
  const rows = choice({
    name: "layout",
    legend: SAID.title,
    cls: "rows",
    chosen,
    // Which axle the job is of cannot change once both are in it.
    options: LAYOUTS.filter(({ car }) => !both || sprungOf(car) === sprungOf(ctx.sheet.car)).map(
      ({ key, words, small }) => ({ value: key, label: rowLabel({ words, small }) }),
    ),
    onchoose,
  });
  const page = shell({
    kind: "page",
    title,
    how: ctx.sheet.teardowns ? SAID.how : "",
    body: [rows, ...details(ctx)],
    main: { words: SAID.back, href: ctx.href({ words: [ctx.there ? "axle" : "list"] }) },
  });
  return { title, fresh() {}, node: page.node };
}
