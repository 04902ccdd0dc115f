/* One photo whole, in front of the page: what it shows, the words on it, whether the shop has it, and the key that
   removes it. */

import { h, inFront, say } from "./dom.js";
import { showPhoto } from "./photo-show.js";
import { moment } from "../work/conflicts.js";
import { PHOTO_WORDS, nameOf, reworded } from "../work/photo-words.js";
import { strikeOf } from "../work/sheet.js";
import { named } from "../work/this-device.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { PhotoRow } from "../types/sheet.d.ts" */

const SAID = {
  words: "Words on it",
  save: "Save words",
  remove: "Remove photo",
  removed: "Photo removed",
  close: "Close",
  said: "photo",
  told: "words on a photo",
  lacks: "Photo not here yet. The device that took it sends it when it next has the shop’s network.",
  get waits() {
    return named("On {here} only; it goes to the shop after the readings.");
  },
};

/**
 * What is said under it of where it is.
 * @param {JobContext} ctx
 * @param {PhotoRow} row
 * @param {boolean} here
 */
async function placeWords(ctx, row, here) {
  const state = await ctx.photos.state(row.sha256);
  if (!state) return here ? "" : SAID.lacks;
  const paired = state.state === "waiting" && (await ctx.device.access().catch(() => null));
  return paired ? `${SAID.waits} ${state.why ?? ""}`.trim() : "";
}

/**
 * Show it.
 * @param {JobContext} ctx
 * @param {PhotoRow} row
 */
export function viewPhoto(ctx, row) {
  const picture = h("div", { class: "photo-whole" });
  const where = h("p", { class: "where", role: "status" });
  const input = h("input", { type: "text", maxlength: PHOTO_WORDS, value: row.words ?? "", autocomplete: "off" });
  /** @type {HTMLDialogElement} */
  let dialog;
  const done = (/** @type {string} */ words) => {
    dialog.close();
    say(words);
    ctx.redraw();
  };
  const save = async () => {
    const words = input.value.trim();
    if (words === (row.words ?? "")) return dialog.close();
    return (await ctx.save(reworded(row, words), { said: SAID.told })) ? done(words) : undefined;
  };
  const remove = async () => {
    if (!(await ctx.save([strikeOf({ id: row.id, root: row.id })], { said: SAID.removed }))) return;
    await ctx.photos.removed(row.sha256).catch(() => {});
    done(SAID.removed);
  };
  const key = (/** @type {string} */ words, /** @type {string} */ cls, /** @type {() => unknown} */ ontap) =>
    h("button", { type: "button", class: `key ${cls}`, autofocus: cls === "main", onclick: ontap }, words);
  dialog = h(
    "dialog",
    { class: "photo-dialog", "aria-labelledby": "photo-title" },
    h("h2", { id: "photo-title", text: nameOf(row) }),
    h("p", { class: "where", text: [moment(row), row.writer].filter(Boolean).join(", ") }),
    picture,
    where,
    h("label", { class: "photo-words" }, h("span", { text: SAID.words }), input),
    h(
      "div",
      { class: "photo-keys" },
      key(SAID.remove, "danger", remove),
      key(SAID.save, "", save),
      key(SAID.close, "main", () => dialog.close()),
    ),
  );
  inFront(dialog);
  showPhoto(ctx, row, picture, nameOf(row))
    .then((here) => placeWords(ctx, row, here))
    .then((words) => (where.textContent = words))
    .catch(() => {});
}
