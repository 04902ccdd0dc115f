/* What an earlier visit of a car left, piece by piece, each ticked where it is used. */

import { allows, BAR, LEARNED } from "../work/again.js";
import { ticks } from "./ticks.js";

/** @import { Piece } from "../work/again.js" */

/**
 * The rows; `chosen` is changed as they are ticked, and `onchange()` told.
 * @param {{ pieces: Piece[], chosen: Set<string>, label: string, onchange?: () => void }} what
 * @returns {HTMLElement}
 */
export function pieceTicks({ pieces, chosen, label, onchange }) {
  const node = ticks({
    label,
    rows: pieces.map(({ key, text }) => ({ key, text, done: chosen.has(key) })),
    ontick: async (key, done) => {
      if (done) chosen.add(key);
      else chosen.delete(key);
      if (key === BAR) follow();
      onchange?.();
      return true;
    },
  });
  /** @type {HTMLInputElement | null} */
  const learned = node.querySelector(`[id="tick-${LEARNED}"]`);
  // Of other bars it says nothing.
  const follow = () => {
    if (!learned) return;
    learned.disabled = !allows(pieces, chosen);
    if (!learned.disabled) return;
    chosen.delete(LEARNED);
    learned.checked = false;
  };
  follow();
  return node;
}
