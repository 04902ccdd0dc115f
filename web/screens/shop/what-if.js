/* The bench: other bars, another load or another wish beside the car as it is. Nothing of it goes to the log, but the wish
   when asked; what is typed is kept on this device. Owns when a trial is asked for and where its answer is written. */

import { cautions } from "../../parts/cautions.js";
import { h, say } from "../../parts/dom.js";
import { inHundred, short } from "../../work/numbers.js";
import { useStyle } from "../../parts/style.js";
import { length } from "../../work/units.js";
import { stopped } from "../../parts/conflicts.js";
import { needs } from "../../work/guide.js";
import { SIDES } from "../../work/readings.js";
import { heightsAs } from "../../work/wish.js";
import { FIELDS, MOST, NAMES, keepTrials, presentWords, trialFields, trials } from "./what-if-trial.js";
import { resultRows } from "./what-if-rows.js";
import { WHERE } from "../../work/where.js";

// Without it the columns would not fit a narrow window: the screen waits.
await useStyle("what-if");

/** How long after the last key a trial is asked for. */
const PAUSE_MS = 350;
const AS_IT_IS = "As it is";
const GROUPS = { bar: "Bars to try, empty: as they are", load_kg: "Load", target: "Wish" };

const cell = (name, ...inside) => h("td", { role: "cell", "data-name": name }, inside);
const head = (text) => h("th", { scope: "row", role: "rowheader", text });

/** The wish with other bars: the heights it came to on this car, since a rise counts from how the car will be found; with its own
    tolerances. One of angles stays as it is. */
function newWish(target, { left_mm, right_mm }) {
  if (left_mm === null || right_mm === null) return target;
  const { tolerance_mm: off, lean_mm: lean } = target;
  return {
    ...heightsAs(target, { left_mm, right_mm }),
    ...(off == null ? {} : { tolerance_mm: off }),
    ...(lean == null ? {} : { lean_mm: lean }),
  };
}

/** The entries of a new job for this car with the bars of a column: what holds with other bars too, and what was learned.
    Travel and half axle were found with the old ones. */
function newJob(ctx, column) {
  const { sheet } = ctx;
  const { known, half_axle_deg: found, limits = {}, ...car } = ctx.request.request.car;
  const { bump_mm: bump, droop_mm: droop, permissible_stress_mpa: old, ...kept } = limits;
  if (column.permissible_given && column.permissible_stress_mpa !== old)
    kept.permissible_stress_mpa = column.permissible_stress_mpa;
  const { car: name, owner, car_id: id } = sheet.about ?? {};
  const about = Object.fromEntries(
    Object.entries({ title: sheet.title, car: name, owner, car_id: id }).filter(([, text]) => text),
  );
  return [
    ["job", { ...about, wish: `Other bars, ${short(column.bar.diameter_mm)} mm` }],
    ["car", { ...car, bar: { ...car.bar, ...column.bar }, limits: kept }],
    ["target", newWish(ctx.request.request.target, column.target)],
    ["known", { use: true, job: ctx.job, posterior: column.posterior }],
  ];
}

/** The screen. */
export function whatIf(ctx) {
  const title = "Other bars or loads";
  const heading = h("h1", { text: title });
  const lead = h("p", {
    class: "where",
    text: "Tried here only: the log stays as it is, and what is typed is kept on this device.",
  });
  const hold = stopped(ctx);
  const lacking = needs(ctx.sheet);
  if (hold || lacking.length) {
    const why =
      hold ??
      h(
        "div",
        { class: "gaps" },
        h("p", { text: "Something can be tried once a first plan can be made." }),
        h("a", { class: "key wide", href: ctx.href({ words: ["plan"] }) }, "What the plan still needs"),
      );
    return { title, node: h("div", { class: "plan bench" }, heading, lead, why) };
  }
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
    status.textContent = "Working it out.";
    try {
      const { answer, where } = await ctx.model.askWhatIf(request, change);
      if (gone || turn !== asked[i]) return;
      columns[0] = answer.as_it_is;
      columns[i + 1] = answer.trial;
      answers[i] = answer;
      status.dataset.where = where;
      status.textContent = `${WHERE[where]} ± holds two times in three.`;
      const { stopped_by: stops, odds } = answer.trial;
      say(`Trial ${NAMES[i]}: ${stops.length ? "cannot be had" : inHundred(odds.typical)}`);
    } catch (problem) {
      if (gone || turn !== asked[i]) return;
      const text = problem.detail ?? String(problem.message);
      status.textContent = made[i].tell(problem.path ?? "$", text) ? "" : text;
    }
    show();
  }

  /** Both heights as the car has them now, into a trial's wish. */
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
      read ? key("Heights as now", ": want what the car has", () => asNow(i)) : null,
      other
        ? key(
            "Take these heights as the wish",
            `: left ${length(target.left_mm)}, right ${length(target.right_mm)}`,
            () => take(target),
          )
        : null,
      column.posterior && !column.stopped_by.length ? key("These bars are in: new job", "", () => begin(column)) : null,
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
      cell(AS_IT_IS, h("a", { class: "key small", href: ctx.href({ words: ["plan"] }) }, "The plan")),
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
  const remove = (i) =>
    h(
      "button",
      {
        type: "button",
        class: "key small",
        "aria-label": list.length > 1 ? `Remove trial ${NAMES[i]}` : `Empty trial ${NAMES[i]}`,
        onclick: () => again(list.length > 1 ? list.filter((_, k) => k !== i) : [{}]),
      },
      list.length > 1 ? "Remove" : "Empty",
    );
  const add = () =>
    h(
      "button",
      { type: "button", class: "key", onclick: () => again([...list, { ...structuredClone(list.at(-1)) }]) },
      "Add a trial",
    );
  const inputs = FIELDS.map((one, k) => {
    const first = FIELDS.findIndex(({ path }) => path[0] === one.path[0]) === k;
    const group = first
      ? h(
          "tr",
          { role: "row", class: "group" },
          h("th", { role: "columnheader", scope: "colgroup", colspan: names.length + 1, text: GROUPS[one.path[0]] }),
        )
      : null;
    return [
      group,
      h(
        "tr",
        { role: "row" },
        head(one.title),
        cell(AS_IT_IS, presentWords(ctx.sheet, one)),
        made.map(({ cells }, i) => cell(names[i + 1], cells[k])),
      ),
    ];
  });
  const table = h(
    "table",
    { role: "table", class: `bench-table of-${names.length}` },
    h("caption", { class: "unseen", text: "The car as it is beside what is tried" }),
    h(
      "thead",
      { role: "rowgroup" },
      h(
        "tr",
        { role: "row" },
        h("td", { role: "cell" }),
        names.map((name, i) =>
          h("th", { scope: "col", role: "columnheader" }, h("span", { text: name }), i ? remove(i - 1) : null),
        ),
      ),
    ),
    h("tbody", { role: "rowgroup", class: "inputs" }, inputs),
    results,
  );
  const other = h(
    "details",
    { class: "fitting" },
    h("summary", { text: "When other bars are fitted" }),
    h("p", {
      text: "The readings of this job belong to the bars that are in; a change of the bar here would give them another meaning. Hand this job over and begin a new one for the car once the other bars are in: “These bars are in: new job” does so. It takes along what was learned of arm, bushes, roll support and tyres, and leaves out what belonged to the old bars, the readings and the travel found.",
    }),
    h("p", {
      text: "Set each arm to the angle above by gauge and datum, to the nearest step; then read everything again, and make a plan from that.",
    }),
  );
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
      other,
    ),
  };
}
