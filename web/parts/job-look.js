/* A job to look at before anything of it is kept: where it stands, the plan, the steps with their cautions. Read
   only: no key here writes. The plan is the one that was kept for the next teardown, else it is worked out anew. */

import { cautions } from "./cautions.js";
import { dataTable } from "./data-table.js";
import { h } from "./dom.js";
import { endPicture } from "./draw/ends.js";
import { adjusterOf, turnsNothing, turnWords, workName } from "../work/adjuster.js";
import { angle, inHundred, teeth as teethWords, turns as turnsOf } from "../work/numbers.js";
import { length } from "../work/units.js";
import { shortDate } from "../work/dates.js";
import { onTarget } from "../work/flow.js";
import { needs } from "../work/guide.js";
import { planFor, promised, promisedOf } from "../work/promise.js";
import { cautionOf, degreesOf, liftOf, seenWords, turnOf } from "./teardown-step.js";
import { END_NAMES } from "../work/teardown-order.js";
import { SIDES, isDone, stepsOf, underWay } from "../work/teardown-steps.js";
import { aimWords, formOf, markOf } from "../work/wish.js";
import { STANDING } from "../work/safety.js";
import { inDegrees } from "../work/sheet.js";
import { titled, wayName } from "../work/sentence.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { End, Folded, Plan, Sheet, Side } from "../types/sheet.d.ts" */
/** @import { Step } from "../work/teardown-steps.js" */
/** @typedef {import("../work/adjuster.js").Adjusts} Adjusts */
/** @typedef {Sheet["car"]["bar"]} Bar */
/**
 * @typedef {{ plan: Plan, cautions: string[], turns?: boolean, stopped?: string[] }} Found The plan, and whether
 *   it turns anything.
 */

/** What holds for every job stands before all else already, where this is read. */
const STANDS = STANDING.map(({ word, text }) => `${word}. ${text}`);
const none = "not measured";
const unset = "not set";
const height = (/** @type {number | null | undefined} */ value) =>
  value === null || value === undefined ? none : length(value, 0);

/** Heights as found, now and wanted. @param {Folded} all */
export function heights({ sheet, stages }) {
  const head = ["As found", ...(stages.length > 1 ? ["Now"] : []), "Target"];
  const target = { ...stages[0]?.target, ...sheet.target };
  const told = formOf(target) === "heights" && markOf(target) === "body-height";
  const row = (/** @type {Side} */ side) => [
    side,
    height(stages[0]?.reached[`${side}_mm`]),
    ...(stages.length > 1 ? [height(stages.at(-1)?.reached[`${side}_mm`])] : []),
    markOf(target) === "body-height" && (target[`${side}_mm`] ?? null) !== null ? height(target[`${side}_mm`]) : unset,
  ];
  const caption = told ? "Ride heights" : `Ride heights; target: ${aimWords(target)}`;
  return h("div", { class: "table" }, dataTable({ caption, head: ["", ...head], rows: SIDES.map(row) }));
}

/** One end of a side: the arm as it is turned, and how many teeth.
 * @param {{ side: Side, end: End, teeth: number, bar: Bar }} about */
function endOf({ side, end, teeth, bar }) {
  const words = `${END_NAMES[end]}: ${teethWords(teeth)}`;
  const way = teeth > 0 ? /** @type {const} */ ("down") : /** @type {const} */ ("up");
  const turn = teeth ? { way, deg: Math.abs(degreesOf({ end, teeth }, bar)) } : {};
  return h("div", null, endPicture({ side, end, ...turn, label: words }), h("p", null, h("strong", { text: words })));
}

/** One side of the plan. @param {Plan} plan @param {Side} side @param {Sheet["car"]} car */
function corner(plan, side, car) {
  const kind = adjusterOf(car)?.kind;
  const { inner, outer, hanging_deg: hanging, turns: turned } = plan[side];
  const hangs = typeof hanging === "number" ? angle(hanging) : none;
  const still = h("p", {
    text: inDegrees(plan) && plan[side].turn_deg ? `Turn ${turnsOf(plan[side])}. Teeth not counted yet.` : "No change.",
  });
  return h(
    "section",
    { class: `corner ${side}`, "aria-label": `${side} side` },
    h("h3", null, h("span", { class: `side-name ${side}`, text: side }), " side"),
    inner || outer
      ? h(
          "div",
          { class: "ends" },
          /** @type {const} */ (["inner", "outer"]).map((end) =>
            endOf({ side, end, teeth: plan[side][end] ?? 0, bar: car.bar }),
          ),
        )
      : turned
        ? null
        : still,
    turned ? h("p", null, h("strong", { text: titled(turnWords(turned, kind)) })) : null,
    inner || outer ? h("p", { class: "seen", text: `${titled(seenWords(car, side))}.` }) : null,
    h("p", {
      text: `Ride height after: ${promisedOf(plan[side])}. Hanging angle, arm to body: ${hangs}.`,
    }),
  );
}

/** Every step, ticked or not. @param {Sheet} sheet @param {Plan} plan */
function steps(sheet, plan) {
  const item = (/** @type {Step} */ step) =>
    h(
      "li",
      { class: "step look" },
      h(
        "h3",
        null,
        step.side ? [h("span", { class: `side-name ${step.side}`, text: step.side }), ", "] : null,
        step.name,
        isDone(sheet, plan, step) ? " (done)" : "",
      ),
      turnOf(step, sheet.car),
      step.text ? h("p", { text: step.text }) : null,
      liftOf(step),
      cautionOf(step),
    );
  return h(
    "section",
    null,
    h("h2", { text: `Steps of ${workName(plan)} ${plan.teardown}` }),
    h("ol", { class: "steps" }, stepsOf(plan, sheet).map(item)),
  );
}

/** The plan for the next teardown, or why there is none.
 * @param {Context} ctx @param {Folded} all @returns {Promise<Found | { why: string }>} */
async function planOf(ctx, { sheet, request, stages }) {
  if (sheet.closed) return { why: `Handed over on ${shortDate(sheet.closed.at)}.` };
  // A car that is on target is turned no further, whatever another plan would promise.
  if (!underWay(sheet) && onTarget(stages, sheet) === true) return { why: "On target: nothing more to turn." };
  const number = underWay(sheet) ?? sheet.teardowns + 1;
  const kept = planFor(sheet, number);
  // One that another program wrote may lack what is shown here; then it is worked out anew.
  if (
    typeof kept?.label === "string" &&
    SIDES.every((side) => (kept[side]?.body_height_mm || kept[side]?.rise_mm) && "hanging_deg" in kept[side])
  )
    return { plan: kept, cautions: kept.cautions ?? [] };
  if (request.stops.some(({ code }) => code === "unsettled-move" || code === "missing-move"))
    return { why: "No plan until the conflict about the teeth turned is resolved." };
  if (needs(sheet).length) return { why: "Not enough readings for a plan yet." };
  const { answer } = await ctx.model.askForPlan(request.request);
  const [option] = answer.options;
  const body = promised({ option, answer, target: request.request.target, teardown: number });
  return {
    plan: body,
    cautions: [...option.cautions, ...answer.cautions],
    turns: !turnsNothing(option),
    stopped: option.stopped_by,
  };
}

/** @param {Folded} all @param {Found} found */
function planned({ sheet }, { plan, cautions: list, turns = true, stopped = [] }) {
  return [
    h(
      "section",
      { class: "plan-part" },
      h("h2", { text: `Plan: ${wayName(plan.label ?? "")}` }),
      stopped.length
        ? h("p", null, h("strong", { text: "Not possible: " }), stopped.join(" "))
        : h(
            "p",
            null,
            h("strong", { text: inHundred(plan.odds) }),
            formOf(plan.target) === "hanging-angle"
              ? " that both hanging angles are on target."
              : " that heights and lean are on target.",
          ),
      turns
        ? h(
            "div",
            { class: "corners" },
            SIDES.map((side) => corner(plan, side, sheet.car)),
          )
        : null,
    ),
    cautions(
      "Before you turn anything",
      list.filter((text) => !STANDS.includes(text)),
    ),
    turns ? steps(sheet, plan) : null,
  ].filter((part) => part !== null);
}

/**
 * The plan and its steps; `ready` settles once they stand there, or why there are none.
 * @param {Context} ctx
 * @param {Folded} all what fold gives for its entries
 * @returns {{ node: HTMLElement, ready: Promise<void> }}
 */
export function lookAt(ctx, all) {
  const place = h(
    "div",
    { class: "looking", role: "status" },
    h("p", { class: "working", text: "Calculating the plan…" }),
  );
  const show = (/** @type {Node[]} */ ...nodes) => {
    // Only the wait is announced; the plan itself is there to be read.
    place.removeAttribute("role");
    place.replaceChildren(...nodes);
  };
  const ready = planOf(ctx, all)
    .then((found) => show(...("plan" in found ? planned(all, found) : [h("p", { text: found.why })])))
    .catch((problem) => show(h("p", { text: `No plan: ${problem.detail ?? problem.message}` })));
  return { node: place, ready };
}
