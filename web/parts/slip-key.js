/* The key between figure and digits that names a likely slip, and puts it right with one tap. It waits until a
   figure has rested, unless a point or a fraction says that it is no mere beginning; Next shows what was not seen
   yet, once. */

import { h, say } from "./dom.js";
import { saysEnough, slipOf } from "../work/slips.js";
import { textOf } from "../work/typed.js";
import { inchText } from "../work/units.js";

/** @typedef {ReturnType<typeof import("./field.js").field>} Field */

/** A figure that nobody touches this long is likely the whole of it, ms. */
const REST_MS = 900;

/**
 * The key.
 * @param {{field: () => Field | null, typed: (field: Field) => import("../work/slips.js").Typed, ontake?: () =>
 *   void}} of `field` the one typed into; `typed` what is in it, and what it is held against
 * @returns {{node: HTMLElement, follow: () => void, holds: () => boolean}} `follow` after every key; `holds` whether
 *   Next has to wait for a slip that was not seen yet
 */
export function slipKey({ field, typed, ontake }) {
  const node = h("div", { class: "slip", role: "status" });
  let timer = 0;
  let seen = "";
  const found = () => {
    const one = field();
    return one ? slipOf(typed(one)) : null;
  };
  const show = (/** @type {import("../work/slips.js").Slip | null} */ slip) => {
    if (!slip) return node.replaceChildren();
    seen = slip.question;
    const take = () => {
      const one = /** @type {Field} */ (field());
      one.put({ text: one.inch ? inchText(Math.abs(slip.value)) : textOf(slip.value), sign: Math.sign(slip.value) });
      node.replaceChildren();
      ontake?.();
      say(one.spoken());
    };
    return node.replaceChildren(
      h(
        "button",
        { type: "button", class: "key", onclick: take },
        h("span", { text: slip.question }),
        h("b", { text: slip.take }),
      ),
    );
  };
  return {
    node,
    follow() {
      clearTimeout(timer);
      const one = field();
      const slip = found();
      if (!slip || slip.question !== seen) node.replaceChildren();
      if (!slip || !one) return;
      if (saysEnough(one.state().text)) show(slip);
      else timer = setTimeout(() => node.isConnected && show(found()), REST_MS);
    },
    holds() {
      const slip = found();
      if (!slip || slip.question === seen) return false;
      show(slip);
      return true;
    },
  };
}
