/* The offer to install the app, with the reason; plain words where the browser leaves it to its user. Nothing where
   this is the installed app. */

import { h } from "../dom.js";

/** @import { Context } from "../../types/context.d.ts" */

const WHY = "Installed, it opens without a network, and the browser does not clear its data when room gets short.";
const WORDS = {
  apple: "Tap Share, then Add to Home Screen.",
  other: "Open the browser’s menu and choose Install, or Add to Home screen.",
};
const APART =
  "On this kind of phone the installed app keeps data of its own: open it, choose Pair with a shop, " +
  "and type a code there.";
const APART_COPY =
  "On this kind of phone the installed app keeps data of its own: open it, choose Open a link, " +
  "and paste there the link that you were sent.";

/** Whether this is a phone or tablet of the kind where the installed app and the browser keep separate logs. */
const keepsApart = () =>
  /iPhone|iPad|iPod/.test(navigator.userAgent) || (navigator.platform === "MacIntel" && navigator.maxTouchPoints > 1);

/**
 * A code as it is shown at the shop: in two halves.
 * @param {string} code
 */
const halves = (code) => (/^\w{8}$/.test(code) ? `${code.slice(0, 4)}-${code.slice(4)}` : code);

/**
 * Where browser and installed app keep separate logs, the app is what should be paired: how, in a list of elements.
 * @param {Context} ctx
 * @param {string} code
 */
export function appFirst(ctx, code) {
  if (!keepsApart() || ctx.device.installState() === "app") return [];
  const words =
    "The installed app keeps data of its own, apart from this page. So install first: tap Share, " +
    "then Add to Home Screen. Open the app, choose Pair with a shop, and type this code there:";
  return [
    h(
      "section",
      { class: "kind", "aria-labelledby": "app-first" },
      h("h2", { id: "app-first", text: "Will you install the app?" }),
      h("p", { text: words }),
      h("p", { class: "code" }, h("strong", { text: halves(code) })),
      h("p", { class: "where", text: "Or pair this page, and go on in the browser." }),
    ),
  ];
}

/**
 * The block; keeps itself up to date as long as its screen is shown.
 * @param {Context} ctx
 */
export function installOffer(ctx) {
  const node = h("section", { class: "install", "aria-labelledby": "install-title" });
  const draw = () => {
    const state = ctx.device.installState();
    node.hidden = state === "app";
    const ask = async () => {
      if (!(await ctx.device.install())) draw();
    };
    node.replaceChildren(
      h("h2", { id: "install-title", text: "Install the app" }),
      h("p", { text: WHY }),
      ...(state === "done"
        ? [h("p", { role: "status" }, h("strong", { text: "Installed. Open it from the home screen from now on." }))]
        : []),
      ...(state === "offer"
        ? [
            h(
              "div",
              { class: "keys" },
              h("button", { type: "button", class: "key main", onclick: ask }, "Install the app"),
            ),
          ]
        : []),
      ...(state === "words" ? [h("p", null, h("strong", { text: keepsApart() ? WORDS.apple : WORDS.other }))] : []),
      ...(keepsApart() ? [h("p", { text: ctx.device.copy ? APART_COPY : APART })] : []),
    );
  };
  draw();
  ctx.whileShown(ctx.device.watchInstall(draw));
  return node;
}
