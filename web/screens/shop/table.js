/* The jobs of the shop as a table: searched, narrowed, sorted; what is on this device alone stands on top.

   Owns columns, words of the marks, the fields that narrow, and the address that says all of it, so that going back
   leads to the same rows. Rows come from shop/pc/job-rows.js; which are in the page is table-window.js' business. */

import { h, say } from "../../parts/dom.js";
import { rearSign } from "../../parts/draw/rear.js";
import { inHundred, plain } from "../../work/numbers.js";
import { useStyle } from "../../parts/style.js";
import { inches, inchText } from "../../work/units.js";
import { shortDate } from "../../work/dates.js";
import { windowRows } from "./table-window.js";
import { lackNote } from "../../parts/shop/lack.js";
import { STATES, STATE_WORDS } from "../../work/pc/job-order.js";
import { tolerant } from "../../work/sheet.js";
import { pathOf } from "../../work/pc/path-of.js";

const TYPING_MS = 250;
const NEWS_MS = 1500;
const ASKED = ["query", "state", "car", "owner", "since", "until", "sort", "order"];

const unit = () => (inches() ? "in" : "mm");
const height = (mm) => ((mm ?? null) === null ? "" : inches() ? inchText(mm) : plain(mm, 0));

/** What is special about a job, in words: [[class, text, where it is seen to], ...]; numbers are of entries. */
function marks(row) {
  return [
    row.only ? ["only", "only on this device"] : row.waiting ? ["only", `${plain(row.waiting, 0)} not synced`] : null,
    row.refused ? ["bad", `${plain(row.refused, 0)} refused by the shop`] : null,
    row.conflicts ? ["bad", `${row.conflicts} to resolve`, `#/desk?job=${row.job}`] : null,
    row.puzzles ? ["bad", `${plain(row.puzzles, 0)} not understood`] : null,
  ].filter(Boolean);
}

/** The figures of a target: one where both sides are alike. */
function targetFigures({ target_left_mm: left, target_right_mm: right }) {
  if (left === null || right === null) return "";
  return left === right ? height(left) : `${height(left)} / ${height(right)}`;
}

/** The target: a sign of the car from behind, as it stands between its gates, and the figures. */
function targetCell(_, row) {
  const figures = targetFigures(row);
  if (!figures) return null;
  const sign = rearSign({
    now: { left: row.left_mm, right: row.right_mm },
    target: { left: row.target_left_mm, right: row.target_right_mm, tolerance: tolerant(row).tolerance_mm },
  });
  return [sign, h("span", { text: figures })];
}

/** What is to be done about a job. */
const marksCell = (_, row) =>
  h(
    "span",
    {
      title: marks(row)
        .map(([, text]) => text)
        .join(", "),
    },
    marks(row).map(([cls, text, href]) => h(href ? "a" : "span", { class: `mark ${cls}`, href }, text)),
  );

const nameCell = (ctx, row) =>
  h(
    "a",
    { class: "opens", href: ctx.href({ words: ["list"] }, row.job), "data-job": row.job },
    row.car || row.title || "Car without a name",
  );

const visitsCell = (_, row) =>
  row.car_key
    ? h(
        "a",
        {
          href: pathOf("#/car", { key: row.car_key }),
          "aria-label": `Visits of ${row.car}${row.owner ? `, ${row.owner}` : ""}`,
        },
        "Visits",
      )
    : null;

/** Columns: name in the address (what it sorts by), heading, which way first, what stands in the cell. */
const COLUMNS = [
  { sort: "car", head: "Car", first: "up", cls: "col-car", cell: nameCell },
  { sort: "owner", head: "Owner", first: "up", cls: "col-owner", cell: (_, row) => row.owner },
  { sort: "wish", head: "Request", first: "up", cls: "col-wish", cell: (_, row) => row.wish },
  {
    sort: "state",
    head: "Status",
    first: "up",
    cls: "col-state",
    cell: (_, row) => STATE_WORDS[row.state] ?? row.state,
  },
  {
    sort: "teardowns",
    head: "Teardowns",
    short: "teardowns",
    first: "down",
    cls: "figure-cell col-teardowns",
    cell: (_, row) => plain(row.teardowns, 0),
  },
  { head: () => `Target, ${unit()}`, short: "target", cls: "figure-cell col-target", cell: targetCell },
  {
    sort: "left",
    head: () => `Left now, ${unit()}`,
    short: "left",
    first: "down",
    cls: "figure-cell col-left",
    cell: (_, row) => height(row.left_mm),
  },
  {
    sort: "right",
    head: () => `Right now, ${unit()}`,
    short: "right",
    first: "down",
    cls: "figure-cell col-right",
    cell: (_, row) => height(row.right_mm),
  },
  {
    sort: "odds",
    head: "Predicted chance",
    short: "predicted",
    first: "down",
    cls: "figure-cell col-odds",
    cell: (_, row) => (row.odds === null ? "" : inHundred(row.odds)),
  },
  {
    sort: "worked",
    head: "Last worked on",
    first: "down",
    cls: "figure-cell col-worked",
    cell: (_, row) => (row.last_at ? shortDate(row.last_at) : ""),
  },
  { sort: "unsettled", head: "To do", first: "down", cls: "marks col-marks", cell: marksCell },
  { head: "Car’s page", cls: "car-cell col-visits", cell: visitsCell },
];
const headOf = ({ head }) => (typeof head === "function" ? head() : head);
const SORTS = COLUMNS.filter(({ sort }) => sort);
/** The order of arrival at the shop has no column; it is what the table starts with. */
const START = { sort: "arrival", order: "down" };

/** Where somebody was in the table, to be found again by going back: {address, top, at}. */
let left = null;

function fields(ctx, asked, changed) {
  const field = (name, label, props, cls = "") => {
    const input = h("input", {
      id: `find-${name}`,
      autocomplete: "off",
      value: asked[name],
      ...props,
      oninput: () => changed({ [name]: input.value.trim() }),
    });
    return h("div", { class: `find ${cls}` }, h("label", { for: `find-${name}`, text: label }), input);
  };
  const select = (name, label, options, cls, pick) => {
    const input = h(
      "select",
      { id: `find-${name}`, onchange: () => pick(input.value) },
      options.map(([value, text]) => h("option", { value, text })),
    );
    return h("div", { class: `find ${cls}` }, h("label", { for: `find-${name}`, text: label }), input);
  };
  const states = [["", "all"], ["open", "open"], ...STATES.map((name) => [name, STATE_WORDS[name]])];
  const sorts = [
    ["arrival down", "last arrived"],
    ...SORTS.map((column) => [`${column.sort} ${column.first}`, headOf(column)]),
  ];
  const cars = h("datalist", { id: "find-cars" });
  const state = select("state", "Status", states, "", (value) => changed({ state: value }));
  const sort = select("sort", "Sorted by", sorts, "sorted", (value) =>
    changed({ sort: value.split(" ")[0], order: value.split(" ")[1] }),
  );
  state.querySelector("select").value = asked.state;
  sort.querySelector("select").value =
    sorts.map(([value]) => value).find((value) => value.startsWith(`${asked.sort} `)) ?? "arrival down";
  // Names to choose from; whoever types another one is not kept from it.
  ctx.pc
    .askShop("/api/cars?limit=500")
    .then(({ body }) =>
      cars.append(...[...new Set((body?.cars ?? []).map(({ car }) => car))].map((value) => h("option", { value }))),
    )
    .catch(() => {});
  const more = h(
    "div",
    { class: "narrowing", id: "find-more" },
    state,
    field("car", "Car", { type: "text", maxlength: 200, list: "find-cars" }),
    field("owner", "Owner", { type: "text", maxlength: 200 }),
    field("since", "Worked on from", { type: "date" }),
    field("until", "Worked on until", { type: "date" }),
    sort,
    cars,
  );
  // On a phone the rows come first; what narrows them opens when wanted.
  const open = (on) => {
    more.classList.toggle("open", on);
    key.setAttribute("aria-expanded", String(on));
  };
  const key = h(
    "button",
    {
      type: "button",
      class: "key narrow-key",
      "aria-controls": "find-more",
      onclick: () => open(!more.classList.contains("open")),
    },
    "Filter and sort",
  );
  open(ASKED.slice(1, 6).some((name) => asked[name]));
  return h(
    "form",
    { class: "finding", role: "search", onsubmit: (event) => event.preventDefault() },
    field(
      "query",
      "Find by car, owner, request or title",
      { type: "search", maxlength: 200, placeholder: "Gannet", "aria-keyshortcuts": "/" },
      "wide",
    ),
    key,
    more,
  );
}

/** The screen. */
export function table(ctx) {
  useStyle("table");
  const asked = Object.fromEntries(ASKED.map((name) => [name, ctx.query[name] ?? ""]));
  if (!SORTS.some(({ sort }) => sort === asked.sort)) Object.assign(asked, START);
  const body = h("tbody", { role: "rowgroup" });
  const head = h("tr", { role: "row", "aria-rowindex": 1 });
  const grid = h(
    "table",
    { class: "jobs-table", role: "table", "aria-describedby": "table-count" },
    h("caption", { class: "unseen", text: "Jobs" }),
    h("thead", { role: "rowgroup" }, head),
    body,
  );
  const count = h("p", { id: "table-count", class: "where", role: "status", text: "Loading…" });
  const note = h("div");
  let found = null;
  let turn = 0;
  let timer = 0;

  const cellsOf = (row) =>
    COLUMNS.map((column) =>
      h("td", { role: "cell", class: column.cls, "data-short": column.short }, row ? column.cell(ctx, row) : null),
    );
  function draw(i) {
    const row = found.at(i);
    return h(
      "tr",
      {
        role: "row",
        "aria-rowindex": i + 2,
        class: row ? (row.only ? "here" : "") : "coming",
        "aria-busy": row ? null : "true",
      },
      cellsOf(row),
    );
  }
  const rows = windowRows({
    body,
    columns: COLUMNS.length,
    draw,
    need: async (from, to) => {
      const now = found;
      if ((await now?.need(from, to)) && now === found) rows.again();
    },
  });

  function headings() {
    head.replaceChildren(
      ...COLUMNS.map((column) => {
        const { sort, first, cls } = column;
        if (!sort) return h("th", { scope: "col", role: "columnheader", class: cls }, headOf(column));
        const on = asked.sort === sort;
        const way = on ? (asked.order === "up" ? "ascending" : "descending") : "none";
        const turned = asked.order === "up" ? "down" : "up";
        const key = h(
          "button",
          { type: "button", class: "sorts", onclick: () => changed({ sort, order: on ? turned : first }) },
          headOf(column),
          h("span", { class: "way-mark", "aria-hidden": "true", text: on ? (asked.order === "up" ? " ▲" : " ▼") : "" }),
        );
        return h(
          "th",
          { scope: "col", role: "columnheader", class: cls, "aria-sort": way },
          key,
          h("span", { class: "phone-head", text: headOf(column) }),
        );
      }),
    );
  }

  /** The address says what is asked for; the page stays as it is. */
  function address() {
    const said = Object.fromEntries(
      ASKED.filter((name) => asked[name] && asked[name] !== START[name]).map((name) => [name, asked[name]]),
    );
    return ctx.href({ words: ["table"], query: said }, "");
  }

  function counted() {
    const { total, only, lack } = found;
    const jobs = `${plain(total, 0)} ${total === 1 ? "job" : "jobs"}`;
    const where = lack ? " on this device" : only ? `, ${plain(only, 0)} of them only on this device` : "";
    const narrowed = ASKED.slice(0, 6).some((name) => asked[name]);
    return total
      ? `${jobs}${where}${narrowed ? ", filtered" : ""}.`
      : narrowed
        ? "No jobs match."
        : lack
          ? "No jobs on this device."
          : "No jobs yet.";
  }

  /** Where a job stands now, as far as its row has come; else where the finger was. */
  function placeOf(job, otherwise) {
    for (let i = 0; job && i < found.total && found.at(i); i += 1) if (found.at(i).job === job) return i;
    return otherwise;
  }

  async function look({ quiet = false } = {}) {
    const mine = (turn += 1);
    const next = await ctx.pc.find(asked).catch((error) => ({
      total: 0,
      only: 0,
      lack: { code: "failed", text: error.detail ?? error.message },
      at: () => null,
      need: async () => false,
    }));
    if (mine !== turn || !grid.isConnected) return;
    const held = quiet ? found?.at(rows.at())?.job : null;
    found = next;
    grid.setAttribute("aria-rowcount", String(found.total + 1));
    const back = left?.address === address() ? left : null;
    left = null;
    rows.set(found.total, quiet ? placeOf(held, rows.at()) : (back?.at ?? 0));
    if (back) {
      scrollTo(0, back.top);
      rows.move(back.at);
    }
    note.replaceChildren(
      ...(found.lack ? [lackNote(found.lack, "Below: the jobs on this device.", () => look())] : []),
    );
    const text = counted();
    if (count.textContent !== text) count.textContent = text;
    if (!quiet) say(text);
  }

  function changed(change) {
    Object.assign(asked, change);
    headings();
    history.replaceState(null, "", address());
    document.body.dataset.at = location.hash;
    clearTimeout(timer);
    timer = setTimeout(look, "sort" in change || "state" in change ? 0 : TYPING_MS);
  }

  const form = fields(ctx, asked, changed);
  const search = form.querySelector("#find-query");
  const slash = (event) => {
    if (
      event.key !== "/" ||
      event.target.closest("input, select, textarea") ||
      event.ctrlKey ||
      event.metaKey ||
      event.altKey
    )
      return;
    event.preventDefault();
    search.focus();
    search.select();
  };
  document.addEventListener("keydown", slash);
  search.addEventListener("keydown", (event) => {
    if (event.key !== "ArrowDown" || !found?.total) return;
    event.preventDefault();
    rows.move(rows.at());
  });
  // A click anywhere in a row opens it; its links do what they say.
  body.addEventListener("click", (event) => {
    const link = event.target.closest("a") ? null : event.target.closest("tr")?.querySelector("a.opens");
    if (link && !String(getSelection())) link.click();
  });
  let news = 0;
  ctx.whileShown(
    ctx.log.listen((message) => {
      if (!["entries", "marks", "access"].includes(message.what)) return;
      clearTimeout(news);
      news = setTimeout(() => look({ quiet: true }), message.what === "access" ? 0 : NEWS_MS);
    }),
  );
  ctx.whileShown(() => {
    left = { address: address(), top: scrollY, at: rows.at() };
    turn += 1;
    clearTimeout(timer);
    clearTimeout(news);
    document.removeEventListener("keydown", slash);
    rows.stop();
  });
  headings();
  queueMicrotask(look);
  return {
    title: "Jobs",
    fresh() {},
    node: h(
      "div",
      { class: "jobs-page" },
      h("h1", { text: "Jobs" }),
      form,
      h(
        "p",
        { class: "hint where" },
        "Arrow keys go from row to row, Enter opens, ",
        h("kbd", { text: "/" }),
        " goes to the search.",
      ),
      note,
      count,
      grid,
    ),
  };
}
