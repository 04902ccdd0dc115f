/* Pairing with a shop: the code from its PC, what this device is to be called there, and then the app to install. */

import { h, say } from "../parts/dom.js";

const hand = matchMedia("(pointer: coarse)").matches;
const thing = hand ? "phone" : "PC";
/** A name to start from; people change it. */
const usual = () => (/iPhone|iPad/.test(navigator.userAgent) ? "iPhone" : hand ? "Phone" : "PC");
const sentence = (text) => `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.?]$/.test(text) ? "" : "."}`;
/** After pairing: what it is called, what happens now, the app to install. */
function paired(ctx, node, { name }) {
  const install = h("div", { class: "mine" });
  // Without an answer from the server there is no block; nothing else depends on it.
  import("../parts/shop/install.js").then(
    ({ installOffer }) => install.append(installOffer(ctx)),
    () => {},
  );
  const heading = h("h1", { tabindex: "-1", text: "Paired" });
  node.replaceChildren(
    heading,
    h("p", null, h("strong", { text: `At the shop this ${thing} is called “${name}”.` })),
    h("p", {
      text: "Data syncs with the shop by itself. Offline it waits.",
    }),
    h(
      "div",
      { class: "keys" },
      h("a", { class: "key main", href: "#/" }, "Jobs"),
      h("a", { class: "key", href: "#/settings" }, "Settings"),
    ),
    install,
  );
  heading.focus();
}

/** The screen. */
export function pair(ctx) {
  const came = ctx.address.cameIn("pair");
  const code = h("input", {
    id: "pair-code",
    type: "text",
    maxlength: 40,
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: "false",
    placeholder: "ABCD-EFGH",
    value: came,
    "aria-describedby": "pair-error",
  });
  const name = h("input", { id: "pair-name", type: "text", maxlength: 80, autocomplete: "off", value: usual() });
  const error = h("p", { class: "error", id: "pair-error", role: "alert" });
  const go = h("button", { class: "key main wide" }, "Pair");
  const now = h("p", { class: "where" });
  let held = null;
  const forget = h("button", { type: "button", class: "key danger", hidden: true, onclick: async () => {
    await ctx.device.setAccess(null);
    ctx.go({ words: ["settings"] });
  } }, "Unpair"); // prettier-ignore
  ctx.device.access().then((found) => {
    held = found;
    forget.hidden = !held;
    now.textContent = held ? `Paired as “${held.name}”. Use a new code to pair it again, for example after its access was ended.` : `Everything works without a shop too. Data then stays on this ${thing}.`;
    if (held) name.value = held.name;
  }, () => {}); // prettier-ignore
  const node = h("div", { class: "start" });
  const app = h("div");
  if (came)
    import("../parts/shop/install.js").then(
      ({ appFirst }) => app.append(...appFirst(ctx, came)),
      () => {},
    );
  const work = async () => {
    const typed = code.value.trim();
    if (!typed) {
      error.textContent = "Enter the code shown on the shop’s PC.";
      return code.focus();
    }
    go.disabled = true;
    error.textContent = "";
    try {
      const found = await ctx.shop.pair(typed, name.value.trim() || usual());
      ctx.address.letGo("pair");
      say(`Paired as ${found.name}`);
      return paired(ctx, node, found);
    } catch (problem) {
      const still = held ? `This ${thing} stays paired as “${held.name}”.` : "";
      error.textContent = [sentence(problem.message), problem.problem?.remedy, still].filter(Boolean).join(" ");
      return code.focus();
    } finally {
      go.disabled = false;
    }
  };
  node.append(
    h("h1", { text: "Pair with a shop" }),
    h("p", { class: "where", text: "On the shop’s PC open Devices, or run “bothends pair”, to get a code. Use it once, within 10 min." }),
    now,
    app,
    h(
      "form",
      { class: "new", onsubmit: (event) => { event.preventDefault(); work(); } },
      h("label", { for: "pair-code", text: "Pairing code" }), code, error,
      h("label", { for: "pair-name", text: `Name of this ${thing}` }), name,
      go,
    ),
    forget,
  ); // prettier-ignore
  // With the code there, only the name is left to say.
  return { title: "Pair with a shop", focus: came ? name : code, node };
}
