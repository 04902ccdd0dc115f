/* Pairing with a shop: the code from its PC, and what this phone is to be called there. */

import { access, pair as pairWith, setAccess } from "../book/device.js";
import { h, say } from "../parts/dom.js";

/** A name to start from; people change it. */
const usual = () => (/iPhone|iPad/.test(navigator.userAgent) ? "iPhone" : /Android/.test(navigator.userAgent) ? "Phone" : "PC");

/** The screen. */
export function pair(ctx) {
  const code = h("input", { id: "pair-code", type: "text", maxlength: 40, autocomplete: "off", autocapitalize: "characters", spellcheck: "false", placeholder: "ABCD-EFGH", value: ctx.query.code ?? "", "aria-describedby": "pair-error" });
  const name = h("input", { id: "pair-name", type: "text", maxlength: 80, autocomplete: "off", value: usual() });
  const error = h("p", { class: "error", id: "pair-error", role: "alert" });
  const go = h("button", { class: "key main wide" }, "Pair");
  const now = h("p", { class: "where" });
  const forget = h("button", { type: "button", class: "key danger", hidden: true, onclick: async () => {
    await setAccess(null);
    ctx.go({ words: ["settings"] });
  } }, "Forget this shop’s key"); // prettier-ignore
  access().then((held) => {
    forget.hidden = !held;
    now.textContent = held ? `Paired as “${held.name}”. A new code pairs it anew, for instance after its key was ended at the shop.` : "Without a shop everything works and stays on this phone.";
    if (held) name.value = held.name;
  }, () => {}); // prettier-ignore
  const work = async () => {
    const typed = code.value.trim();
    if (!typed) {
      error.textContent = "Type the code that the shop’s PC shows.";
      return code.focus();
    }
    go.disabled = true;
    error.textContent = "";
    try {
      const found = await pairWith(typed, name.value.trim() || usual());
      say(`Paired as ${found.name}`);
      return ctx.go({ words: ["settings"] }, { replace: true });
    } catch (problem) {
      const text = problem.message;
      error.textContent = `${text.charAt(0).toUpperCase()}${text.slice(1)}${/[.?]$/.test(text) ? "" : "."} ${problem.problem?.remedy ?? ""}`.trim();
      return code.focus();
    } finally {
      go.disabled = false;
    }
  };
  return {
    title: "Pair with a shop",
    focus: code,
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: "Pair with a shop" }),
      h("p", { class: "where", text: "The shop’s PC shows a code when it starts, and for every further phone: there under Devices, or with “bothends pair”. It is good once, for ten minutes." }),
      now,
      h(
        "form",
        { class: "new", onsubmit: (event) => { event.preventDefault(); work(); } },
        h("label", { for: "pair-code", text: "Pairing code" }), code, error,
        h("label", { for: "pair-name", text: "This phone is called" }), name,
        go,
      ),
      forget,
    ),
  }; // prettier-ignore
}
