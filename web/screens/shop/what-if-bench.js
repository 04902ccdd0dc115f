/* What is on the bench: the trials, when each is asked for, and where its answer is written. */

import { cautions } from "../../parts/cautions.js";
import { pickOne } from "../../parts/dialog.js";
import { h, say } from "../../parts/dom.js";
import { newJob } from "../../work/pc/other-bars.js";
import { counted } from "../../work/plural.js";
import { SIDES } from "../../work/readings.js";
import { unitOf } from "../../work/bounds.js";
import { length, wordsIn } from "../../work/units.js";
import { WHERE } from "../../work/where.js";
import { heightsAs } from "../../work/wish.js";
import { chanceWords, resultRows } from "./what-if-rows.js";
import { AS_IT_IS, cell, head, headRow } from "./what-if-table.js";
import { NAMES, keepTrials, trialFields } from "./what-if-trial.js";
import { named } from "../../work/this-device.js";

/** @import { JobContext } from "../../types/context.d.ts" */
/** @import { Child } from "../../parts/dom.js" */

/** A column of the answer, null as long as it has not come. @typedef {any} Column */

/** How long after the last key a trial is asked for. */
const PAUSE_MS = 350;
const SAID = {
  trial: (/** @type {string} */ name) => `Trial ${name}`,
  working: "Calculating…",
  range: (/** @type {string} */ where) => `${where} ± holds 90 in 100.`,
  spoken: (/** @type {string} */ name, /** @type {string} */ chance) => `Trial ${name}: ${chance}`,
  caption: "What came of each trial, beside the car as it is",
  all: (/** @type {number} */ n) => counted(n, "Show all rows ({n} is the same)", "Show all rows ({n} are the same)"),
  fewer: "Show only what differs",
  next: "Next",
  plan: "Plan",
  asNow: "Heights as now",
  asNowSpoken: (/** @type {string} */ name) => `Heights as now, trial ${name}: set the target to the present heights`,
  take: "Set as the target",
  takeSpoken: (/** @type {string} */ name, /** @type {string} */ left, /** @type {string} */ right) =>
    `Set as the target, trial ${name}: left ${left}, right ${right}`,
  fitted: "Bars are fitted: new job",
  fittedSpoken: (/** @type {string} */ name) => `Bars are fitted: new job, trial ${name}`,
  before: "Before other bars or loads",
  sure: "Are these bars in the car?",
  yes: "Yes, they are fitted",
  yesText: (/** @type {string} */ bar) => `Start a new job with ${bar} bars. This job stays as it is.`,
  no: "Not yet",
  noText: "Nothing is changed.",
};

const small = (/** @type {string} */ text, /** @type {string} */ spoken, /** @type {() => void} */ onclick) =>
  h("button", { type: "button", class: "key small", "aria-label": spoken, onclick }, text);

export class Bench {
  /** @param {JobContext} ctx @param {any[]} list the trials as they are typed */
  constructor(ctx, list) {
    this.ctx = ctx;
    this.list = list;
    /** @type {Column[]} The car as it is, then each trial. */
    this.columns = [null, ...list.map(() => null)];
    /** @type {any[]} */
    this.answers = list.map(() => null);
    this.asked = list.map(() => 0);
    /** @type {Set<ReturnType<typeof setTimeout>>} */
    this.timers = new Set();
    this.names = [AS_IT_IS, ...list.map((_, i) => SAID.trial(NAMES[i]))];
    /** @type {Set<string>} Rows that differ, as far as was worked out last. */
    this.differing = new Set();
    this.whole = false;
    this.gone = false;
    this.results = h("tbody", { role: "rowgroup", class: "results" });
    this.status = h("p", { class: "source", role: "status" });
    this.minded = h("div", { class: "minded" });
    this.strip = h("ul", { class: "bench-chances", "aria-hidden": "true" });
    this.rowsKey = small("", "", () => {
      this.whole = !this.whole;
      this.show();
    });
    this.rowsKey.removeAttribute("aria-label");
    this.table = h(
      "table",
      { role: "table", class: "bench-table" },
      h("caption", { class: "unseen", text: SAID.caption }),
      headRow(this.names.map((name) => [name])),
      this.results,
    );
    this.made = list.map((typed, i) =>
      trialFields({ sheet: ctx.sheet, name: NAMES[i], typed, onchange: () => this.typed(i) }),
    );
  }

  start() {
    this.ctx.whileShown(() => {
      this.gone = true;
      for (const timer of this.timers) clearTimeout(timer);
    });
    this.show();
    this.list.forEach((_, i) => this.work(i));
  }

  /** Something was typed into a trial: it is kept now and asked for in a moment. @param {number} i */
  typed(i) {
    this.ctx.kept(() => keepTrials(this.ctx, this.list));
    this.asked[i] += 1;
    const turn = this.asked[i];
    const timer = setTimeout(() => {
      this.timers.delete(timer);
      if (turn === this.asked[i]) this.work(i);
    }, PAUSE_MS);
    this.timers.add(timer);
  }

  /** Ask for one trial; an answer that was overtaken by another key is dropped. @param {number} i */
  async work(i) {
    const change = this.made[i].change();
    const turn = (this.asked[i] += 1);
    this.columns[i + 1] = null;
    this.answers[i] = null;
    this.show();
    if (!change) return;
    this.status.textContent = SAID.working;
    try {
      const { answer, where } = await this.ctx.model.askWhatIf(this.ctx.request.request, change);
      if (this.gone || turn !== this.asked[i]) return;
      this.columns[0] = answer.as_it_is;
      this.columns[i + 1] = answer.trial;
      this.answers[i] = answer;
      this.status.dataset.where = where;
      this.status.textContent = SAID.range(named(WHERE[where]));
      say(SAID.spoken(NAMES[i], chanceWords(answer.trial)));
    } catch (error) {
      if (this.gone || turn !== this.asked[i]) return;
      const problem = /** @type {any} */ (error);
      const text = problem.detail ?? String(problem.message);
      this.status.textContent = this.made[i].tell(problem.path ?? "$", text) ? "" : text;
    }
    this.show();
  }

  /** Both heights as the car has them now, into a trial's target. @param {number} i */
  asNow(i) {
    const [now] = this.columns;
    this.made[i].put(Object.fromEntries(SIDES.map((side) => [`target.${side}_mm`, now[side].body_height_mm.value])));
  }

  /** @param {{ left_mm: number, right_mm: number }} target */
  async take(target) {
    if (await this.ctx.save([["target", heightsAs(this.ctx.sheet.target, target)]])) this.ctx.redraw();
  }

  /** A new job says that the car has these bars now, so that is asked first. @param {Column} column */
  async begin(column) {
    const bar = wordsIn(unitOf("car.bar.diameter_mm"))(column.bar.diameter_mm);
    const sure = await pickOne({
      title: SAID.sure,
      options: [
        { value: "yes", label: SAID.yes, text: SAID.yesText(bar) },
        { value: "no", label: SAID.no, text: SAID.noText },
      ],
    });
    if (sure !== "yes") return;
    const job = await this.ctx.begin(newJob(this.ctx, column));
    if (job) this.ctx.go({ words: ["list"] }, { job });
  }

  /** What a trial leads on to. @param {number} i @returns {Child[]} */
  keys(i) {
    const column = this.columns[i + 1];
    if (!column) return [];
    const name = NAMES[i];
    const { target } = column;
    const { left_mm: left, right_mm: right } = /** @type {any} */ (this.ctx.sheet.target);
    const typed = this.list[i]["target.left_mm"] || this.list[i]["target.right_mm"];
    const other = typed && (target.left_mm !== left || target.right_mm !== right);
    const read = SIDES.every((side) => this.columns[0][side]?.body_height_mm);
    const takes = () => SAID.takeSpoken(name, length(target.left_mm), length(target.right_mm));
    return [
      read ? small(SAID.asNow, SAID.asNowSpoken(name), () => this.asNow(i)) : null,
      other ? small(SAID.take, takes(), () => this.take(target)) : null,
      column.posterior && !column.stopped_by.length
        ? small(SAID.fitted, SAID.fittedSpoken(name), () => this.begin(column))
        : null,
    ];
  }

  /** The rows that are seen: what differs, as far as all columns are there; while one is worked out, the same ones.
   * @returns {ReturnType<typeof resultRows>} */
  rows() {
    const all = resultRows(this.columns, this.ctx.sheet.car);
    if (this.columns.every(Boolean)) this.differing = new Set(all.filter((row) => row.differs).map(({ name }) => name));
    const seen = all.filter(({ name, always }) => always || this.whole || this.differing.has(name));
    const same = all.length - all.filter(({ name, always }) => always || this.differing.has(name)).length;
    this.rowsKey.hidden = same === 0;
    this.rowsKey.textContent = this.whole ? SAID.fewer : SAID.all(same);
    return seen;
  }

  show() {
    const { names, results } = this;
    const rows = this.rows().map(({ name, cells }) =>
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
      head(SAID.next),
      cell(AS_IT_IS, h("a", { class: "key small", href: this.ctx.href({ words: ["plan"] }) }, SAID.plan)),
      this.list.map((_, i) => cell(names[i + 1], h("div", { class: "keys" }, this.keys(i)))),
    );
    // A key that was used keeps the focus when its row is drawn anew.
    const active = document.activeElement;
    const held = active && results.contains(active) ? active.getAttribute("aria-label") : null;
    results.replaceChildren(...rows, on);
    /** @type {HTMLElement | null} */
    const again = held ? results.querySelector(`[aria-label="${CSS.escape(held)}"]`) : null;
    again?.focus({ preventScroll: true });
    this.strip.replaceChildren(
      ...this.columns.map((column, i) =>
        h("li", null, h("span", { text: names[i] }), h("b", { text: column ? chanceWords(column) : "…" })),
      ),
    );
    const words = [...new Set(this.answers.flatMap((answer) => answer?.cautions ?? []))];
    const block = cautions(SAID.before, words);
    this.minded.replaceChildren(...(block ? [block] : []));
  }
}
