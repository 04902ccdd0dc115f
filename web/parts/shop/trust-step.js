/* What a new device does before it can use a code: come to trust the shop. Stands beside every code to be scanned, for
   whoever scans that one first meets a browser's warning. Nothing where devices trust the shop as it is. */

import { h } from "../dom.js";

/** @import { Trust } from "../../types/wire.d.ts" */

const SAID = {
  first: "First: trust this shop",
  how: "On a new phone scan this with the camera and follow the steps, once for each phone. It leads to:",
  then: "Done, or done before? Then:",
  picture: "The address of the page that says how to trust this shop, to be scanned",
};

/**
 * The step, to stand before the code, or null.
 * @param {Trust | null | undefined} trust as it came with the code; an older shop says nothing
 * @param {(svg: string, alt: string) => HTMLElement} picture
 */
export function trustStep(trust, picture) {
  if (!trust) return null;
  return h(
    "section",
    { class: "trust", "aria-labelledby": "trust-title" },
    picture(trust.qr, SAID.picture),
    h(
      "div",
      { class: "beside" },
      h("h3", { id: "trust-title", text: SAID.first }),
      h("p", { text: SAID.how }),
      h("p", null, h("a", { href: trust.address, class: "trust-address", text: trust.address })),
      h("p", null, h("strong", { text: SAID.then })),
    ),
  );
}
