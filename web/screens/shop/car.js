/* A car's page: how its visits went, in a line and as the car from behind; what is known of it, by what that costs the
   chance; a new job that begins with what is known; heights and angles over time.

   The shop knows every visit; without it the page shows those on this device. */

import { h } from "../../parts/dom.js";
import { notAllWords } from "../../parts/not-all.js";
import { fold } from "../../parts/plate.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { titleOf } from "../../work/again.js";
import { stepsOf } from "../../work/pc/car-steps.js";
import { headline, visitsOf } from "../../work/pc/car-visits.js";
import { pathOf } from "../../work/pc/path-of.js";
import { anew } from "./car-again.js";
import { constants } from "./car-constants.js";
import { angles, crossWeights, heights } from "./car-plots.js";
import { promises, visitCards } from "./car-visits.js";
import { whichCar } from "./car-which.js";
import { named } from "../../work/this-device.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { CarFound } from "../../work/pc/car-local.js" */

const SAID = {
  title: "A car",
  loading: "Loading…",
  notFound: "Car not found.",
  noAnswer: "No answer from the shop.",
  get here() {
    return named("Below: the visits on {here}.");
  },
  get notHere() {
    return named("No visits of this car on {here}.");
  },
  noName: "Car without a name",
  visits: "Visits, the last first",
  overTime: "Heights, cross-weight and angles over time",
  noHeights: "No height or angle read yet.",
  allJobs: "All jobs",
  itsJobs: "Jobs of this car",
  shop: "Shop statistics",
  erase: "Erase customer…",
};

/** Both plots, folded: the rear views above say what matters.
 * @param {Context} ctx @param {CarFound} found */
function overTime(ctx, found) {
  const steps = stepsOf(found.teardowns);
  return fold(
    { title: SAID.overTime, level: "h2" },
    steps.length
      ? h("div", { class: "plots" }, heights(ctx, steps), crossWeights(ctx, steps), angles(ctx, steps))
      : h("p", { text: SAID.noHeights }),
  );
}

/** @param {Context} ctx @param {CarFound} found @param {boolean} local @param {() => void} again
 * @returns {HTMLElement[]} */
function parts(ctx, found, local, again) {
  const which = whichCar(ctx, found, again);
  const came = visitsOf(found);
  const all = [
    h("p", { class: "headline", text: `${headline(came, found.visit_count)}.` }),
    which.wrong,
    ...which.asks,
    anew(ctx, found),
    visitCards(ctx, came, SAID.visits),
    constants(ctx, found, local),
    promises(ctx, found.teardowns),
    overTime(ctx, found),
    which.rest,
    h(
      "div",
      { class: "keys" },
      h("a", { class: "key", href: pathOf("#/table", { car: found.car }) }, SAID.itsJobs),
      h("a", { class: "key", href: "#/shop" }, SAID.shop),
      came.length ? h("a", { class: "key", href: pathOf("#/erase", { job: came[0].job }) }, SAID.erase) : null,
    ),
  ];
  return all.filter((part) => part !== null);
}

/** The screen.
 * @param {Context} ctx @returns {Shown} */
export function car(ctx) {
  useStyle("car");
  const { key = "", job = "" } = ctx.query;
  const heading = h("h1", { text: SAID.title });
  const rest = h("div", { class: "car-rest" }, h("p", { class: "working", role: "status", text: SAID.loading }));
  const shown = { key, job };
  let gone = false;
  ctx.whileShown(() => (gone = true));

  async function look() {
    const { found, problem, lack, local } = await ctx.pc.carAt(shown.key, { job: shown.job });
    const unread = found && "unread" in found ? Number(found.unread) : 0;
    const lacks = await notAllWords(ctx, { lack, unread }).catch(() => "");
    if (gone) return;
    const instead = `${found ? SAID.here : SAID.notHere} ${lacks}`.trim();
    const reading = lacks ? h("p", { class: "working", role: "status", text: lacks }) : null;
    const note = lack ? lackNote(lack, instead, look) : reading;
    if (!found) {
      const text = problem?.code === "not-found" ? SAID.notFound : (problem?.detail ?? SAID.noAnswer);
      rest.replaceChildren(
        note ?? h("p", { class: "refused", role: "alert", text }),
        h("a", { class: "key", href: "#/table" }, SAID.allJobs),
      );
      return;
    }
    heading.textContent = titleOf({ car: found.car || SAID.noName, owner: found.owner });
    document.title = heading.textContent;
    rest.replaceChildren(...(note ? [note] : []), ...parts(ctx, found, local, look));
    // What is said here may give the car another key; then it is found by its visit.
    Object.assign(shown, { key: found.car_key, job: found.visits[0].job });
  }
  look();
  return { title: SAID.title, fresh() {}, node: h("div", { class: "car-page" }, heading, rest) };
}
