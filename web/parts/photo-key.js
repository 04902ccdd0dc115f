/* The key that takes a photo, and the photos taken of the same beside it. Never needed, never in the way of the key
   that goes on; the system's own camera takes the picture, and it is kept before anything else is asked. */

import { h, say } from "./dom.js";
import { scaled } from "./photo-scaled.js";
import { thumbs } from "./photo-thumbs.js";
import { useStyle } from "./style.js";
import { alike, itemOf, nameOf } from "../work/photo-words.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { About } from "../work/photo-words.js" */

const SAID = {
  key: "Photo",
  heard: (/** @type {string} */ name) => `Take a photo: ${name}`,
  making: "Keeping the photo…",
  kept: "Photo kept",
  odd: "This file is not a picture that can be kept. Take the photo again.",
  said: "photo",
};

/**
 * Keep a photo and its record; what went wrong, "" where nothing did.
 * @param {JobContext} ctx
 * @param {About} about
 * @param {Blob} file
 */
async function take(ctx, about, file) {
  const made = await scaled(file);
  if (!made) return SAID.odd;
  const { bytes, width, height } = made;
  /** @type {string} */
  let sha256;
  try {
    sha256 = await ctx.photos.keep(bytes);
  } catch (error) {
    return error instanceof Error ? error.message : String(error);
  }
  const state = await ctx.photos.state(sha256);
  const item = itemOf(about, { sha256, bytes: state?.size ?? bytes.length, width, height });
  if (await ctx.save([item], { said: SAID.said })) return "";
  // What was not kept is said by the page; bytes that no record names are of no use.
  await ctx.photos.drop(sha256).catch(() => {});
  return " ";
}

/**
 * The key, and photos of the same; `words` on the key.
 * @param {JobContext} ctx
 * @param {About} about
 * @param {{ cls?: string, words?: string, bare?: boolean, stays?: boolean, small?: boolean }} [how] `bare`: without the
 *   photos; `stays`: the screen is not drawn again once one was kept, since something is typed on it; `small`: what
 *   went wrong is said by the page, for there is no room beside the key
 * @returns {HTMLElement}
 */
export function photoKey(
  ctx,
  about,
  { cls = "key photo-key", words = SAID.key, bare = false, stays = false, small = false } = {},
) {
  const told = h("p", { class: "photo-told", role: "status" });
  const name = nameOf(about);
  const taken = async (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const file = input.files?.[0];
    input.value = "";
    if (!file) return;
    told.textContent = SAID.making;
    await ctx.need("photos");
    const wrong = await take(ctx, about, file);
    told.textContent = small ? "" : wrong;
    if (small && wrong.trim()) ctx.sayKept(wrong);
    if (wrong) return;
    say(SAID.kept);
    if (stays) told.textContent = SAID.kept;
    else ctx.redraw();
  };
  const input = h("input", {
    type: "file",
    accept: "image/*",
    capture: "environment",
    class: "unseen",
    "aria-label": SAID.heard(name),
    onchange: taken,
  });
  const place = h(
    "div",
    { class: "photo-place" },
    h("label", { class: cls }, h("span", { "aria-hidden": "true", text: words }), input),
    bare ? null : thumbs(ctx, alike(ctx.sheet.photos, about)),
    told,
  );
  // Before its style sheet is here it would stand where other things are.
  place.hidden = true;
  useStyle("photo", "style").then(() => (place.hidden = !globalThis.isSecureContext));
  return place;
}

/**
 * The key in a corner of a drawing, which no window is too low to show. Photos of the same stand elsewhere.
 * @param {JobContext} ctx
 * @param {About} about
 * @param {{ stays?: boolean }} [how] as above
 */
export const photoCorner = (ctx, about, { stays = false } = {}) =>
  h("div", { class: "photo-corner" }, photoKey(ctx, about, { cls: "corner-key", bare: true, small: true, stays }));
