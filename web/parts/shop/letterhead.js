/* The shop's name, address and phone as they stand on the hand-over sheet: entered once, for all devices. Part of the
   settings; only with a shop. */

import { h, say } from "../dom.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Letterhead } from "../../types/wire.d.ts" */

const SAID = {
  title: "On the hand-over sheet",
  how: "What is left blank is left out.",
  save: "Save",
  saved: "Saved for all devices of the shop.",
};
/** @type {{ name: keyof Letterhead, label: string, longest: number, fill: HTMLInputElement["autocomplete"] }[]} */
const FIELDS = [
  { name: "name", label: "Name of the shop", longest: 80, fill: "organization" },
  { name: "address", label: "Address, in one line", longest: 200, fill: "street-address" },
  { name: "phone", label: "Phone", longest: 40, fill: "tel" },
];

/**
 * The block.
 * @param {Context} ctx with `pc`
 * @param {Letterhead} now what is entered
 */
export function letterheadFields(ctx, now) {
  const told = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const fields = FIELDS.map(({ name, label, longest, fill }) => {
    const id = `letterhead-${name}`;
    const input = h("input", { id, type: "text", maxlength: longest, autocomplete: fill, value: now[name] });
    return { name, input, node: h("div", { class: "text-field" }, h("label", { for: id, text: label }), input) };
  });
  const save = async () => {
    const said = Object.fromEntries(fields.map(({ name, input }) => [name, input.value.trim()]));
    told.textContent = "";
    wrong.textContent = await ctx.pc.enterLetterhead(/** @type {Letterhead} */ (said));
    if (wrong.textContent) return;
    told.textContent = SAID.saved;
    say(SAID.saved);
  };
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    save().catch((/** @type {Error} */ error) => (wrong.textContent = error.message));
  };
  return h(
    "section",
    { class: "letterhead", "aria-labelledby": "letterhead-title" },
    h("h3", { id: "letterhead-title", text: SAID.title }),
    h("p", { class: "where", text: SAID.how }),
    h(
      "form",
      { class: "new", onsubmit: submit },
      fields.map(({ node }) => node),
      wrong,
      h("div", { class: "keys" }, h("button", { class: "key" }, SAID.save)),
    ),
    told,
  );
}
