/* Rows of a long table, of which only those in sight are in the page: the page scrolls as if all were there.

   Owns which rows are drawn, where the finger of the keyboard is, and how far the page scrolls for it. What is in a row
   is its caller's. All rows are equally high; how high is measured, so that larger letters make larger rows. */

import { h } from "../../parts/dom.js";

/** Rows drawn beyond what is in sight, above and below. */
const BEYOND = 8;
/** The height of a row before one was measured, px. */
const ROW_PX = 40;

/**
 * `body` (a tbody) is filled with rows. `draw(i)` gives the row at place i: with one or more links in it, or of class
 * "coming" as long as it is not here; `columns` how many cells it has; `need(from, to)` is told which rows are drawn.
 * @typedef {object} How
 * @property {HTMLTableSectionElement} body
 * @property {number} columns
 * @property {(i: number) => HTMLTableRowElement} draw
 * @property {(from: number, to: number) => void} need
 */

/** An empty row as high as those that are not drawn. @param {number} columns */
const gap = (columns) =>
  h(
    "tr",
    { class: "gap", "aria-hidden": "true", role: "presentation" },
    h("td", { colspan: columns, role: "presentation" }),
  );

/** Which of a row's links Tab finds: of all rows only those of the one with the finger.
 * @param {HTMLTableRowElement} row @param {boolean} on */
function links(row, on) {
  for (const link of row.querySelectorAll("a")) link.tabIndex = on ? 0 : -1;
  // A row that has not come yet holds the focus until its link is there.
  if (!row.querySelector("a")) row.tabIndex = -1;
}

/** @param {HTMLTableRowElement} row @param {number} px */
const stretch = (row, px) => {
  const cell = row.firstElementChild;
  if (cell instanceof HTMLElement) cell.style.height = `${px}px`;
};

export class RowWindow {
  /** @param {How} how */
  constructor({ body, columns, draw, need }) {
    this.body = body;
    this.draw = draw;
    this.need = need;
    this.above = gap(columns);
    this.below = gap(columns);
    /** @type {Map<number, HTMLTableRowElement>} */
    this.rows = new Map();
    this.count = 0;
    this.active = 0;
    this.high = 0;
    this.waiting = 0;
    this.later = () => (this.waiting ||= requestAnimationFrame(() => this.show()));
    this.measured = new ResizeObserver(() => this.measure());
    body.addEventListener("keydown", (event) => this.onKey(event));
    body.addEventListener("focusin", (event) => {
      const found = [...this.rows].find(([, row]) => row.contains(/** @type {Node} */ (event.target)));
      if (found && found[0] !== this.active) this.point(found[0], false);
    });
    addEventListener("scroll", this.later, { passive: true });
    addEventListener("resize", this.later);
    this.measured.observe(/** @type {HTMLElement} */ (body.parentElement));
    body.append(this.above, this.below);
  }

  /** The height of a row as it is now. */
  rowHigh() {
    const [row] = this.rows.values();
    return row?.getBoundingClientRect().height || this.high || ROW_PX;
  }

  /** Page coordinate of the first row's top. */
  start() {
    return this.above.getBoundingClientRect().top + scrollY;
  }

  /** What of the window is hidden by the heading that stays. */
  covered() {
    const { tHead } = /** @type {HTMLTableElement} */ (this.body.parentElement);
    return tHead?.getBoundingClientRect().height || 0;
  }

  measure() {
    const now = this.rowHigh();
    if (Math.abs(now - this.high) < 0.5) return this.later();
    this.high = now;
    return this.show();
  }

  /** Rows outside of these places go. @param {number} from @param {number} to */
  drop(from, to) {
    for (const [i, row] of this.rows) {
      if (i >= from && i < to) continue;
      row.remove();
      this.rows.delete(i);
    }
  }

  /** Rows of these places that are not there are drawn. @param {number} from @param {number} to */
  fill(from, to) {
    let before = this.above;
    for (let i = from; i < to; i += 1) {
      let row = this.rows.get(i);
      if (!row) {
        row = this.draw(i);
        links(row, i === this.active);
        this.rows.set(i, row);
        before.after(row);
      }
      before = row;
    }
  }

  /** Draw what is in sight; all of it anew where `fresh`. */
  show(fresh = false) {
    this.waiting = 0;
    const { count, high } = this;
    if (!this.body.isConnected) return;
    // Measured before anything goes: with fewer rows the page is shorter for a moment, and would scroll up.
    const top = scrollY - this.start();
    const cover = this.covered();
    const from = Math.max(0, Math.min(count - 1, Math.floor(top / high)) - BEYOND);
    const to = Math.min(count, Math.ceil((top + innerHeight) / high) + BEYOND);
    const held = document.activeElement?.closest("tr");
    const holds = Boolean(held && this.body.contains(held));
    if (fresh) this.drop(0, 0);
    this.drop(from, to);
    this.fill(from, to);
    stretch(this.above, from * high);
    stretch(this.below, Math.max(0, count - Math.max(to, from)) * high);
    // The finger stays where somebody looks: a row that is gone cannot be gone on from.
    if (count && !this.rows.has(this.active))
      this.point(Math.min(count - 1, Math.max(from, Math.ceil((top + cover) / high))), holds);
    this.need(from, to);
  }

  /** Put the finger on row i. @param {number} i @param {boolean} focus */
  point(i, focus) {
    const before = this.rows.get(this.active);
    if (before) links(before, false);
    this.active = i;
    const row = this.rows.get(i);
    if (!row) return;
    links(row, true);
    if (focus) (row.querySelector("a") ?? row).focus({ preventScroll: true });
  }

  /** Bring row i into sight and put the keyboard's finger on it. @param {number} i */
  move(i) {
    const place = Math.max(0, Math.min(this.count - 1, i));
    const top = this.start() + place * this.high;
    if (top < scrollY + this.covered()) scrollTo(0, top - this.covered());
    else if (top + this.high > scrollY + innerHeight) scrollTo(0, top + this.high - innerHeight);
    if (!this.rows.has(place)) this.show();
    this.point(place, true);
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    if (event.altKey || event.ctrlKey || event.metaKey || !this.count) return;
    const far = Math.max(1, Math.floor((innerHeight - this.covered()) / this.high) - 1);
    /** @type {Record<string, number>} */
    const places = {
      Home: 0,
      End: this.count - 1,
      PageDown: this.active + far,
      PageUp: this.active - far,
      ArrowDown: this.active + 1,
      ArrowUp: this.active - 1,
    };
    const to = places[event.key];
    if (to === undefined) return;
    event.preventDefault();
    this.move(to);
  }

  /** So many rows now, the finger at `at`; all of them are drawn anew. @param {number} many @param {number} [at] */
  set(many, at = 0) {
    const focused = this.focused();
    this.count = many;
    this.active = Math.max(0, Math.min(many - 1, at));
    this.high ||= ROW_PX;
    this.show(true);
    const now = this.rowHigh();
    if (Math.abs(now - this.high) > 0.5) {
      this.high = now;
      this.show();
    }
    if (focused) this.point(this.active, true);
  }

  /** Rows that had not come are drawn anew: some have. */
  again() {
    const focused = this.rows.get(this.active)?.contains(document.activeElement);
    for (const [i, row] of this.rows) {
      if (!row.matches(".coming")) continue;
      const fresh = this.draw(i);
      links(fresh, i === this.active);
      row.replaceWith(fresh);
      this.rows.set(i, fresh);
    }
    if (focused) this.point(this.active, true);
  }

  /** Whether one of the rows has the focus. */
  focused() {
    return this.body.contains(document.activeElement);
  }

  /** Where the finger is. */
  at() {
    return this.active;
  }

  stop() {
    cancelAnimationFrame(this.waiting);
    removeEventListener("scroll", this.later);
    removeEventListener("resize", this.later);
    this.measured.disconnect();
  }
}
