/* The screen in rows that never change place: the running line, the stage, which alone scrolls, and the deck under the
   thumb. The frame's bar stands above it; style/shell.css gives the rows the whole window.

   On a low wide window, and on a PC, what is shown (words, drawing) stands beside what is done (warning, figures,
   keys). A side has its tab and a band along its own edge of the window. */

import { deck as makeDeck } from "./deck.js";
import { h, inFront } from "./dom.js";
import { readOn } from "./read-on.js";

/**
 * @typedef {import("./deck.js").KeySpec} KeySpec
 * @typedef {Node | string | null | undefined | false} Part
 * @typedef {{side?: "left" | "right" | "", title: string, heard?: string, end?: string, how?: string,
 *   verdict?: HTMLElement | null, lead?: Part[], run?: Element | null, warning?: HTMLElement | null, picture?: Node |
 *   null, facing?: boolean, corner?: Part, front?: Part[], typed?: Node | null, body?: Part[], foot?: Part, quiet?:
 *   KeySpec | null, main?: KeySpec | null, kind?: "ask" | "step" | "page"}} Screen
 */

let dialogs = 0;

/** How it is done, in front of the page, for a window too low to have it in the open. */
function openHow(/** @type {string} */ title, /** @type {string} */ how) {
  const id = `how-${(dialogs += 1)}`;
  const dialog = h(
    "dialog",
    { class: "how-dialog", "aria-labelledby": id },
    h(
      "form",
      { method: "dialog" },
      h("h2", { id, text: title }),
      h("p", { text: how }),
      h("button", { class: "key main" }, "Close"),
    ),
  );
  inFront(dialog);
}

/**
 * The tab of a side, the title beside it, and how it is done.
 * @param {Screen} screen
 */
function head({ side = "", title, heard, end, how, kind, verdict, lead = [] }) {
  if (verdict) return h("div", { class: "heading" }, verdict, lead);
  return h(
    "div",
    { class: "heading" },
    side ? h("span", { class: "tab", "aria-hidden": "true", text: side.toUpperCase() }) : null,
    h(
      "h1",
      { tabindex: "-1" },
      end && kind === "step" ? h("span", { class: "at-end", text: `${end} ` }) : null,
      title,
      side || heard ? h("span", { class: "unseen", text: heard ?? `, ${side}` }) : null,
    ),
    how ? h("p", { class: "how-line", text: how }) : null,
    lead,
  );
}

/**
 * The drawing in its frame, with the way the front lies and, on a low window, the key to how it is done.
 * @param {Screen} screen
 */
function framed({ side, title, picture, facing, corner, how }) {
  const front = side === "right" ? "front ▶" : "◀ front";
  return h(
    "div",
    { class: "picture" },
    picture,
    facing && side ? h("span", { class: "facing", "aria-hidden": "true", text: front }) : null,
    how
      ? h(
          "button",
          { type: "button", class: "how-fold", "aria-label": `How: ${title}`, onclick: () => openHow(title, how) },
          "how",
        )
      : null,
    corner,
  );
}

/** A box that scrolls and holds nothing to tab to is tabbed to itself, so that arrow keys scroll it. */
function reachable(/** @type {HTMLElement[]} */ ...boxes) {
  const sizes = new ResizeObserver(() => {
    for (const box of boxes) {
      const scrolls = box.scrollHeight > box.clientHeight + 1 && getComputedStyle(box).overflowY === "auto";
      if (scrolls && !box.querySelector("a, button, input, summary, select, textarea")) box.tabIndex = 0;
      else box.removeAttribute("tabindex");
    }
  });
  for (const box of boxes) for (const one of [box, ...box.children]) sizes.observe(one);
}

/**
 * A screen. What it shows: `title` (beside it `side`, said as "title, side"; `heard` instead of the side), `end` (a
 * step's end of the bar), or instead of all that a `verdict` (a plate of level h1), then `lead`, `how` (one line,
 * folded where the window is low), `picture` (facing: with the way to the front; `corner`: a key in it), `front` (more
 * of what is shown). What is done: `warning` (parts/warning.js), `typed` (parts/pad.js), `body`. `foot` stands beside
 * the deck on a low window, above it elsewhere. `kind` is "ask" where something is typed, "step" for large words read
 * from under a car, "page" for the rest.
 *
 * A warning longer than its room makes the main key say "Read on" until its end was seen.
 * @param {Screen} screen
 * @returns {{node: HTMLElement, stage: HTMLElement, title: HTMLElement, deck: ReturnType<typeof makeDeck>,
 *   read: () => boolean}} `read` tells whether the warning was seen to its end
 */
export function shell(screen) {
  const { side = "", run, warning, picture, front = [], typed, body = [], foot, quiet, main } = screen;
  const kind = screen.kind ?? (typed ? "ask" : "page");
  const keys = makeDeck({ quiet, main });
  const left = h(
    "div",
    { class: "front" },
    head({ ...screen, side, kind }),
    picture ? framed({ ...screen, side }) : null,
    front,
  );
  const right = [warning, typed, ...body].some(Boolean) ? h("div", { class: "rest" }, warning, typed, body) : null;
  const stage = h("div", { class: "stage" }, left, right);
  const two = picture && right ? "two" : "";
  const node = h(
    "div",
    { class: `shell kind-${kind} ${side} ${two} ${run ? "" : "no-run"}`.replace(/ +/g, " ").trim() },
    side ? h("div", { class: "band", "aria-hidden": "true" }) : null,
    run ?? null,
    stage,
    foot ? h("div", { class: "foot" }, foot) : null,
    keys.node,
  );
  reachable(...[stage, left, right].filter((box) => box !== null));
  const read = warning ? readOn(warning, keys) : () => true;
  return { node, stage, title: /** @type {HTMLElement} */ (left.querySelector("h1")), deck: keys, read };
}

/**
 * Where the parts of the screen that scroll stand; call what is returned once the screen was drawn again.
 * @param {ParentNode} [within]
 * @returns {() => void}
 */
export function keepScroll(within = document) {
  const parts = () => [...within.querySelectorAll(".stage, .stage > .front, .stage > .rest")];
  const tops = parts().map((part) => part.scrollTop);
  return () => parts().forEach((part, i) => (part.scrollTop = tops[i] ?? 0));
}
