/* Hand-over: the verdict, the checks before the road, and the key that closes the job; what is open is named
   first. The tables stand folded, what is sent or printed below. A closed job shows when it was handed over and
   leads to its recheck. */

import { h } from "../parts/dom.js";
import { choice } from "../parts/choice.js";
import { pickOne } from "../parts/dialog.js";
import { fold, keyRows, plate } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { ticks } from "../parts/ticks.js";
import { warning } from "../parts/warning.js";
import { adjusterOf, sprungOf } from "../work/adjuster.js";
import { checksOf } from "../work/checks.js";
import { shortDate } from "../work/dates.js";
import { openOf, openThere, ticked } from "../work/handover.js";
import { rechecks, reminder } from "../work/due.js";
import { RENEWED, recheckOf, renewedOf, settlesWords } from "../work/recheck.js";
import { STANDING } from "../work/safety.js";
import { STEPS } from "../work/step-cautions.js";
import { underWay } from "../work/teardown-steps.js";
import { ofAxle, titled } from "../work/sentence.js";
import { lastOfDay } from "../work/sheet.js";
import { verdictOf } from "../work/verdict.js";
import { walkOf } from "../work/walk.js";
import { otherAxle } from "../work/weighing.js";
import { aimWords, withinWords } from "../work/wish.js";
import { tables } from "./close-tables.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { CloseRow } from "../types/sheet.d.ts" */

/** @import { Caution } from "../work/safety.js" */

const SAID = {
  here: (/** @type {string} */ axle, /** @type {string} */ there) =>
    `${titled(axle)} on target. ${there.replace(/\.$/, "")}`,
  title: "Hand-over",
  over: "Hand over",
  back: "Back",
  check: "Check",
  steps: "Steps",
  plan: "Plan",
  note: "Note (optional)",
  noteHint: "Owner drove it",
  odometer: "Odometer, with its unit (optional)",
  odometerHint: "84 210 km",
  renewed: "Renewed at this visit (optional)",
  checks: "Before the road",
  tables: "Before and after, teeth, predicted",
  tablesTurned: "Before and after, turns, predicted",
  cautions: "Cautions",
  target: (/** @type {string} */ aim, /** @type {string} */ within) => `Target: ${aim}, each ${within}.`,
  request: (/** @type {string} */ words) => `Your request: ${words}`,
  closed: (/** @type {string} */ day) => `Handed over on ${day}`,
  ask: "Hand over with this open?",
  anyway: "Hand over anyway",
  notYet: "Not yet",
  again: "Open the job again",
  recheck: "Recheck",
  recheckSmall: "after some km",
  jobs: "All jobs",
  send: "Send or export this job",
  paper: "Hand-over sheet on paper",
  print: "Print this page",
};
/** Cautions that hold once the car is together again: fasteners, road, figures; and the owner's. */
const CAUTIONS = [...STANDING.slice(-3), ...STEPS["owner-sheet"]];
/** Draft's name of the note. */
const DRAFT = "close/note";
const ODOMETER = "close/odometer";

/** The verdict as a plate, or what there is instead of one. */
function verdictPlate(/** @type {any} */ { sheet, stages, walk }) {
  const last = lastOfDay(stages);
  const under = sheet.closed ? null : (walk?.number ?? underWay(sheet));
  const verdict = last ? verdictOf(last) : null;
  const [there] = openThere(sheet);
  if (verdict?.state === "on" && !under && there)
    return plate({ good: false, title: SAID.here(sprungOf(sheet.car), there) });
  if (verdict && !under && (verdict.state === "on" || verdict.state === "off"))
    return plate({ good: verdict.state === "on", title: verdict.title });
  return plate({ good: false, title: openOf({ sheet, stages, walk })[0].replace(/\.$/, "") });
}

/** The tick that is on its way to the disk: the key that closes the job waits for it. */
let ticking = Promise.resolve(true);

/** The checks, each ticked into the log. */
const checks = (/** @type {JobContext} */ ctx) =>
  h(
    "section",
    { class: "part" },
    h("h2", { text: SAID.checks }),
    ticks({
      label: SAID.checks,
      rows: checksOf(ctx.sheet).map(([key, text]) => ({ key, text, done: ticked(ctx.sheet, key) })),
      ontick: async (key, done, text) => {
        ticking = ctx.save([["step", { step: key, done }]], { said: text });
        const kept = await ticking;
        if (kept) ctx.redraw();
        return kept;
      },
    }),
  );

/** What was renewed, in one tap, and how far the car settles after that. */
function renewal(/** @type {JobContext} */ ctx) {
  const { car } = ctx.sheet;
  const front = sprungOf(car) === "front";
  return h(
    "section",
    { class: "part" },
    h("h2", { text: SAID.renewed }),
    choice({
      name: "renewed",
      legend: SAID.renewed,
      options: RENEWED.filter((row) => row.front === undefined || row.front === front),
      chosen: renewedOf(car),
      onchoose: async (renewed) => {
        if (await ctx.save([["car", { renewed }]], { said: SAID.renewed })) ctx.redraw();
      },
    }),
    h("p", { class: "foot-note", text: settlesWords(car) }),
  );
}

/** The car's constants as they stand, for its next visit; nothing where no plan can be made. */
async function learned(/** @type {JobContext} */ ctx) {
  try {
    const { answer } = await ctx.model.askForPlan(ctx.request.request);
    return { posterior: answer.posterior, learned: answer.learned };
  } catch {
    return {};
  }
}

/** Opens what is folded while the page is printed. */
function unfoldedInPrint(/** @type {JobContext} */ ctx, /** @type {HTMLDetailsElement} */ section) {
  const media = matchMedia("print");
  let was = section.open;
  const follow = () => {
    if (media.matches) [was, section.open] = [section.open, true];
    else section.open = was;
  };
  media.addEventListener("change", follow);
  ctx.whileShown(() => media.removeEventListener("change", follow));
  return section;
}

/** Back to what is unfinished, at either axle. @param {JobContext} ctx */
function backKey(ctx) {
  const { sheet } = ctx;
  const [walk, under] = [walkOf(ctx), underWay(sheet)];
  if (walk) {
    const words = ["axle", "propped", String(walk.number)];
    return { words: ofAxle(otherAxle(sheet.car), SAID.steps), href: ctx.href({ words }) };
  }
  if (under) return { words: SAID.steps, href: ctx.href({ words: ["propped", String(under)] }) };
  if (sheet.teardowns) return { words: SAID.check, href: ctx.href({ words: ["ground", String(sheet.teardowns)] }) };
  return { words: SAID.plan, href: ctx.href({ words: ["plan"] }) };
}

/** The deck of a job that is open: back to what is unfinished, and the key that closes it. */
function openDeck(/** @type {JobContext} */ ctx, /** @type {ReturnType<typeof closeFields>} */ { note, odometer }) {
  const back = backKey(ctx);
  let busy = false;
  async function close() {
    if (busy) return;
    busy = true;
    // A tick that failed has been told; it must not hold up the hand-over for ever.
    await ticking.catch(() => {});
    const open = openOf({ sheet: ctx.sheet, stages: ctx.stages, walk: walkOf(ctx) });
    const options = [
      { value: "not", label: SAID.notYet },
      { value: "over", label: SAID.anyway },
    ];
    const sure = !open.length || (await pickOne({ title: SAID.ask, lines: open, options, chosen: "not" })) === "over";
    if (sure) {
      const text = note.value.trim();
      const body = { ...(text ? { text } : {}), ...(await learned(ctx)) };
      const shown = odometer.value.trim();
      /** @type {[string, object][]} */
      const card = shown === (ctx.sheet.about.odometer ?? "") ? [] : [["job", { odometer: shown || null }]];
      if (await ctx.save([...card, ["close", body]], { said: SAID.title })) {
        ctx.drafts.drop(ctx.job, DRAFT);
        ctx.drafts.drop(ctx.job, ODOMETER);
        ctx.redraw();
      }
    }
    busy = false;
  }
  return { quiet: back, main: { words: SAID.over, ontap: close } };
}

/** The deck of a closed job: the sheet, and the recheck. */
function closedDeck(/** @type {JobContext} */ ctx) {
  const due = reminder({ sheet: ctx.sheet, stages: ctx.stages });
  return {
    quiet: { words: SAID.jobs, href: "#/" },
    main: ctx.sheet.teardowns
      ? { words: SAID.recheck, small: due ? SAID.recheckSmall : undefined, href: ctx.href({ words: ["recheck"] }) }
      : { words: SAID.paper, href: ctx.href({ words: ["sheet"] }) },
  };
}

/** What is said of a closed job: when, the note, its last recheck, and the way back in. */
function closedParts(/** @type {JobContext} */ ctx) {
  const { sheet, stages } = ctx;
  const closed = /** @type {CloseRow} */ (sheet.closed);
  const last = rechecks(stages).at(-1);
  const found = last ? recheckOf({ sheet }, last) : null;
  return [
    h("p", null, h("strong", { text: `${SAID.closed(shortDate(closed.at))}.` }), closed.text ? ` ${closed.text}` : ""),
    found && found.state !== "unread"
      ? plate({ good: found.good, title: found.title, text: found.text, level: "h2" })
      : null,
  ];
}

/** Takes the hand-over back. */
const opening = (/** @type {JobContext} */ ctx) => async () => {
  if (await ctx.save([["strike", { entry: ctx.sheet.closed?.id }]], { said: SAID.again })) ctx.redraw();
};

/**
 * A field that goes with the hand-over, kept as a draft: a check that is ticked draws the screen again.
 * @param {JobContext} ctx
 * @param {{ id: string, draft: string, hint: string, longest: number, value?: string }} about
 */
const closeField = (ctx, { id, draft, hint, longest, value = "" }) => {
  const field = h("input", {
    id,
    type: "text",
    maxlength: longest,
    autocomplete: "off",
    placeholder: hint,
    value: String(ctx.drafts.draft(ctx.job, draft) ?? value),
    oninput: () => ctx.kept(() => ctx.drafts.keep(ctx.job, draft, field.value)),
  });
  return field;
};

/** The odometer and the note, both optional. @param {JobContext} ctx */
function closeFields(ctx) {
  const read = ctx.sheet.about.odometer ?? "";
  const odometer = closeField(ctx, {
    id: "close-odometer",
    draft: ODOMETER,
    hint: SAID.odometerHint,
    longest: 40,
    value: read,
  });
  const note = closeField(ctx, { id: "close-note", draft: DRAFT, hint: SAID.noteHint, longest: 2000 });
  if (!ctx.sheet.closed) ctx.unsaved(() => note.value.trim() !== "" || odometer.value.trim() !== read);
  return { odometer, note };
}

/**
 * The screen.
 * @param {JobContext} ctx
 */
export function close(ctx) {
  const { sheet, stages } = ctx;
  const fields = closeFields(ctx);
  const { closed } = sheet;
  const aim = aimWords({ ...stages[0]?.target, ...sheet.target });
  const title = adjusterOf(sheet.car) ? SAID.tablesTurned : SAID.tables;
  const figures = /** @type {HTMLDetailsElement} */ (
    fold({ title }, ...(stages.length ? tables({ sheet, stages }) : []))
  );
  const keyOf = (/** @type {Caution} */ { word, text }) => warning({ text, signal: word, level: "h3" });
  const screen = shell({
    title: SAID.title,
    front: [verdictPlate({ sheet, stages, walk: walkOf(ctx) }), closed ? closedParts(ctx) : null].flat(),
    body: [
      checks(ctx),
      ...(closed
        ? []
        : [
            renewal(ctx),
            h("div", { class: "noted" }, h("label", { for: fields.odometer.id, text: SAID.odometer }), fields.odometer),
            h("div", { class: "noted" }, h("label", { for: fields.note.id, text: SAID.note }), fields.note),
          ]),
      sheet.wish ? h("p", { text: SAID.request(sheet.wish) }) : null,
      aim ? h("p", { text: SAID.target(aim, withinWords(sheet.target)) }) : null,
      unfoldedInPrint(ctx, figures),
      h("section", { class: "part" }, h("h2", { text: SAID.cautions }), CAUTIONS.map(keyOf)),
      keyRows([
        { words: SAID.paper, href: ctx.href({ words: ["sheet"] }) },
        { words: SAID.send, href: ctx.href({ words: ["share"] }) },
        { words: SAID.print, ontap: () => print() },
        ...(closed ? [{ words: SAID.again, ontap: opening(ctx) }] : []),
      ]),
    ],
    ...(closed ? closedDeck(ctx) : openDeck(ctx, fields)),
  });
  return { title: SAID.title, focus: screen.title, node: screen.node };
}
