/* The jobs of the shop as a table: searched, narrowed, sorted; what is on this device alone stands on top.

   Owns what is asked for and the address that says all of it, so that going back leads to the same rows. Rows come from
   shop/pc/job-rows.js; which are in the page is table-window.js' business. */

import { h, say } from "../../parts/dom.js";
import { SameCars } from "../../parts/shop/same-car.js";
import { notAllWords } from "../../parts/not-all.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { addressOf, asks, countWords } from "../../work/pc/table-words.js";
import { COLUMNS, cellsOf, headings } from "./table-columns.js";
import { finding } from "./table-find.js";
import { RowWindow } from "./table-window.js";
import { named } from "../../work/this-device.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { Asked } from "../../work/pc/table-words.js" */

const TYPING_MS = 250;
const NEWS_MS = 1500;
/** How often the table renews itself while the shop reads what an import brought. */
const READING_MS = 2000;
const SAID = {
  title: "Jobs",
  loading: "Loading…",
  get here() {
    return named("Below: the jobs on {here}.");
  },
  keys: "Arrow keys go from row to row, Enter opens, / goes to the search.",
};

/** Where somebody was in the table, to be found again by going back.
 * @type {{ address: string, top: number, at: number, job: string | undefined } | null} */
let left = null;

/** What stands in place of rows where they could not be had. @param {any} error */
const failed = (error) => ({
  total: 0,
  only: 0,
  unread: 0,
  states: null,
  lack: { code: "failed", text: error.detail ?? error.message },
  at: () => null,
  need: async () => false,
});

/** A table in the page: what it is asked for and what it found. */
class JobsTable {
  /** @param {Context} ctx */
  constructor(ctx) {
    this.ctx = ctx;
    this.asked = asks(ctx.query);
    /** @type {any} */
    this.found = null;
    this.turn = 0;
    this.timer = 0;
    this.renewing = 0;
    this.body = h("tbody", { role: "rowgroup" });
    this.head = h("tr", { role: "row", "aria-rowindex": 1 });
    this.grid = h(
      "table",
      { class: "jobs-table", role: "table", "aria-describedby": "table-count" },
      h("caption", { class: "unseen", text: SAID.title }),
      h("thead", { role: "rowgroup" }, this.head),
      this.body,
    );
    this.count = h("p", { id: "table-count", class: "where", role: "status", text: SAID.loading });
    this.note = h("div");
    this.same = new SameCars(ctx, { folded: true });
    this.rows = new RowWindow({
      body: this.body,
      columns: COLUMNS.length,
      draw: (i) => this.draw(i),
      need: async (from, to) => {
        const now = this.found;
        if ((await now?.need(from, to)) && now === this.found) this.rows.again();
      },
    });
    this.find = finding(this.asked, (change) => this.changed(change));
  }

  /** @param {number} i */
  draw(i) {
    const row = this.found.at(i);
    const cls = row ? (row.only ? "here" : "") : "coming";
    return h(
      "tr",
      { role: "row", "aria-rowindex": i + 2, class: cls, "aria-busy": row ? null : "true" },
      cellsOf(this.ctx, row),
    );
  }

  /** The address that says what is asked for. */
  address() {
    return this.ctx.href({ words: ["table"], query: addressOf(this.asked) }, "");
  }

  drawHead() {
    this.head.replaceChildren(...headings(this.asked, (sort, order) => this.changed({ sort, order })));
    this.find.chips(this.found?.states ?? null);
  }

  /** Where a job stands now, as far as its row has come; else where the finger was.
   * @param {string | null | undefined} job @param {number} otherwise */
  placeOf(job, otherwise) {
    for (let i = 0; job && i < this.found.total && this.found.at(i); i += 1) if (this.found.at(i).job === job) return i;
    return otherwise;
  }

  /** Ask and show; `quiet` where nobody asked. The finger stays on its job then, and also where it went into the rows
   * before the answer to what was typed had come. */
  async look({ quiet = false } = {}) {
    const mine = (this.turn += 1);
    const next = await this.ctx.pc.find(this.asked).catch(failed);
    // What the shop has still to read is in the count.
    const lacks = next.lack ? await notAllWords(this.ctx, next).catch(() => "") : "";
    if (mine !== this.turn || !this.grid.isConnected) return;
    const stays = quiet || this.rows.focused();
    const held = this.found?.at(this.rows.at())?.job;
    this.found = next;
    this.grid.setAttribute("aria-rowcount", String(next.total + 1));
    this.find.chips(next.states);
    this.place(next.total, stays ? this.placeOf(held, this.rows.at()) : null);
    this.note.replaceChildren(
      ...(next.lack ? [lackNote(next.lack, `${SAID.here} ${lacks}`.trim(), () => this.look())] : []),
    );
    const text = countWords(next, this.asked);
    if (this.count.textContent !== text) this.count.textContent = text;
    if (!quiet) say(text);
    clearTimeout(this.renewing);
    if (next.unread) this.renewing = setTimeout(() => this.look({ quiet: true }), READING_MS);
  }

  /** Draw so many rows with the finger at a place; null where somebody asked: on the job they were at before, which may
   * stand elsewhere by now, or at the top.
   * @param {number} total @param {number | null} at */
  place(total, at) {
    const back = total && left?.address === this.address() ? left : null;
    if (total) left = null;
    const goes = back ? this.placeOf(back.job, back.at) : (at ?? 0);
    this.rows.set(total, goes);
    if (!back) return;
    scrollTo(0, back.top);
    this.rows.move(goes);
  }

  /** @param {Partial<Asked>} change */
  changed(change) {
    Object.assign(this.asked, change);
    this.drawHead();
    history.replaceState(null, "", this.address());
    document.body.dataset.at = location.hash;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.look(), "query" in change ? TYPING_MS : 0);
  }

  /** "/" goes to the search. @param {KeyboardEvent} event */
  onSlash(event) {
    const inside = event.target instanceof Element && event.target.closest("input, select, textarea");
    if (event.key !== "/" || inside || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.find.search.focus();
    this.find.search.select();
  }

  /** Down from the search into the rows. @param {KeyboardEvent} event */
  onSearchKey(event) {
    if (event.key !== "ArrowDown" || !this.found?.total) return;
    event.preventDefault();
    this.rows.move(this.rows.at());
  }

  /** A click anywhere in a row opens it; its links do what they say. @param {MouseEvent} event */
  onClick(event) {
    const target = /** @type {Element} */ (event.target);
    /** @type {HTMLElement | null | undefined} */
    const link = target.closest("a") ? null : target.closest("tr")?.querySelector("a.opens");
    if (link && !String(getSelection())) link.click();
  }

  /** Listen, until the screen is left. */
  listen() {
    const { ctx } = this;
    const slash = (/** @type {KeyboardEvent} */ event) => this.onSlash(event);
    document.addEventListener("keydown", slash);
    this.find.search.addEventListener("keydown", (event) => this.onSearchKey(event));
    this.body.addEventListener("click", (event) => this.onClick(event));
    let news = 0;
    const heard = (/** @type {{ what: string }} */ message) => {
      if (!["entries", "marks", "access"].includes(message.what)) return;
      clearTimeout(news);
      news = setTimeout(
        () => {
          this.look({ quiet: true });
          this.same.load().catch(() => {});
        },
        message.what === "access" ? 0 : NEWS_MS,
      );
    };
    ctx.whileShown(ctx.log.listen(heard));
    ctx.whileShown(() => {
      // One that was left before its rows had come knows nothing better than what was left before it.
      const at = this.rows.at();
      if (this.found) left = { address: this.address(), top: scrollY, at, job: this.found.at(at)?.job };
      this.turn += 1;
      clearTimeout(this.timer);
      clearTimeout(this.renewing);
      clearTimeout(news);
      document.removeEventListener("keydown", slash);
      this.rows.stop();
    });
  }
}

/** The screen.
 * @param {Context} ctx @returns {Shown} */
export function table(ctx) {
  useStyle("table");
  const jobs = new JobsTable(ctx);
  jobs.listen();
  jobs.drawHead();
  queueMicrotask(() => {
    jobs.look();
    // What the table is for comes first; without an answer there is nothing to ask.
    jobs.same.load().catch(() => {});
  });
  return {
    title: SAID.title,
    fresh() {},
    node: h(
      "div",
      { class: "jobs-page" },
      h("h1", { text: SAID.title }),
      jobs.find.form,
      h("div", { class: "counting" }, jobs.count, jobs.same.node, h("p", { class: "hint where", text: SAID.keys })),
      jobs.note,
      jobs.grid,
    ),
  };
}
