/* The bench: other bars, another load or another target beside the car as it is. Nothing of it goes to the log, but
   the target when asked; what is typed is kept on this device. Owns when a trial is asked for and where its answer
   is written. */

import { cautions } from "../../parts/cautions.js";
import { h, say } from "../../parts/dom.js";
import { inHundred } from "../../work/numbers.js";
import { useStyle } from "../../parts/style.js";
import { length } from "../../work/units.js";
import { stopped } from "../../parts/conflicts.js";
import { needs } from "../../work/guide.js";
import { SIDES } from "../../work/readings.js";
import { heightsAs } from "../../work/wish.js";
import { MOST, NAMES, keepTrials, trialFields, trials } from "./what-if-trial.js";
import { resultRows } from "./what-if-rows.js";
import { WHERE } from "../../work/where.js";
import { newJob } from "../../work/pc/other-bars.js";
import { AS_IT_IS, benchTable, cell, fittingNote, head } from "./what-if-table.js";

// Without it the columns would not fit a narrow window: the screen waits.
await useStyle("what-if");

/** How long after the last key a trial is asked for. */
const PAUSE_MS = 350;

/** What stands in the way of trying anything; null where nothing does. */
function whyNot(ctx) {
  const hold = stopped(ctx);
  if (hold || !needs(ctx.sheet).length) return hold;
  return h(
    "div",
    { class: "gaps" },
    h("p", { text: "First get a plan, then try other bars." }),
    h("a", { class: "key wide", href: ctx.href({ words: ["plan"] }) }, "Needed for a plan"),
  );
}

/** The screen. */
export function whatIf(ctx) {
  const title = "Other bars or loads";
  const heading = h("h1", { text: title });
  const lead = h("p", {
    class: "where",
    text: "Trials only: nothing here changes the job.",
  });
  const why = whyNot(ctx);
  if (why) return { title, node: h("div", { class: "plan bench" }, heading, lead, why) };
  // Who opens the bench may be without a network at the next figure; a failure is told when a trial needs it.
  ctx.model.warmBench().catch(() => {});
  const { request } = ctx.request;
  const list = trials(ctx);
  const columns = [null, ...list.map(() => null)];
  const answers = list.map(() => null);
  const asked = list.map(() => 0);
  const timers = new Set();
  const results = h("tbody", { role: "rowgroup", class: "results" });
  const status = h("p", { class: "source", role: "status" });
  const minded = h("div", { class: "minded" });
  const names = [AS_IT_IS, ...list.map((_, i) => `Trial ${NAMES[i]}`)];
  let gone = false;
  ctx.whileShown(() => {
    gone = true;
    for (const timer of timers) clearTimeout(timer);
  });

  const store = () => ctx.kept(() => keepTrials(ctx, list));
  const made = list.map((typed, i) =>
    trialFields({
      sheet: ctx.sheet,
      name: NAMES[i],
      typed,
      onchange: () => {
        store();
        later(i);
      },
    }),
  );

  function later(i) {
    asked[i] += 1;
    const turn = asked[i];
    const timer = setTimeout(() => {
      timers.delete(timer);
      if (turn === asked[i]) work(i);
    }, PAUSE_MS);
    timers.add(timer);
  }
  /** Ask for one trial; an answer that was overtaken by another key is dropped. */
  async function work(i) {
    const change = made[i].change();
    const turn = (asked[i] += 1);
    columns[i + 1] = null;
    answers[i] = null;
    show();
    if (!change) return;
    status.textContent = "Calculating…";
    try {
      const { answer, where } = await ctx.model.askWhatIf(request, change);
      if (gone || turn !== asked[i]) return;
      columns[0] = answer.as_it_is;
      columns[i + 1] = answer.trial;
      answers[i] = answer;
      status.dataset.where = where;
      status.textContent = `${WHERE[where]} ± holds 90 in 100.`;
      const { stopped_by: stops, odds } = answer.trial;
      say(`Trial ${NAMES[i]}: ${stops.length ? "not possible" : inHundred(odds.typical)}`);
    } catch (problem) {
      if (gone || turn !== asked[i]) return;
      const text = problem.detail ?? String(problem.message);
      status.textContent = made[i].tell(problem.path ?? "$", text) ? "" : text;
    }
    show();
  }

  /** Both heights as the car has them now, into a trial's target. */
  const asNow = (i) =>
    made[i].put(Object.fromEntries(SIDES.map((side) => [`target.${side}_mm`, columns[0][side].body_height_mm.value])));
  const take = async (target) => {
    if (await ctx.save([["target", heightsAs(ctx.sheet.target, target)]])) ctx.redraw();
  };
  const begin = async (column) => {
    const job = await ctx.begin(newJob(ctx, column));
    if (job) ctx.go({ words: ["list"] }, { job });
  };
  /** What a trial leads on to. */
  function keys(i) {
    const column = columns[i + 1];
    const key = (text, spoken, onclick) =>
      h(
        "button",
        { type: "button", class: "key small", "aria-label": `${text}, trial ${NAMES[i]}${spoken}`, onclick },
        text,
      );
    if (!column) return [];
    const { target } = column;
    const { left_mm: left, right_mm: right } = ctx.sheet.target;
    const other =
      list[i]["target.left_mm"] || list[i]["target.right_mm"]
        ? target.left_mm !== left || target.right_mm !== right
        : false;
    const read = SIDES.every((side) => columns[0][side]?.body_height_mm);
    return [
      read ? key("Heights as now", ": set the target to the present heights", () => asNow(i)) : null,
      other
        ? key("Set as the target", `: left ${length(target.left_mm)}, right ${length(target.right_mm)}`, () =>
            take(target),
          )
        : null,
      column.posterior && !column.stopped_by.length ? key("Bars are fitted: new job", "", () => begin(column)) : null,
    ];
  }
  function show() {
    const rows = resultRows(columns).map(([name, cells]) =>
      h(
        "tr",
        { role: "row" },
        head(name),
        cells.map((inside, c) => cell(names[c], inside)),
      ),
    );
    const on = h(
      "tr",
      { role: "row", class: "onward" },
      head("Next"),
      cell(AS_IT_IS, h("a", { class: "key small", href: ctx.href({ words: ["plan"] }) }, "Plan")),
      list.map((_, i) => cell(names[i + 1], h("div", { class: "keys" }, keys(i)))),
    );
    // A key that was used keeps the focus when its row is drawn anew.
    const held = results.contains(document.activeElement) ? document.activeElement.getAttribute("aria-label") : null;
    results.replaceChildren(...rows, on);
    if (held) results.querySelector(`[aria-label="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
    const words = [...new Set(answers.flatMap((answer) => answer?.cautions ?? []))];
    const block = cautions("Before other bars or loads", words);
    minded.replaceChildren(...[block].filter(Boolean));
  }

  const again = (next) => {
    if (ctx.kept(() => keepTrials(ctx, next))) ctx.redraw();
  };
  const add = () =>
    h(
      "button",
      { type: "button", class: "key", onclick: () => again([...list, { ...structuredClone(list.at(-1)) }]) },
      "Add a trial",
    );
  const table = benchTable(ctx, { names, made, list, again, results });
  show();
  list.forEach((_, i) => work(i));
  return {
    title,
    fresh() {},
    node: h(
      "div",
      { class: "plan bench" },
      heading,
      lead,
      h("div", { class: "keys" }, list.length < MOST ? add() : null),
      table,
      status,
      minded,
      fittingNote(),
    ),
  };
}
