/* The QR code that pairs one more device: made on a tap, shown with its address and the time it has left, taken
   away once it is used or has expired. */

import { h, say } from "../../parts/dom.js";
import { copyFrom, picture } from "../../parts/shop/short-link.js";
import { trustStep } from "../../parts/shop/trust-step.js";
import { onlyHere } from "../../work/addresses.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { PairingCode } from "../../types/wire.d.ts" */

/** How often the list is asked for while a code is shown, so that the page says when it was used. */
const LOOK_MS = 3000;
const SAID = {
  title: "Add a device",
  how: "Scan the code with a phone’s camera, or type it on another PC or in the installed app.",
  first: "Show a code for a new device",
  another: "Show a code for another device",
  again: "Show a new code",
  expired: "The code has expired.",
  used: (/** @type {string} */ name) => `“${name}” is paired. The code is used.`,
  picture: (/** @type {string} */ code) => `The pairing code ${code} with the shop’s address, to be scanned`,
  address: "The address of the code",
  copy: "Copy the address",
  typed: "Code to type: ",
  within: "Use once, within ",
  hereOnly:
    "This address works on the shop’s PC only; phones cannot reach it. Start the server for your network, open the " +
    "address it prints, then show a code.",
  installed:
    "On an iPhone the installed app is a device of its own. Open it, choose Pair with a shop, and type the code there.",
  spoken: (/** @type {string} */ code) => `The code is ${[...code].join(" ")}`,
};

const halves = (/** @type {string} */ code) => `${code.slice(0, 4)}-${code.slice(4)}`;

/** "9 minutes", "40 seconds". @param {number} seconds */
function leftWords(seconds) {
  if (seconds > 90) return `${Math.round(seconds / 60)} minutes`;
  return seconds === 1 ? "1 second" : `${seconds} seconds`;
}

/** The code as it is shown, `left` being where its time counts down. @param {PairingCode} made @param {Node} left */
function card({ address, code, qr, trust }, left) {
  const copied = h("p", { role: "status" });
  /** @type {HTMLInputElement} */
  const field = h("input", {
    id: "pairing-address",
    class: "link one",
    readonly: true,
    "aria-label": SAID.address,
    value: address,
    onfocus: () => field.select(),
  });
  const copy = { type: "button", class: "key small", onclick: () => copyFrom(field, copied) };
  return h(
    "div",
    { class: "made" },
    trustStep(trust, picture),
    picture(qr, SAID.picture(halves(code))),
    h(
      "div",
      { class: "beside" },
      h("p", null, SAID.typed, h("strong", { class: "code", text: halves(code) })),
      h("p", null, SAID.within, left, "."),
      onlyHere(address)
        ? h("p", { class: "error", text: SAID.hereOnly })
        : h("p", { class: "where", text: SAID.installed }),
      field,
      h("div", { class: "keys" }, h("button", copy, SAID.copy)),
      copied,
    ),
  );
}

/**
 * The part of the page that makes a code; `look` asks for the list again while one is shown, and `wrong` is where the
 * shop's refusal stands.
 * @param {Context} ctx
 * @param {{ look: () => Promise<void>, wrong: HTMLElement }} page
 * @returns {{ node: HTMLElement, show: () => Promise<void>, came: (name: string) => void }} `came` hears of a device
 *   that was paired since
 */
export function pairingCode(ctx, { look, wrong }) {
  const place = h("div", { class: "mine" });
  const told = h("p", { role: "status" });
  const fresh = h("button", { type: "button", class: "key main", onclick: () => show() }, SAID.first);
  /** @type {ReturnType<typeof setInterval> | undefined} */
  let ticking;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let looking;
  const quiet = () => {
    clearInterval(ticking);
    clearTimeout(looking);
  };
  ctx.whileShown(quiet);

  /** @param {string} words @param {string} next what the key says from now on */
  function over(words, next) {
    quiet();
    place.replaceChildren();
    told.textContent = words;
    fresh.textContent = next;
  }

  async function lookAgain() {
    await look().catch(() => {});
    if (place.childElementCount && place.isConnected) looking = setTimeout(lookAgain, LOOK_MS);
  }

  async function show() {
    quiet();
    fresh.disabled = true;
    wrong.textContent = told.textContent = "";
    const { body, problem, lack } = await ctx.pc.askShop("/api/pairing", { method: "POST" });
    fresh.disabled = false;
    if (!body) {
      wrong.textContent = lack?.text ?? problem?.detail ?? "";
      return;
    }
    // By this page's own time, since the clocks of shop and page may differ.
    const until = performance.now() + 1000 * body.seconds;
    const left = h("strong");
    const tick = () => {
      const seconds = Math.ceil((until - performance.now()) / 1000);
      if (seconds <= 0) over(SAID.expired, SAID.again);
      else if (left.textContent !== leftWords(seconds)) left.textContent = leftWords(seconds);
    };
    tick();
    place.replaceChildren(card(body, left));
    say(SAID.spoken(body.code));
    ticking = setInterval(tick, 1000);
    fresh.textContent = SAID.again;
    looking = setTimeout(lookAgain, LOOK_MS);
  }

  const node = h(
    "section",
    { class: "pairing", hidden: true, "aria-labelledby": "pairing-title" },
    h("h2", { id: "pairing-title", text: SAID.title }),
    h("p", { class: "where", text: SAID.how }),
    place,
    told,
    h("div", { class: "keys" }, fresh),
  );
  return {
    node,
    show,
    came: (name) => {
      if (place.childElementCount) over(SAID.used(name), SAID.another);
    },
  };
}
