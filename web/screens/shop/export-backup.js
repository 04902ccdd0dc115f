/* The daily copies of the shop database: the last good one, and one more now. */

import { h, say } from "../../parts/dom.js";
import { shortDate } from "../../work/dates.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Backup } from "../../types/wire.d.ts" */

const SAID = {
  title: "Backup",
  how: "A copy of the shop database is made every day while the app runs on the shop’s PC.",
  last: (/** @type {string} */ day, /** @type {string} */ time) => `Last good copy: ${day}, ${time}.`,
  none: "No copy yet.",
  old: "It is old. Leave the app running, or make one now.",
  where: (/** @type {string} */ folder) => `On the shop’s PC: ${folder}`,
  same:
    "This is the same disk as the database. Keep a copy elsewhere too: start the app with --copies and a folder on " +
    "another disk, or export all data.",
  trouble: (/** @type {string} */ why) => `The last try failed: ${why}`,
  make: "Back up now",
  making: "Copying…",
  made: "Copy made and checked.",
};
const TIME = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit" });

/** What is told of the copies. @param {Backup} told @returns {HTMLElement[]} */
function lines({ last_at: at, folder, same_disk: same, old, trouble }) {
  const when = at ? SAID.last(shortDate(at), TIME.format(new Date(at))) : SAID.none;
  const wrong = [trouble ? SAID.trouble(trouble) : "", at && old ? SAID.old : ""].filter(Boolean);
  return [
    h("p", { class: "copy-last" }, h("strong", { text: when })),
    ...wrong.map((text) => h("p", { class: "refused", text })),
    h("p", { class: "where", text: SAID.where(folder) }),
    ...(same ? [h("p", { class: "where", text: SAID.same })] : []),
  ];
}

/**
 * The section; hidden until the shop has answered.
 * @param {Context} ctx
 * @returns {HTMLElement}
 */
export function backups(ctx) {
  const told = h("div");
  const status = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const key = h("button", { type: "button", class: "key", onclick: () => ask("POST") }, SAID.make);
  const node = h(
    "section",
    { class: "exporting", hidden: true },
    h("h2", { text: SAID.title }),
    h("p", { text: SAID.how }),
    told,
    h("div", { class: "keys" }, key),
    status,
    wrong,
  );
  /** @param {"GET" | "POST"} method */
  async function ask(method) {
    const makes = method === "POST";
    key.disabled = makes;
    status.textContent = makes ? SAID.making : "";
    const { body, problem, lack } = await ctx.pc.askShop("/api/backup", { method });
    key.disabled = false;
    status.textContent = makes && body ? SAID.made : "";
    wrong.textContent = body ? "" : (problem?.detail ?? lack?.text ?? "");
    if (makes && body) say(SAID.made);
    if (body) told.replaceChildren(...lines(body));
    if (body) node.hidden = false;
  }
  ask("GET");
  return node;
}
