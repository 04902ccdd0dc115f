/* Right and wrong by form: on target is a light plate with a tick in its ring, off target the plate turned over
   (paper on ink) with a cross and what to do. Rows of figures in the same two forms, cards, folded sections, rows of
   keys. */

import { h, unseen } from "./dom.js";
import { icon } from "./icons.js";

/** @import { Heading } from "./dom.js" */

/** @typedef {Node | string | null | undefined | false} Part */

const sign = (/** @type {boolean} */ good) => icon(good ? "tick" : "cross", { ring: good });

/**
 * A verdict: `title`, under it what it means or what to do.
 * @param {{good: boolean, title: string, text?: Part | Part[], level?: Heading}} what `level` "h1" where it is the
 * screen's
 * @returns {HTMLElement}
 */
export function plate({ good, title, text, level = "h2" }) {
  return h(
    "section",
    { class: `verdict-plate ${good ? "good" : "wrong"}` },
    sign(good),
    h(level, { tabindex: level === "h1" ? "-1" : null }, title),
    text
      ? h(
          "div",
          { class: "says" },
          [text].flat().map((one) => (typeof one === "string" ? h("p", { text: one }) : one)),
        )
      : null,
  );
}

/**
 * One figure judged: tick or cross, its name, the figure, a note ("1 above target"). `good` null where nothing judges
 * it.
 * @param {{good: boolean | null, name: string, figure: string, note?: string}} what
 * @returns {HTMLElement}
 */
export function rowPlate({ good, name, figure, note = "" }) {
  const form = good === null ? "plain" : good ? "good" : "wrong";
  return h(
    "li",
    { class: `row-plate ${form}` },
    good === null ? h("span") : sign(good),
    h("b", { class: "name", text: name }),
    h("b", { class: "figure-of", text: figure }),
    h("span", { class: "note", text: note }),
    good === null ? null : h("span", { class: "unseen", text: good ? ", on target" : ", off target" }),
  );
}

/**
 * Rows under each other.
 * @param {Parameters<typeof rowPlate>[0][]} rows
 * @returns {HTMLElement}
 */
export const rowPlates = (rows) => h("ul", { class: "row-plates" }, rows.map(rowPlate));

/**
 * A folded section: `title`, at the end of its line `more` ("6 done", "49 in 100").
 * @param {{title: string, more?: string, open?: boolean, id?: string, level?: Heading}} what
 * @param {...Part} children
 * @returns {HTMLElement}
 */
export function fold({ title, more, open = false, id, level }, ...children) {
  const name = level ? h(level, { text: title }) : h("span", { text: title });
  return h(
    "details",
    { class: "fold", open, id },
    h("summary", null, name, more ? h("b", { class: "more", text: more }) : null),
    h("div", { class: "folded" }, children),
  );
}

/**
 * A card, the whole of it a link or a key where it has `href` or `ontap`. `form`: "in-work" (thick edge),
 * "dashed" (a limit, or as found), "striped" (assumed), "" otherwise.
 * @param {{href?: string, ontap?: () => void, form?: "" | "in-work" | "dashed" | "striped", cls?: string}} what
 * @param {...(Part | Part[])} children
 * @returns {HTMLElement}
 */
export function card({ href, ontap, form = "", cls = "" }, ...children) {
  const tag = href !== undefined ? "a" : ontap ? "button" : "div";
  const own = { class: `card ${form} ${cls}`.replace(/ +/g, " ").trim(), href, onclick: ontap };
  return h(tag, tag === "button" ? { ...own, type: "button" } : own, children);
}

/**
 * What is assumed, as one striped line that is a key: "Droop travel 90 ± 41 mm is assumed; the plan needs 102."
 * "Measure".
 * @param {{text: string, words: string, href: string}} what
 * @returns {HTMLElement}
 */
export const assumedLine = ({ text, words, href }) =>
  card({ href, form: "striped", cls: "line" }, h("span", { text }), h("b", { text: words }));

/**
 * A card with a key at its end: name, lines, and the way to measure it.
 * @param {{name: string, lines: Part[], key: {words: string, small?: string, href: string}, form?: "" | "dashed"}} what
 * @returns {HTMLElement}
 */
export function keyCard({ name, lines, key, form = "" }) {
  return h(
    "li",
    { class: `card with-key ${form}`.trim() },
    h(
      "div",
      { class: "lines" },
      h("strong", { text: name }),
      lines.map((line) => (typeof line === "string" ? h("p", { text: line }) : line)),
    ),
    h(
      "a",
      { class: "key", href: key.href },
      key.words,
      key.small ? [" ", h("span", { class: "small", text: key.small })] : null,
      unseen(`: ${name}`),
    ),
  );
}

/**
 * What stands on a large row key: picture, words, small words. As a `label` of choice.js, or in a key of one's own.
 * @param {{picture?: Node | null, words: string, small?: string}} what
 * @returns {Part[]}
 */
export const rowLabel = ({ picture, words, small }) => [
  picture ?? null,
  h(
    "span",
    { class: "row-words" },
    h("strong", { text: words }),
    small ? h("span", { class: "small", text: small }) : null,
  ),
];

/**
 * Rows that lead on at once (a menu): each a link or a key over the whole width.
 * @param {{picture?: Node | null, words: string, small?: string, href?: string, ontap?: () => void}[]} rows
 * @returns {HTMLElement}
 */
export const keyRows = (rows) =>
  h(
    "ul",
    { class: "key-rows" },
    rows.map(({ href, ontap, ...label }) =>
      h(
        "li",
        null,
        href !== undefined
          ? h("a", { class: "key row-key", href, onclick: ontap }, rowLabel(label))
          : h("button", { type: "button", class: "key row-key", onclick: ontap }, rowLabel(label)),
      ),
    ),
  );

/**
 * How far a job is, as a row of stages: "done", "now", "later".
 * @param {{words: string, is: "done" | "now" | "later"}[]} stages
 * @returns {HTMLElement}
 */
export const stages = (stages) =>
  h(
    "ol",
    { class: "stages" },
    stages.map(({ words, is }) =>
      h(
        "li",
        { class: is, "aria-current": is === "now" ? "step" : null },
        words,
        is === "done" ? h("span", { class: "unseen", text: ", done" }) : null,
      ),
    ),
  );

/** Facts that are assumed, each with its value. @param {{name: string, value: string}[]} rows */
export const assumedList = (rows) =>
  h(
    "ul",
    { class: "assumed-list" },
    rows.map(({ name, value }) => h("li", null, `${name}: `, h("b", { text: value }))),
  );
