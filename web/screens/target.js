/* What is the target? Rows with their signs; the amount is asked next. Writes nothing itself.

   Routes: ["new"] without a job, ["target"] of one; with "amount" after it the amount (target-amount.js). */

import { choice } from "../parts/choice.js";
import { targetSign } from "../parts/draw/signs.js";
import { fold, rowLabel } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { AIMS, askedOf, isAim } from "../work/aims.js";
import { LAYOUTS, layoutNamed } from "../work/layouts.js";
import { ofAxle } from "../work/sentence.js";
import { ofBoth, otherAxle } from "../work/weighing.js";
import { amount } from "./target-amount.js";

/** @import { Shown } from "../types/context.d.ts" */

/** @type {any} */
const WORDS = {
  title: "What is the target?",
  raise: ["Raise by", "both, or one side"],
  lower: ["Lower by", "both, or one side"],
  level: ["Level", "higher side, mean or lower side"],
  height: ["To a height", "floor to mark"],
  angle: ["To a hanging angle", "as the car’s manual gives it"],
  cross: ["To a cross-weight", "by four scales"],
  choose: "Choose one",
  again: "Car was here before",
  layout: "Which axle, and what sets its height?",
  change: "Change",
  too: (/** @type {string} */ axle) => `The ${axle} too`,
  other: (/** @type {string} */ axle) => `The ${axle}`,
};

/**
 * A new job may be one for a car that was here: offered where there is any job.
 * @param {any} ctx
 * @param {{ show: (keys: any) => void }} deck
 */
async function offerKnown(ctx, deck) {
  const [jobs, access] = await Promise.all([ctx.log.jobs(), ctx.device.access()]);
  if (jobs.length || access) deck.show({ quiet: { words: WORDS.again, href: ctx.href({ words: ["again"] }) } });
}

/**
 * Which axle, and what sets its height: folded, since most jobs are as it stands; kept with the job once it begins.
 * @param {any} ctx
 */
function layouts(ctx) {
  const now = () => layoutNamed(ctx.drafts.draft("new", "target/layout") ?? "");
  const rows = choice({
    name: "layout",
    legend: WORDS.layout,
    cls: "rows",
    chosen: now().key,
    options: LAYOUTS.map(({ key, words, small }) => ({ value: key, label: rowLabel({ words, small }) })),
    onchoose: (key) => {
      ctx.kept(() => ctx.drafts.keep("new", "target/layout", key));
      name.textContent = now().words;
    },
  });
  // A tap has chosen; the arrows of a keyboard are still on their way.
  rows.addEventListener("click", ({ detail }) => detail && (node.open = false));
  const node = /** @type {HTMLDetailsElement} */ (fold({ title: now().words, more: WORDS.change, id: "layout" }, rows));
  const name = /** @type {HTMLElement} */ (node.querySelector("summary span"));
  return node;
}

/** The way to the other axle, from a job's own target.
 * @param {any} ctx */
function tooKey(ctx) {
  const axle = otherAxle(ctx.sheet.car);
  return { words: ofBoth(ctx.sheet) ? WORDS.other(axle) : WORDS.too(axle), href: ctx.href({ words: ["axle"] }) };
}

/** Where the amount of a target is typed; that of a cross-weight is fetched when it is wanted.
 * @param {any} ctx @param {string} aim */
const amountOf = (ctx, aim) => (aim === "cross" ? ["cross"] : [ctx.words[0], "amount"]);

/**
 * The screen.
 * @param {any} ctx
 * @returns {Shown | null}
 */
export function target(ctx) {
  if (ctx.words[1] === "amount" && isAim(ctx.query.as)) return amount(ctx);
  const place = ctx.job || "new";
  let chosen = ctx.drafts.draft(place, "target/as") ?? askedOf(ctx.sheet?.target)?.as ?? null;
  const main = () =>
    chosen
      ? { words: "Next", href: ctx.href({ words: amountOf(ctx, chosen), query: { ...ctx.query, as: chosen } }) }
      : { words: "Next", small: WORDS.choose, off: true };
  const rows = choice({
    name: "aim",
    legend: WORDS.title,
    cls: "rows",
    chosen,
    // Both axles together are planned for heights alone.
    options: AIMS.filter((aim) => !ctx.there || !["angle", "cross"].includes(aim)).map((aim) => ({
      value: aim,
      label: rowLabel({ picture: targetSign(aim), words: WORDS[aim][0], small: WORDS[aim][1] }),
    })),
    onchoose: (/** @type {string} */ aim) => {
      chosen = aim;
      ctx.kept(() => ctx.drafts.keep(place, "target/as", aim));
      page.deck.show({ main: main() });
    },
  });
  const title = ofAxle(ctx.there, WORDS.title);
  const quiet = ctx.job && !ctx.there ? tooKey(ctx) : null;
  const page = shell({ title, body: [rows, ctx.job ? null : layouts(ctx)], quiet, main: main() });
  page.node.classList.add("aims");
  const stands = ctx.job ? undefined : offerKnown(ctx, page.deck);
  return { title, fresh() {}, node: page.node, stands };
}
