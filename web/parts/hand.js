/* Which hand holds the phone: the deck and the pad stand under its thumb. Kept with this browser. */

const PLACE = "bothends/hand";

/**
 * The hand chosen in this browser.
 * @returns {"left" | "right"}
 */
export function hand() {
  try {
    return localStorage.getItem(PLACE) === "left" ? "left" : "right";
  } catch {
    return document.body.dataset.hand === "left" ? "left" : "right";
  }
}

/**
 * Show the page for a hand: the sheet of styles mirrors what hands touch.
 * @param {"left" | "right"} [which] as chosen before, unless given
 */
export function showHand(which = hand()) {
  document.body.dataset.hand = which;
}

/**
 * Choose a hand for this browser, at once.
 * @param {"left" | "right"} which
 */
export function setHand(which) {
  showHand(which);
  try {
    localStorage.setItem(PLACE, which);
  } catch {
    // It holds as long as the page does.
  }
}
