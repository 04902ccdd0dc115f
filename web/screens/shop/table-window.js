/* Rows of a long table, of which only those in sight are in the page: the page scrolls as if all were there.

   Owns which rows are drawn, where the finger of the keyboard is, and how far the page scrolls for it. What is in a row
   is its caller's. All rows are equally high; how high is measured, so that larger letters make larger rows. */

import { h } from "../../parts/dom.js";

/** Rows drawn beyond what is in sight, above and below. */
const BEYOND = 8;
const KEYS = { ArrowDown: 1, ArrowUp: -1 };

/**
 * Fill `body` (a tbody) with rows. `draw(i)` gives the row at place i: with one or more links in it, or of class
 * "coming"
 * as long as it is not here; `columns` how many cells it has; `need(from, to)` is told which rows are drawn. Gives
 * {set(count, at), again(), move(i), at(), stop()}.
 */
export function windowRows({ body, columns, draw, need }) {
  const gap = () =>
    h(
      "tr",
      { class: "gap", "aria-hidden": "true", role: "presentation" },
      h("td", { colspan: columns, role: "presentation" }),
    );
  const [above, below] = [gap(), gap()];
  let rows = new Map();
  let count = 0;
  let active = 0;
  let high = 0;
  let waiting = 0;

  const high1 = () => {
    const [row] = rows.values();
    return row?.getBoundingClientRect().height || high || 44;
  };
  /** Page coordinate of the first row's top. */
  const start = () => above.getBoundingClientRect().top + scrollY;
  /** What of the window is hidden by the heading that stays. */
  const covered = () => body.parentElement.tHead.getBoundingClientRect().height || 0;

  function links(row, on) {
    for (const link of row.querySelectorAll("a")) link.tabIndex = on ? 0 : -1;
    // A row that has not come yet holds the focus until its link is there.
    if (!row.querySelector("a")) row.tabIndex = -1;
  }

  function show(fresh = false) {
    waiting = 0;
    if (!body.isConnected) return;
    // Measured before anything goes: with fewer rows the page is shorter for a moment, and would scroll up.
    const top = scrollY - start();
    const cover = covered();
    const from = Math.max(0, Math.min(count - 1, Math.floor(top / high)) - BEYOND);
    const to = Math.min(count, Math.ceil((top + innerHeight) / high) + BEYOND);
    const held = document.activeElement?.closest?.("tr");
    const holds = held && body.contains(held);
    if (fresh) {
      for (const row of rows.values()) row.remove();
      rows = new Map();
    }
    for (const [i, row] of rows) {
      if (i >= from && i < to) continue;
      row.remove();
      rows.delete(i);
    }
    let before = above;
    for (let i = from; i < to; i += 1) {
      if (!rows.has(i)) {
        const row = draw(i);
        links(row, i === active);
        rows.set(i, row);
        before.after(row);
      }
      before = rows.get(i);
    }
    above.firstChild.style.height = `${from * high}px`;
    below.firstChild.style.height = `${Math.max(0, count - Math.max(to, from)) * high}px`;
    // The finger stays where somebody looks: a row that is gone cannot be gone on from.
    if (count && !rows.has(active)) point(Math.min(count - 1, Math.max(from, Math.ceil((top + cover) / high))), holds);
    need(from, to);
  }

  function point(i, focus) {
    if (rows.has(active)) links(rows.get(active), false);
    active = i;
    const row = rows.get(i);
    if (!row) return;
    links(row, true);
    if (focus) (row.querySelector("a") ?? row).focus({ preventScroll: true });
  }

  /** Bring row i into sight and put the keyboard's finger on it. */
  function move(i) {
    const place = Math.max(0, Math.min(count - 1, i));
    const top = start() + place * high;
    if (top < scrollY + covered()) scrollTo(0, top - covered());
    else if (top + high > scrollY + innerHeight) scrollTo(0, top + high - innerHeight);
    if (!rows.has(place)) show();
    point(place, true);
  }

  const later = () => (waiting ||= requestAnimationFrame(() => show()));
  const measured = new ResizeObserver(() => {
    const now = high1();
    if (Math.abs(now - high) < 0.5) return later();
    high = now;
    return show();
  });
  body.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    const far = Math.max(1, Math.floor((innerHeight - covered()) / high) - 1);
    const to =
      { Home: 0, End: count - 1, PageDown: active + far, PageUp: active - far }[event.key] ??
      (KEYS[event.key] ? active + KEYS[event.key] : null);
    if (to === null || !count) return;
    event.preventDefault();
    move(to);
  });
  body.addEventListener("focusin", (event) => {
    const found = [...rows].find(([, row]) => row.contains(event.target));
    if (found && found[0] !== active) point(found[0], false);
  });
  addEventListener("scroll", later, { passive: true });
  addEventListener("resize", later);
  measured.observe(body.parentElement);
  body.append(above, below);

  return {
    /** So many rows now, the finger at `at`; all of them are drawn anew. */
    set(many, at = 0) {
      const focused = body.contains(document.activeElement);
      count = many;
      active = Math.max(0, Math.min(many - 1, at));
      high ||= 44;
      show(true);
      const now = high1();
      if (Math.abs(now - high) > 0.5) {
        high = now;
        show();
      }
      if (focused) point(active, true);
    },
    /** Rows that had not come are drawn anew: some have. */
    again() {
      const focused = rows.get(active)?.contains(document.activeElement);
      for (const [i, row] of rows) {
        if (!row.matches(".coming")) continue;
        const fresh = draw(i);
        links(fresh, i === active);
        row.replaceWith(fresh);
        rows.set(i, fresh);
      }
      if (focused) point(active, true);
    },
    move,
    at: () => active,
    stop() {
      cancelAnimationFrame(waiting);
      removeEventListener("scroll", later);
      removeEventListener("resize", later);
      measured.disconnect();
    },
  };
}
