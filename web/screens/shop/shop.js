/* The shop's page: whether the predictions are reliable, how often the first teardown is enough, how many a job
   takes, how far heights are off, and whether extra tests help.

   Every figure says how many it rests on, and shares have their 95 % interval: a season is small. */

import { h } from "../../parts/dom.js";
import { plate } from "../../parts/plate.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { unreadWords } from "../../work/holding-words.js";
import { plain } from "../../work/numbers.js";
import { spans } from "../../work/units.js";
import { hundredths, ofMany, reliability } from "../../work/pc/reliability.js";
import { addressOf, asks, pathTo } from "../../work/pc/shop-asks.js";
import { counted } from "../../work/plural.js";
import { narrowing } from "./shop-find.js";
import { calibration, misses, perJob } from "./shop-plots.js";
import { helped } from "./shop-tests.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { Calibration, Rate } from "../../types/wire.d.ts" */

/** How often the figures renew themselves while the shop reads what an import brought. */
const READING_MS = 5000;
const SAID = {
  title: "Shop statistics",
  loading: "Loading…",
  question: "Are the predictions reliable?",
  none: "none yet",
  first: "On target first time",
  firstAdjusted: "On target after the first adjustment",
  inHundred: (/** @type {string} */ share) => `${share} in 100`,
  firstRests: (/** @type {string} */ of, /** @type {string} */ low, /** @type {string} */ high) =>
    `${of} jobs whose first teardown was read; 95 % interval ${low} to ${high}.`,
  firstNone: "No job has been read after its first teardown.",
  per: "Teardowns for a job",
  perRests: (/** @type {number} */ n) => counted(n, "Mean of {n} job handed over.", "Mean of {n} jobs handed over."),
  perNone: "No job has been handed over.",
  heights: "Predicted and measured heights",
  heightsRest: (/** @type {number} */ n, /** @type {string} */ mean, /** @type {string} */ sd) =>
    counted(
      n,
      `Root mean square of {n} height; mean ${mean}. That is ${sd} predicted standard deviations; 1 is as ` +
        "predicted.",
      `Root mean square of {n} heights; mean ${mean}. That is ${sd} predicted standard deviations; 1 is as ` +
        "predicted.",
    ),
  heightsNone: "No height has been measured after a plan.",
  noAnswer: "The shop gave no answer.",
  needsShop: "These figures need all jobs, which only the shop has.",
  allJobs: "All jobs",
  renewed: "These figures renew themselves.",
};

/** @param {string} name @param {string | null} big null where there is none yet @param {string} text */
const figure = (name, big, text) =>
  h(
    "section",
    { class: "head-figure" },
    h("h2", { text: name }),
    h("strong", { text: big ?? SAID.none }),
    h("p", { class: "where", text }),
  );

/** A length with the unit chosen, decimals in either: "2.4 mm", "0.09 in". @param {number} mm */
function bare(mm) {
  const { figure, unit, finer } = spans();
  return `${plain(figure(mm), 1 + finer)} ${unit}`;
}

/** @param {Rate} first @param {string} [label] */
const firstFigure = (first, label = SAID.first) =>
  figure(
    label,
    first.share === null ? null : SAID.inHundred(hundredths(first.share)),
    first.count
      ? SAID.firstRests(ofMany(first), hundredths(first.share_low), hundredths(first.share_high))
      : SAID.firstNone,
  );

/** @param {Calibration} found */
function heads({ first_teardown: first, first_adjustment: adjusted, height_error: error, teardowns_per_job: per }) {
  const closed = per.reduce((sum, row) => sum + row.handed_over, 0);
  const teardowns = per.reduce((sum, row) => sum + row.handed_over * row.teardowns, 0);
  return h(
    "div",
    { class: "head-figures" },
    firstFigure(first),
    adjusted?.count ? firstFigure(adjusted, SAID.firstAdjusted) : null,
    figure(SAID.per, closed ? plain(teardowns / closed, 2) : null, closed ? SAID.perRests(closed) : SAID.perNone),
    figure(
      SAID.heights,
      error.rms_mm === null ? null : bare(error.rms_mm),
      error.count
        ? SAID.heightsRest(error.count, bare(error.mean_mm ?? 0), plain(error.rms_sd ?? 0, 2))
        : SAID.heightsNone,
    ),
  );
}

/** The question that comes first, and its answer.
 * @param {Calibration} found */
function verdict(found) {
  const { good, title, text } = reliability(found);
  return h(
    "section",
    { class: "reliable" },
    h("h2", { text: SAID.question }),
    good === null
      ? h("div", { class: "verdict-plate plain" }, h("h3", { text: title }), h("p", { class: "says", text }))
      : plate({ good, title, text, level: "h3" }),
  );
}

/** @param {Context} ctx @param {Calibration} found */
function parts(ctx, found) {
  return [
    found.unread
      ? h("p", { class: "working", role: "status", text: `${unreadWords(found.unread)} ${SAID.renewed}` })
      : null,
    verdict(found),
    heads(found),
    h("div", { class: "plots" }, calibration(ctx, found), perJob(ctx, found), misses(ctx, found)),
    helped(found),
    h("div", { class: "keys" }, h("a", { class: "key", href: "#/table" }, SAID.allJobs)),
  ].filter((part) => part !== null);
}

/** The screen.
 * @param {Context} ctx @returns {Shown} */
export function shop(ctx) {
  useStyle("car");
  useStyle("table");
  const asked = asks(ctx.query);
  const rest = h("div", { class: "car-rest" }, h("p", { class: "working", role: "status", text: SAID.loading }));
  let turn = 0;
  /** @type {(() => void)[]} */
  let stops = [];
  const stop = () => {
    for (const one of stops.splice(0)) one();
  };
  let renewing = 0;
  ctx.whileShown(() => {
    turn += 1;
    clearTimeout(renewing);
    stop();
  });
  // Plots of figures that are narrowed anew are no longer listened to.
  const shown = { ...ctx, whileShown: (/** @type {() => void} */ one) => stops.push(one) };
  async function look() {
    const mine = (turn += 1);
    const { body, problem, lack } = await ctx.pc.askShop(pathTo(asked));
    if (mine !== turn) return;
    const said = lack ?? { code: "not-ours", text: problem?.detail ?? SAID.noAnswer };
    stop();
    find.node.hidden = !body;
    if (body) find.offer(body.choices);
    rest.replaceChildren(...(body ? parts(shown, body) : [lackNote(said, SAID.needsShop, look)]));
    clearTimeout(renewing);
    if (body?.unread) renewing = setTimeout(look, READING_MS);
  }
  const find = narrowing(asked, (change) => {
    Object.assign(asked, change);
    find.show();
    history.replaceState(null, "", ctx.href({ words: ["shop"], query: addressOf(asked) }, ""));
    document.body.dataset.at = location.hash;
    look();
  });
  look();
  return {
    title: SAID.title,
    fresh() {},
    node: h("div", { class: "shop-page" }, h("h1", { text: SAID.title }), find.node, rest),
  };
}
