/* A new job for a car that was here: found by its name, its owner or its plate, begun with what is known of it, piece
   by piece.

   Routes without a job: ["again"], and of one car ["again"] with its key as a query. */

import { h, say } from "../parts/dom.js";
import { notAllWords } from "../parts/not-all.js";
import { pieceTicks } from "../parts/pieces.js";
import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { beginWith, lineWords, piecesOf, titleOf, usedOf, wasHere } from "../work/again.js";
import { shortDate } from "../work/dates.js";
import { counted } from "../work/plural.js";

/** @import { Context, Shown } from "../types/context.d.ts" */
/** @import { Left } from "../work/again.js" */

const SAID = {
  title: "Which car?",
  find: "Name, owner or plate",
  last: (/** @type {string} */ day) => `last here ${day}`,
  none: "No such car. Try fewer letters, or start a new job.",
  looking: "Looking…",
  found: (/** @type {number} */ n) => counted(n, "{n} car found", "{n} cars found"),
  back: "Back",
  anew: "New job",
  anewSmall: "for another car",
  how: (/** @type {string} */ was) => `${was}. Untick what has changed since.`,
  bare: (/** @type {string} */ was) => `${was}. No size of it is known.`,
  pieces: "What the job begins with",
  request: "Customer’s request",
  example: "Level it, 250 mm both sides",
  start: "Start job",
  other: "Other car",
  gone: "Car not found.",
};
/** How long after the last letter cars are looked for. */
const PAUSE_MS = 200;

/** The list of cars. @param {Context} ctx @returns {Shown} */
function find(ctx) {
  const input = h("input", {
    id: "again-find",
    type: "search",
    autocomplete: "off",
    maxlength: 60,
    value: ctx.query.words ?? "",
  });
  const found = h("div", { "aria-busy": "true" }, h("p", { class: "working", role: "status", text: SAID.looking }));
  let turn = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const look = async () => {
    const mine = ++turn;
    const told = await ctx.pc.carsLike(input.value);
    const { lines } = told;
    const lacks = await notAllWords(ctx, told).catch(() => "");
    if (mine !== turn || !found.isConnected) return;
    const rows = lines.map((line) => ({
      words: lineWords(line),
      small: SAID.last(shortDate(line.last_at)),
      href: ctx.href({ words: ["again"], query: { key: line.car_key } }),
    }));
    found.replaceChildren(
      ...(lacks ? [h("p", { class: "where lacks", text: lacks })] : []),
      rows.length ? keyRows(rows) : h("p", { class: "where", text: SAID.none }),
    );
    found.removeAttribute("aria-busy");
    if (input.value) say(SAID.found(rows.length));
  };
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(look, PAUSE_MS);
  };
  input.addEventListener("input", soon);
  ctx.whileShown(() => clearTimeout(timer));
  // A phone that is being filled by its shop may not have the car yet.
  ctx.whileShown(ctx.log.listen((message) => message.what === "entries" && soon()));
  const page = shell({
    title: SAID.title,
    body: [h("div", { class: "new text-field" }, h("label", { for: "again-find", text: SAID.find }), input), found],
    quiet: { words: SAID.back, href: ctx.href({ words: ["new"] }) },
    main: { words: SAID.anew, small: SAID.anewSmall, href: ctx.href({ words: ["new"] }) },
  });
  // Looked for once the screen stands, so that typing can begin.
  queueMicrotask(look);
  return { title: SAID.title, fresh() {}, node: page.node };
}

/** The screen of one car. @param {Context} ctx @param {string} key @returns {Shown} */
function begin(ctx, key) {
  const root = h("div", { class: "plan" });
  const other = { words: SAID.other, href: ctx.href({ words: ["again"] }) };
  const put = (/** @type {Parameters<typeof shell>[0]} */ what) => root.replaceChildren(shell(what).node);
  const look = async () => {
    const { found, problem, lack } = await ctx.pc.carAt(key);
    if (!root.isConnected) return;
    if (!found) {
      const lacks = await notAllWords(ctx, { lack }).catch(() => "");
      const why = problem?.code === "not-found" ? SAID.gone : problem?.detail;
      const text = [why, lack?.text, lacks].filter(Boolean).join(" ");
      put({ title: SAID.title, body: [h("p", { class: "refused", role: "alert", text })], main: other });
      return;
    }
    const { visits, again } = found;
    const day = visits[0].last_at ?? "";
    /** @type {Left} */
    const left = { key, ...again, visit: visits[0].job, day };
    const pieces = piecesOf(left);
    const chosen = usedOf(pieces, left, { car: {}, known: {} }, true);
    const wish = h("input", {
      id: "again-wish",
      type: "text",
      maxlength: 400,
      autocomplete: "off",
      placeholder: SAID.example,
    });
    const start = async () => {
      const job = await ctx.begin(beginWith(left, chosen, wish.value.trim()));
      if (job) ctx.go({ words: ["target"] }, { job });
    };
    const was = wasHere(day);
    ctx.unsaved(() => wish.value.trim() !== "");
    put({
      title: titleOf(found) || SAID.title,
      how: pieces.length ? SAID.how(was) : SAID.bare(was),
      body: [
        pieces.length ? pieceTicks({ pieces, chosen, label: SAID.pieces }) : null,
        h(
          "form",
          {
            class: "new text-field",
            onsubmit: (/** @type {Event} */ event) => {
              event.preventDefault();
              start();
            },
          },
          h("label", { for: "again-wish", text: SAID.request }),
          wish,
        ),
      ],
      quiet: other,
      main: { words: SAID.start, ontap: start },
    });
  };
  put({ title: SAID.title, body: [h("p", { class: "working", role: "status", text: SAID.looking })], quiet: other });
  queueMicrotask(look);
  return { title: SAID.title, fresh() {}, node: root };
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export const again = (ctx) => (ctx.query.key ? begin(ctx, ctx.query.key) : find(ctx));
