/* Pairing with a shop: the code from its PC, what this device is to be called there, and then the app to install. */

import { h, say } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { named, onPc } from "../work/this-device.js";

const SAID = {
  title: "Pair with a shop",
  how: "On the shop’s PC open Devices, or run “bothends pair”, to get a code. Use it once, within 10 min.",
  pair: "Pair",
  back: "All jobs",
  code: "Pairing code",
  name: named("Name of {here}"),
  lacking: "Enter the code shown on the shop’s PC.",
  unpair: "Unpair",
  alone: named("Everything works without a shop too. Data then stays on {here}."),
  paired: "Paired",
  syncs: "Data syncs with the shop by itself. Offline it waits.",
  jobs: "Jobs",
  settings: "Settings",
  called: (/** @type {string} */ name) => named(`At the shop {here} is called “${name}”.`),
  now: (/** @type {string} */ name) =>
    `Paired as “${name}”. Use a new code to pair it again, for example after its access was ended.`,
  still: (/** @type {string} */ name) => named(`{Here} stays paired as “${name}”.`),
};

/** A name to start from; people change it. */
const usual = () => (/iPhone|iPad/.test(navigator.userAgent) ? "iPhone" : onPc() ? "PC" : "Phone");
const sentence = (/** @type {string} */ text) =>
  `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.?]$/.test(text) ? "" : "."}`;

/** What comes from a module that may not be here without the server; nothing else depends on it.
 * @param {any} ctx @param {(made: any) => (Node | string)[]} make */
function fetched(ctx, make) {
  const place = h("div", { class: "mine" });
  import("../parts/shop/install.js").then(
    (made) => place.append(...make(made)),
    () => {},
  );
  return place;
}

/** After pairing: what it is called, what happens now, the app to install. @param {any} ctx @param {string} name */
const done = (ctx, name) =>
  shell({
    title: SAID.paired,
    body: [
      h(
        "div",
        { class: "start" },
        h("p", null, h("strong", { text: SAID.called(name) })),
        h("p", { text: SAID.syncs }),
        fetched(ctx, ({ installOffer }) => [installOffer(ctx)]),
      ),
    ],
    quiet: { words: SAID.settings, href: "#/settings" },
    main: { words: SAID.jobs, href: "#/" },
  });

/** A field with its label above. @param {string} label @param {HTMLElement} input @param {Node} [more] */
const labelled = (label, input, more) =>
  h("div", { class: "text-field" }, h("label", { for: input.id, text: label }), input, more ?? null);

/** The fields: the code as it came, a name to change, what is wrong. @param {string} came */
function fields(came) {
  const usually = { type: "text", autocomplete: "off" };
  const code = h("input", {
    ...usually,
    id: "pair-code",
    maxlength: 40,
    autocapitalize: "characters",
    spellcheck: "false",
    placeholder: "ABCD-EFGH",
    value: came,
    "aria-describedby": "pair-error",
  });
  const name = h("input", { ...usually, id: "pair-name", maxlength: 80, value: usual() });
  const error = h("p", { class: "error", id: "pair-error", role: "alert" });
  return {
    code: /** @type {HTMLInputElement} */ (code),
    name: /** @type {HTMLInputElement} */ (name),
    error,
  };
}

/**
 * The screen.
 * @param {any} ctx
 */
export function pair(ctx) {
  const came = ctx.address.cameIn("pair");
  const { code, name, error } = fields(came);
  const now = h("p", { class: "where" });
  /** @type {{name: string} | null} */
  let held = null;
  const unpair = async () => {
    await ctx.device.setAccess(null);
    ctx.go({ words: ["settings"] });
  };
  const forget = h("button", { type: "button", class: "key danger", hidden: true, onclick: unpair }, SAID.unpair);
  ctx.device.access().then(
    (/** @type {{name: string} | null} */ found) => {
      held = found;
      forget.hidden = !found;
      now.textContent = found ? SAID.now(found.name) : SAID.alone;
      if (found) name.value = found.name;
    },
    () => {},
  );
  let busy = false;
  async function work() {
    if (busy) return;
    const typed = code.value.trim();
    if (!typed) {
      error.textContent = SAID.lacking;
      code.focus();
      return;
    }
    busy = true;
    page.deck.show({ main: { ...main, off: true } });
    error.textContent = "";
    try {
      const found = await ctx.shop.pair(typed, name.value.trim() || usual());
      ctx.address.letGo("pair");
      say(`Paired as ${found.name}`);
      const then = done(ctx, found.name);
      page.node.replaceWith(then.node);
      then.title.focus();
    } catch (problem) {
      const { message, problem: told } = /** @type {Error & {problem?: {remedy?: string}}} */ (problem);
      const still = held ? SAID.still(held.name) : "";
      error.textContent = [sentence(message), told?.remedy, still].filter(Boolean).join(" ");
      page.deck.show({ main });
      code.focus();
    } finally {
      busy = false;
    }
  }
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    work();
  };
  const main = { words: SAID.pair, ontap: work };
  const form = h(
    "form",
    { class: "new", onsubmit: submit },
    labelled(SAID.code, code, error),
    labelled(SAID.name, name),
    h("button", { class: "unseen", tabindex: "-1", "aria-hidden": "true" }),
  );
  const app = came ? fetched(ctx, ({ appFirst }) => appFirst(ctx, came)) : null;
  const page = shell({
    title: SAID.title,
    how: SAID.how,
    body: [h("div", { class: "start" }, now, app, form, forget)],
    quiet: { words: SAID.back, href: "#/" },
    main,
  });
  // With the code there, only the name is left to say.
  return { title: SAID.title, focus: came ? name : code, node: page.node };
}
