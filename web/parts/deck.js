/* The two keys under the thumb, the last row of every screen: quiet on the one side (not now, read first, back), and on
   the other the main key, the one yellow thing. They never change place; nothing that destroys stands here. */

import { h } from "./dom.js";

/**
 * What a key says and does: `words`, under them `small`, `heard` instead of both where they do not tell enough;
 * `href` or `ontap`; `off` where it cannot be used now.
 * @typedef {{words: string, small?: string, heard?: string, href?: string, ontap?: (event: Event) => void,
 *   off?: boolean, huge?: boolean}} KeySpec
 */

/**
 * A key of the deck: a link where it has an address, else a button.
 * @param {KeySpec} spec
 * @param {"quiet" | "main"} kind
 * @returns {HTMLElement}
 */
function deckKey(spec, kind) {
  const how = { class: `key ${kind}${spec.huge ? " huge" : ""}`, "aria-label": spec.heard, "data-deck": kind };
  const words = [spec.words, spec.small ? [" ", h("span", { class: "small", text: spec.small })] : null];
  const off = spec.off ? "true" : null;
  if (spec.href !== undefined && !off) return h("a", { ...how, href: spec.href, onclick: spec.ontap }, words);
  return h("button", { ...how, type: "button", "aria-disabled": off, onclick: off ? null : spec.ontap }, words);
}

/**
 * The deck. Without `quiet` its place stays empty, so that the main key keeps its own; without `main` likewise.
 * @param {{quiet?: KeySpec | null, main?: KeySpec | null}} specs
 * @returns {{node: HTMLElement, show: (specs: {quiet?: KeySpec | null, main?: KeySpec | null}) => void,
 *   main: () => HTMLElement | null, quiet: () => HTMLElement | null, tap: () => void,
 *   hold: (reading: KeySpec | null) => void}}
 *   `show` draws one or both keys again; `tap` does what the main key does (Enter in a field); `hold` puts another key
 *   in the main key's place until it is called with null.
 */
export function deck(specs) {
  /** @type {{quiet?: KeySpec | null, main?: KeySpec | null}} */
  let now = {};
  /** @type {KeySpec | null} */
  let held = null;
  const node = h("div", { class: "deck", role: "group", "aria-label": "Go on" });
  /** @type {(kind: string) => HTMLElement | null} */
  const find = (kind) => node.querySelector(`[data-deck="${kind}"]`);
  const show = (/** @type {{quiet?: KeySpec | null, main?: KeySpec | null}} */ next) => {
    now = { ...now, ...next };
    const focused = document.activeElement?.getAttribute("data-deck");
    const inside = node.contains(document.activeElement);
    const main = held ?? now.main;
    node.replaceChildren(
      now.quiet ? deckKey(now.quiet, "quiet") : h("span", { class: "quiet" }),
      main ? deckKey(main, "main") : h("span", { class: "main-place" }),
    );
    if (inside && focused) find(focused)?.focus({ preventScroll: true });
  };
  show(specs);
  return {
    node,
    show,
    main: () => find("main"),
    quiet: () => find("quiet"),
    tap: () => find("main")?.click(),
    hold(reading) {
      held = reading;
      show({});
    },
  };
}
