/* Where the shop's public copy of the app is: entered once, for all devices, and looked at when it is entered. Part of
   the settings; only with a shop. */

import { h } from "../dom.js";
import { onlyHere } from "../../work/addresses.js";
import { named } from "../../work/this-device.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Looked } from "../../shop/pc/public-copy.js" */

const SAID = {
  title: "Public copy",
  how:
    "Links to jobs open anywhere if a copy of this app stands on a public web host. On the shop’s PC, “bothends site " +
    "DIR” writes one: put that folder on any static host, and enter its address here. No job is ever on that host. A " +
    "link carries one job, without its photos.",
  label: "Its address",
  save: "Save and check",
  none: "No public copy is entered. Links open on the shop’s network only.",
  forgotten: "Saved: no public copy.",
  checking: "Saved. Looking at it…",
  wrong: "Enter an address such as https://host.example/anything/. It must begin with https.",
  here: "Saved. It is this PC’s own address, good for a trial: for others it opens nothing.",
  /** @type {{ [found in Looked["found"]]: (version: string) => string }} */
  found: {
    same: (version) => `A public copy of this very version (${version}) answers there. Links open anywhere.`,
    other: (version) =>
      `A public copy answers there, of another version (${version}). Links open. Run “bothends site” to renew it.`,
    "not-ours": () =>
      "Something answers there, but it is no public copy of this app. Check the address and the folder.",
    hidden: () =>
      "Something answers there. Its host does not let this page look at it (CORS), so this page cannot say whether " +
      "it is the copy. Open it in a new tab and see.",
    silent: () =>
      named("Nothing answers there now, as far as {here} can tell. Links to it will not open until it does."),
  },
  open: "Open it in a new tab",
};

/**
 * The address as it is kept: a folder, without what follows it; "" where it is none.
 * @param {string} typed
 */
function folderOf(typed) {
  const text = /^[\w.-]+\.\w/.test(typed) ? `https://${typed}` : typed;
  if (!URL.canParse(text)) return "";
  const { protocol, origin, pathname, username } = new URL(text);
  if (username || (protocol !== "https:" && !(protocol === "http:" && onlyHere(text)))) return "";
  return origin + pathname.replace(/(index\.html)?$/, "").replace(/\/?$/, "/");
}

/**
 * The block.
 * @param {Context} ctx with `pc` and `files`
 * @param {string | null} now the address that is entered
 */
export function publicCopy(ctx, now) {
  const told = h("p", { role: "status", text: now ? "" : SAID.none });
  const wrong = h("p", { class: "error", role: "alert" });
  const open = /** @type {HTMLAnchorElement} */ (
    h("a", { class: "key", target: "_blank", rel: "noopener noreferrer", hidden: true }, SAID.open)
  );
  const field = /** @type {HTMLInputElement} */ (
    h("input", { id: "public-copy", type: "url", autocomplete: "off", spellcheck: "false", value: now ?? "" })
  );
  const lead = (/** @type {string | null} */ address) => {
    open.hidden = !address;
    if (address) open.href = address;
  };
  const look = async (/** @type {string} */ address) => {
    const { found, version = "" } = await ctx.pc.lookAtCopy(address);
    const here = onlyHere(address) ? `${SAID.here} ` : "";
    told.textContent = here + SAID.found[found](version);
  };
  const save = async () => {
    const typed = field.value.trim();
    const address = typed ? folderOf(typed) : null;
    wrong.textContent = address === "" ? SAID.wrong : "";
    if (address === "") return field.focus();
    wrong.textContent = await ctx.pc.enterCopy(address);
    if (wrong.textContent) return undefined;
    field.value = address ?? "";
    told.textContent = address ? SAID.checking : SAID.forgotten;
    lead(address);
    return address ? look(address) : undefined;
  };
  lead(now);
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    save().catch((/** @type {Error} */ error) => (wrong.textContent = error.message));
  };
  return h(
    "section",
    { class: "public-copy", "aria-labelledby": "public-copy-title" },
    h("h3", { id: "public-copy-title", text: SAID.title }),
    h("p", { text: SAID.how }),
    h(
      "form",
      { class: "new", onsubmit: submit },
      h("div", { class: "text-field" }, h("label", { for: "public-copy", text: SAID.label }), field, wrong),
      h("div", { class: "keys" }, h("button", { class: "key" }, SAID.save), open),
    ),
    told,
  );
}
