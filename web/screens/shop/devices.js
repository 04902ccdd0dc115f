/* The shop's devices: a QR code to pair one more, who has access, and ending it. A device whose access has ended
   stays listed; its entries stay in the book. */

import { dataTable } from "../../parts/data-table.js";
import { pickOne } from "../../parts/dialog.js";
import { h, say } from "../../parts/dom.js";
import { ago } from "../../parts/shop-state.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { shortDate } from "../../work/dates.js";
import { pairingCode } from "./devices-code.js";
import { named as filled } from "../../work/this-device.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { ListedDevice } from "../../types/wire.d.ts" */

const MOST = 200;
const HOUR_MS = 3_600_000;
const SAID = {
  title: "Devices",
  loading: "Loading…",
  fromShop: "The list comes from the shop’s server.",
  open: "With access",
  over: "Ended",
  head: ["Name", "Paired", "Last seen"],
  access: "Access",
  get mine() {
    return filled(" ({here})");
  },
  fromAnother: "ended only from another device",
  end: "End access",
  endSpoken: (/** @type {string} */ name) => `End access of ${name}`,
  ask: (/** @type {string} */ name) => `End access of “${name}”?`,
  ended: (/** @type {string} */ name) => `Access of ${name} is ended`,
  notYet: "not yet",
  now: "now",
  recent: "within the hour",
  never: "not since pairing",
};
const WAYS = [
  { value: "", label: "Cancel", text: "It keeps access to the shop database." },
  {
    value: "end",
    label: "End its access",
    text:
      "For a lost phone, or one that left the shop. Its synced data stays, its own data stays on it, and a new code " +
      "pairs it again. Pairing codes that it made end with it.",
  },
  {
    value: "links",
    label: "End its access and its short links",
    text: "Also whoever was sent a short link from it sees nothing any more. Long links cannot be recalled.",
  },
];

/**
 * Every device, a page at a time, or why there is no list.
 * @param {Context} ctx
 * @returns {Promise<{ found: ListedDevice[], lack: { code: string, text: string } | null }>}
 */
async function everyDevice(ctx) {
  /** @type {ListedDevice[]} */
  const found = [];
  /** @type {string | null} */
  let after = "";
  while (after !== null) {
    const { body, problem, lack } = await ctx.pc.askShop(`/api/devices?limit=${MOST}&after=${after}`);
    if (lack) return { found, lack };
    if (problem) return { found, lack: { code: problem.code, text: problem.detail } };
    found.push(...body.devices);
    after = body.next;
  }
  return { found, lack: null };
}

const when = (/** @type {string | null} */ at) => (at ? shortDate(at) : SAID.notYet);

/** When it was last seen; the hour is as fine as it is kept. @param {ListedDevice} device */
function seenWords({ seen, paired, this: mine }) {
  if (mine) return SAID.now;
  if (!seen) return Date.now() - Date.parse(paired) < HOUR_MS ? SAID.recent : SAID.never;
  return Date.now() - Date.parse(seen) < 1.5 * HOUR_MS ? SAID.recent : ago(Date.parse(seen));
}

const named = (/** @type {ListedDevice} */ { name, this: mine }) =>
  h("span", null, h("strong", { text: name }), mine ? SAID.mine : "");

/**
 * @param {string} caption
 * @param {string} last heading of the last column
 * @param {(Node | string)[][]} rows
 */
const table = (caption, last, rows) =>
  h("div", { class: "table many devices-table" }, dataTable({ caption, head: [...SAID.head, last], rows }));

/**
 * Both tables: with access, newest first, and ended.
 * @param {ListedDevice[]} found
 * @param {(device: ListedDevice) => void} onend
 */
function tables(found, onend) {
  const ending = (/** @type {ListedDevice} */ device) => {
    if (device.this) return SAID.fromAnother;
    const more = { "aria-label": SAID.endSpoken(device.name), onclick: () => onend(device) };
    return h("button", { type: "button", class: "key small danger", ...more }, SAID.end);
  };
  const open = found
    .filter(({ revoked }) => !revoked)
    .sort((a, b) => Number(b.this) - Number(a.this) || b.paired.localeCompare(a.paired));
  const over = found
    .filter(({ revoked }) => revoked)
    .sort((a, b) => String(b.revoked).localeCompare(String(a.revoked)));
  const rows = open.map((one) => [named(one), when(one.paired), seenWords(one), ending(one)]);
  const gone = over.map((one) => [named(one), when(one.paired), when(one.seen), when(one.revoked)]);
  return [table(SAID.open, SAID.access, rows), ...(gone.length ? [table(SAID.over, SAID.over, gone)] : [])];
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export function devices(ctx) {
  useStyle("pairing");
  const wrong = h("p", { class: "error", role: "alert" });
  const list = h("div", { class: "mine" }, h("p", { class: "working", role: "status", text: SAID.loading }));
  const code = pairingCode(ctx, { look: () => draw(true), wrong });
  /** @type {Set<string> | null} */
  let known = null;
  let drawn = "";

  async function draw(again = false) {
    const { found, lack } = await everyDevice(ctx);
    // Left meanwhile, or never asked: nothing to draw into.
    if (!list.isConnected && known) return;
    // While a code is shown, a question without an answer takes nothing away.
    if (again && lack) return;
    code.node.hidden = Boolean(lack);
    if (lack) {
      drawn = "";
      list.replaceChildren(lackNote(lack, SAID.fromShop, () => draw()));
      return;
    }
    const before = known;
    const came = before && found.find(({ id }) => !before.has(id));
    known = new Set(found.map(({ id }) => id));
    if (came) code.came(came.name);
    const seen = JSON.stringify(found);
    // Nothing is drawn anew under a finger while nothing has changed.
    if (seen === drawn) return;
    drawn = seen;
    list.replaceChildren(...tables(found, end));
  }

  async function end(/** @type {ListedDevice} */ device) {
    const picked = await pickOne({ title: SAID.ask(device.name), options: WAYS, chosen: "" });
    if (!picked) return;
    const path = `/api/devices/${device.id}${picked === "links" ? "?links=true" : ""}`;
    const { problem, lack } = await ctx.pc.askShop(path, { method: "DELETE" });
    wrong.textContent = lack?.text ?? problem?.detail ?? "";
    if (!wrong.textContent) say(SAID.ended(device.name));
    await draw();
  }

  const first = async () => {
    await draw();
    if (ctx.query.new && !code.node.hidden) await code.show();
  };
  first().catch((/** @type {Error} */ error) => (wrong.textContent = error.message));
  return {
    title: SAID.title,
    fresh() {},
    node: h(
      "div",
      { class: "start devices" },
      h("h1", { text: SAID.title }),
      wrong,
      h("div", { class: "devices-parts" }, code.node, list),
    ),
  };
}
