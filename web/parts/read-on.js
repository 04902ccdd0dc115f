/* A text that must be read to its end: while its end was not seen the main key says "Read on" and scrolls by a page;
   it becomes itself once the end has been in the window. The text itself is never cut. */

import { h, say } from "./dom.js";

/** The part of a page that a step goes on by, so that the last line seen is seen again. */
const PAGE = 0.8;
/** A second tap of the same two is not yet an answer, [ms]. */
const SAME_TAP_MS = 500;
/** What of a pixel a browser may round away. */
const ROUNDED_PX = 1.5;

/** The nearest box around an element that scrolls. */
function scroller(/** @type {HTMLElement} */ element) {
  for (let box = element.parentElement; box; box = box.parentElement) {
    const { display, overflowY } = getComputedStyle(box);
    if (display !== "contents" && ["auto", "scroll"].includes(overflowY)) return box;
  }
  return document.scrollingElement ?? document.documentElement;
}

/**
 * Hold a deck's main key until the end of `text` was seen.
 * @param {HTMLElement} text
 * @param {ReturnType<typeof import("./deck.js").deck>} deck
 * @returns {() => boolean} whether the end was seen
 */
export function readOn(text, deck) {
  const end = h("span", { class: "text-end", "aria-hidden": "true" });
  text.append(end);
  let seen = false;
  let since = -Infinity;
  const atEnd = () => {
    const box = scroller(text);
    const bottom = Math.min(box.getBoundingClientRect().bottom, innerHeight);
    return end.isConnected && end.getBoundingClientRect().bottom <= bottom + ROUNDED_PX;
  };
  const page = () => {
    const box = scroller(text);
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    box.scrollBy({ top: box.clientHeight * PAGE, behavior: calm ? "auto" : "smooth" });
    since = performance.now();
    say("The text goes on.");
  };
  const reveal = () => {
    if (seen) return;
    seen = true;
    sizes.disconnect();
    sight.disconnect();
    deck.hold(null);
  };
  const look = () => atEnd() && reveal();
  // Sizes are told before the page is painted: a text that fits never shows the other key. They also tell of a turned
  // phone and of larger type; sight tells of scrolling, by whatever hand.
  const sizes = new ResizeObserver(look);
  const sight = new IntersectionObserver((all) => all.some((one) => one.isIntersecting) && look(), { threshold: 1 });
  deck.hold({ words: "Read on", heard: "Read on: the text is longer than the window", ontap: page });
  sizes.observe(text);
  sight.observe(end);
  deck.node.addEventListener(
    "click",
    (/** @type {MouseEvent} */ event) => {
      // The end came up under a finger that was tapping on.
      if (!seen || performance.now() - since > SAME_TAP_MS) return;
      event.preventDefault();
      event.stopImmediatePropagation();
    },
    true,
  );
  return () => seen;
}
