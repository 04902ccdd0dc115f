/* The shop's devices: a picture code to pair one more, who has access, and ending it. A device whose access has ended
   stays listed; its entries stay in the book. */

import { dataTable } from "../../parts/data-table.js";
import { pickOne } from "../../parts/dialog.js";
import { h, say } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { shortDate } from "../../work/dates.js";
import { ago } from "../../parts/shop-state.js";
import { copyFrom, picture } from "../../parts/shop/short-link.js";
import { lackNote } from "../../parts/shop/lack.js";
import { onlyHere } from "../../work/pc/addresses.js";

const MOST = 200;
/** How often the list is asked for while a code is shown, so that the page says when it was used. */
const LOOK_MS = 3000;
const halves = (code) => `${code.slice(0, 4)}-${code.slice(4)}`;

/** "9 minutes", "40 seconds". */
function leftWords(seconds) {
  if (seconds > 90) return `${Math.round(seconds / 60)} minutes`;
  return seconds === 1 ? "1 second" : `${seconds} seconds`;
}

/** Every device, a page at a time: {devices} or {lack}. */
async function everyDevice(ctx) {
  const devices = [];
  for (let after = ""; after !== null;) {
    const { body, problem, lack } = await ctx.pc.askShop(`/api/devices?limit=${MOST}&after=${after}`);
    if (lack || problem) return { lack: lack ?? { code: problem.code, text: problem.detail } };
    devices.push(...body.devices);
    after = body.next;
  }
  return { devices };
}

const when = (at) => (at ? shortDate(at) : "not yet");
/** The hour is as fine as it is kept. */
const seenWords = ({ seen, paired, this: mine }) =>
  mine
    ? "now"
    : !seen
      ? Date.now() - Date.parse(paired) < 3_600_000
        ? "within the hour"
        : "not since pairing"
      : Date.now() - Date.parse(seen) < 5_400_000
        ? "within the hour"
        : ago(Date.parse(seen));

const table = (caption, head, rows) =>
  h("div", { class: "table many devices-table" }, dataTable({ caption, head, rows }));

/** The screen. */
export function devices(ctx) {
  useStyle("pairing");
  const wrong = h("p", { class: "error", role: "alert" });
  const list = h("div", { class: "mine" }, h("p", { class: "working", role: "status", text: "Loading…" }));
  const code = h("div", { class: "mine" });
  const told = h("p", { role: "status" });
  const fresh = h(
    "button",
    { type: "button", class: "key main", onclick: () => show() },
    "Show a code for a new device",
  );
  const offer = h(
    "section",
    { class: "pairing", hidden: true, "aria-labelledby": "pairing-title" },
    h("h2", { id: "pairing-title", text: "Add a device" }),
    h("p", {
      class: "where",
      text: "Scan the code with a phone’s camera, or type it on another PC or in the installed app.",
    }),
    code,
    told,
    h("div", { class: "keys" }, fresh),
  );
  let known = null;
  let drawn = "";
  let ticking = null;
  let looking = null;
  const quiet = () => {
    clearInterval(ticking);
    clearTimeout(looking);
  };
  ctx.whileShown(quiet);

  async function draw(again = false) {
    const { devices: found, lack } = await everyDevice(ctx);
    // Left meanwhile, or never asked: nothing to draw into.
    if (!list.isConnected && known) return;
    // While a code is shown, a question without an answer takes nothing away.
    if (again && lack) return;
    offer.hidden = Boolean(lack);
    if (lack) {
      drawn = "";
      list.replaceChildren(lackNote(lack, "The list comes from the shop’s server.", () => draw()));
      return;
    }
    const came = known && found.find(({ id }) => !known.has(id));
    known = new Set(found.map(({ id }) => id));
    if (came && code.childElementCount) used(came);
    const seen = JSON.stringify(found);
    // Nothing is drawn anew under a finger while nothing has changed.
    if (seen === drawn) return;
    drawn = seen;
    const name = ({ name: words, this: mine }) => [h("strong", { text: words }), mine ? " (this device)" : ""];
    const ending = (device) =>
      device.this
        ? "ended only from another device"
        : h(
            "button",
            {
              type: "button",
              class: "key small danger",
              "aria-label": `End access of ${device.name}`,
              onclick: () => end(device),
            },
            "End access",
          );
    const open = found
      .filter(({ revoked }) => !revoked)
      .sort((a, b) => b.this - a.this || b.paired.localeCompare(a.paired));
    const over = found.filter(({ revoked }) => revoked).sort((a, b) => b.revoked.localeCompare(a.revoked));
    list.replaceChildren(
      table(
        "With access",
        ["Name", "Paired", "Last seen", "Access"],
        open.map((one) => [name(one), when(one.paired), seenWords(one), ending(one)]),
      ),
      ...(over.length
        ? [
            table(
              "Ended",
              ["Name", "Paired", "Last seen", "Ended"],
              over.map((one) => [name(one), when(one.paired), when(one.seen), when(one.revoked)]),
            ),
          ]
        : []),
    );
  }

  function used({ name }) {
    quiet();
    code.replaceChildren();
    told.textContent = `“${name}” is paired. The code is used.`;
    fresh.textContent = "Show a code for another device";
  }

  function ended() {
    quiet();
    code.replaceChildren();
    told.textContent = "The code has expired.";
    fresh.textContent = "Show a new code";
  }

  async function look() {
    await draw(true).catch(() => {});
    if (code.childElementCount && code.isConnected) looking = setTimeout(look, LOOK_MS);
  }

  async function show() {
    quiet();
    fresh.disabled = true;
    wrong.textContent = told.textContent = "";
    const { body, problem, lack } = await ctx.pc.askShop("/api/pairing", { method: "POST" });
    fresh.disabled = false;
    if (!body) {
      wrong.textContent = lack?.text ?? problem.detail;
      return;
    }
    // By this page's own time, since the clocks of shop and page may differ.
    const until = performance.now() + 1000 * body.seconds;
    const left = h("strong");
    const copied = h("p", { role: "status" });
    const field = h("input", {
      id: "pairing-address",
      class: "link one",
      readonly: true,
      "aria-label": "The address of the code",
      value: body.address,
      onfocus: () => field.select(),
    });
    const tick = () => {
      const seconds = Math.ceil((until - performance.now()) / 1000);
      if (seconds <= 0) ended();
      else if (left.textContent !== leftWords(seconds)) left.textContent = leftWords(seconds);
    };
    tick();
    code.replaceChildren(
      h(
        "div",
        { class: "made" },
        picture(body.qr, `The pairing code ${halves(body.code)} with the shop’s address, to be scanned`),
        h(
          "div",
          { class: "beside" },
          h("p", null, "Code to type: ", h("strong", { class: "code", text: halves(body.code) })),
          h("p", null, "Use once, within ", left, "."),
          onlyHere(body.address)
            ? h("p", {
                class: "error",
                text:
                  "This address works on the shop’s PC only; phones cannot reach it. Start the server for your " +
                  "network, open the address it prints, then show a code.",
              })
            : h("p", {
                class: "where",
                text:
                  "On an iPhone the installed app is a device of its own. Open it, choose Pair with a shop, and " +
                  "type the code there.",
              }),
          field,
          h(
            "div",
            { class: "keys" },
            h(
              "button",
              { type: "button", class: "key small", onclick: () => copyFrom(field, copied) },
              "Copy the address",
            ),
          ),
          copied,
        ),
      ),
    );
    say(`The code is ${[...body.code].join(" ")}`);
    ticking = setInterval(tick, 1000);
    fresh.textContent = "Show a new code";
    looking = setTimeout(look, LOOK_MS);
  }

  async function end(device) {
    const options = [
      { value: "", label: "Cancel", text: "It keeps access to the shop database." },
      {
        value: "end",
        label: "End its access",
        text:
          "For a lost phone, or one that left the shop. Its synced data stays, its own data stays on it, and a new " +
          "code pairs it again. Pairing codes that it made end with it.",
      },
      {
        value: "links",
        label: "End its access and its short links",
        text: "Also whoever was sent a short link from it sees nothing any more. Long links cannot be recalled.",
      },
    ];
    const picked = await pickOne({ title: `End access of “${device.name}”?`, options, chosen: "" });
    if (!picked) return;
    const path = `/api/devices/${device.id}${picked === "links" ? "?links=true" : ""}`;
    const { problem, lack } = await ctx.pc.askShop(path, { method: "DELETE" });
    wrong.textContent = lack?.text ?? problem?.detail ?? "";
    if (!wrong.textContent) say(`Access of ${device.name} is ended`);
    await draw();
  }

  const failed = (error) => (wrong.textContent = error.message);
  draw().then(() => ctx.query.new && !offer.hidden && show(), failed);
  return {
    title: "Devices",
    fresh() {},
    node: h(
      "div",
      { class: "start devices" },
      h("h1", { text: "Devices" }),
      wrong,
      h("div", { class: "devices-parts" }, offer, list),
    ),
  };
}
