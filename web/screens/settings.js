/* What concerns this phone and not one job: the shop, whether the log is kept, whether the app opens without a network,
   units, which hand holds it, all its data as a file. */

import { choice } from "../parts/choice.js";
import { h, say } from "../parts/dom.js";
import { deciding } from "../parts/incoming.js";
import { hand, setHand } from "../parts/hand.js";
import { nameField } from "../parts/name-ask.js";
import { shell } from "../parts/shell.js";
import { canSpeak, setSpeaking, speaking } from "../parts/speak.js";
import { lengths } from "../work/units.js";
import { shopState } from "../parts/shop-state.js";
import { mergedWords } from "../work/merged.js";
import { partWords } from "../work/holding-words.js";
import { leftWords } from "../work/photo-words.js";
import { named } from "../work/this-device.js";

/** @import { Item } from "../types/log.d.ts" */

const SAID = {
  title: "Settings",
  back: "All jobs",
  take: "Import this file",
  leave: "Leave it",
  name: "Name",
  named: "Name saved",
};

/** @param {number} bytes */
const megabytes = (bytes) => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;

/** What an export will lack, said before anything is exported. @param {any} ctx */
function lacking(ctx) {
  const text = h("p", { hidden: true });
  const say = async () => {
    const part = await ctx.shop.holding();
    text.hidden = !part;
    text.textContent = part ? partWords(part) : "";
  };
  say().catch(() => {});
  return text;
}

/** All data as a file, out and in. @param {any} ctx */
function files(ctx) {
  const told = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const put = (/** @type {string} */ text, bad = "") => {
    told.textContent = text;
    wrong.textContent = bad;
  };
  const input = /** @type {HTMLInputElement} */ (
    h("input", {
      id: "log-file",
      class: "file",
      type: "file",
      accept: "application/json,.json,.jsonl,.gz",
    })
  );
  const look = h("div", { class: "mine" });
  const failed = (/** @type {unknown} */ error) => {
    if (!(error instanceof Error) || !["FileError", "IncomingError", "NotKept"].includes(error.name)) throw error;
    put("", error.message);
  };
  /** Take in what was looked at. */
  async function take(/** @type {string} */ text, /** @type {Map<string, Item[]>} */ then) {
    look.replaceChildren();
    try {
      put(mergedWords(await ctx.files.imported(text, then)));
    } catch (error) {
      failed(error);
    }
  }
  /** What the file would do; nothing of it is kept yet. */
  async function show(/** @type {string} */ text) {
    const rows = ctx.files.opened(text).rows.map((/** @type {{ entry: unknown }} */ { entry }) => entry ?? null);
    const { key, shown } = deciding(ctx, await ctx.files.preview(rows), SAID.take, (then) => take(text, then));
    const drop = () => look.replaceChildren();
    const leave = h("button", { type: "button", class: "key", onclick: drop }, SAID.leave);
    look.replaceChildren(shown.node, h("div", { class: "keys" }, key, leave));
  }
  input.addEventListener("change", async () => {
    const [file] = input.files ?? [];
    if (!file) return;
    put("");
    look.replaceChildren();
    try {
      await show(await ctx.files.textOf(file));
    } catch (error) {
      failed(error);
    }
    input.value = "";
  });
  const out = async () => {
    const made = await ctx.files.exported(null, undefined, { photos: true });
    ctx.files.download(made);
    const part = await ctx.shop.holding();
    const said = [
      `${made.entries} records written to ${made.name}.`,
      leftWords(made.left),
      part ? partWords(part) : "",
    ];
    put(said.filter(Boolean).join(" "));
  };
  return h(
    "section",
    null,
    h("h2", { text: "Data as a file" }),
    h("p", {
      text: named("All data on {here}, for safekeeping or another device. Importing it twice changes nothing."),
    }),
    lacking(ctx),
    h(
      "div",
      { class: "keys" },
      h("button", { type: "button", class: "key", onclick: out }, "Export"),
      h("label", { class: "key", for: "log-file" }, "Import", input),
      ctx.device.copy ? null : h("a", { class: "key", href: "#/export" }, "Shop database as files"),
    ),
    look,
    told,
    wrong,
  );
}

/** Whether this browser keeps the data. @param {any} ctx */
function kept(ctx) {
  const text = h("p", { text: "Asking the browser…" });
  ctx.device.askToKeep().then(
    (/** @type {{text: string, used_bytes?: number}} */ { text: said, used_bytes: used }) => {
      text.textContent = used ? `${said} ${megabytes(used)} used.` : said;
    },
    () => {
      text.textContent = "The browser did not answer.";
    },
  );
  return h("section", null, h("h2", { text: named("Data on {here}") }), text);
}

/** Whether the app opens without a network, and what to do for it. @param {any} ctx */
function opens(ctx) {
  const text = h("p");
  const help = h("a", { class: "key", href: ctx.shop.helpPage(), hidden: true }, "How to trust the certificate");
  const install = h("div");
  // Without an answer from the server there is no block; the words above it do not depend on it.
  import("../parts/shop/install.js").then(
    ({ installOffer }) => install.append(installOffer(ctx)),
    () => {},
  );
  ctx.whileShown(
    ctx.device.watchApp((/** @type {{text: string, worker: string}} */ state) => {
      text.textContent = state.text;
      help.hidden = state.worker !== "refused";
    }),
  );
  return h(
    "section",
    null,
    h("h2", { text: "Offline" }),
    text,
    install,
    h(
      "div",
      { class: "keys" },
      h(
        "button",
        {
          type: "button",
          class: "key",
          onclick: () => {
            ctx.device.lookForUpdate();
            say("Checking for a new version");
          },
        },
        "Check for a new version",
      ),
      help,
    ),
  );
}

/** The unit of lengths. @param {any} ctx */
function units(ctx) {
  const options = [
    { value: "mm", label: "Millimetres" },
    { value: "in", label: "Inches" },
  ];
  return h(
    "section",
    null,
    h("h2", { text: "Units" }),
    choice({
      name: "lengths",
      legend: "Heights and lengths in",
      options,
      chosen: lengths(),
      onchoose: ctx.device.setLengths,
    }),
    h("p", {
      class: "where",
      text: "Type inches as 8 1/4 or 8.25. Angles are in degrees. On printed sheets millimetres stand beside them.",
    }),
  );
}

/** Which hand holds the phone: the keys stand under its thumb. */
const hands = () =>
  h(
    "section",
    null,
    h("h2", { text: "Hand" }),
    choice({
      name: "hand",
      legend: "Hand that works the keys",
      options: [
        { value: "right", label: "Right hand" },
        { value: "left", label: "Left hand" },
      ],
      chosen: hand(),
      onchoose: (value) => setHand(value === "left" ? "left" : "right"),
    }),
    h("p", { class: "where", text: "The main key stands under this thumb." }),
  );

/** Reading aloud; nothing where this browser has no voice. */
const voice = () =>
  canSpeak()
    ? h(
        "section",
        null,
        h("h2", { text: "Voice" }),
        choice({
          name: "voice",
          legend: "Read steps aloud",
          options: [
            { value: "off", label: "Off" },
            { value: "on", label: "On" },
          ],
          chosen: speaking() ? "on" : "off",
          onchoose: (value) => setSpeaking(value === "on"),
        }),
        h("p", { class: "where", text: "Reads teardown steps aloud. Off again when the app restarts." }),
      )
    : null;

/** Who reads and writes here. @param {any} ctx */
function name(ctx) {
  const { node, input } = nameField("");
  ctx.device.writerName().then(
    (/** @type {string | null} */ found) => (input.value = found ?? ""),
    () => {},
  );
  input.addEventListener("change", async () => {
    try {
      await ctx.device.setWriterName(input.value);
      ctx.sayKept("");
      say(SAID.named);
    } catch (error) {
      if (!(error instanceof Error) || error.name !== "NotKept") throw error;
      ctx.sayKept(error.message);
    }
  });
  return h("section", null, h("h2", { text: SAID.name }), node);
}

/** The shop: its state, this device's name there, the way to pair it. @param {any} ctx */
function shop(ctx) {
  const who = h("p", { hidden: true });
  const again = h(
    "div",
    { class: "keys", hidden: true },
    h("a", { class: "key", href: "#/devices" }, "Devices"),
    h("a", { class: "key", href: "#/pair" }, "Pair again or unpair"),
  );
  const address = h("div");
  const copy = h("div");
  const part = h("div");
  const showPart = async () => part.append((await import("../parts/shop/holding.js")).holdingPart(ctx));
  const paper = h("div");
  const showPaper = async () => {
    await ctx.need("pc");
    const { letterheadFields } = await import("../parts/shop/letterhead.js");
    paper.append(letterheadFields(ctx, await ctx.pc.letterhead()));
  };
  const showCopy = async () => {
    await ctx.need("files", "pc");
    const { publicCopy } = await import("../parts/shop/public-copy.js");
    copy.append(publicCopy(ctx, (await ctx.files.addresses("")).publicCopy));
  };
  const moving = async () => {
    const { moveNote } = await import("../parts/shop/move-address.js");
    const note = await moveNote(ctx);
    if (note) address.append(note);
  };
  ctx.device.access().then(
    (/** @type {{name: string} | null} */ held) => {
      who.hidden = again.hidden = !held;
      who.textContent = held ? named(`At the shop {here} is called “${held.name}”.`) : "";
      if (held) showPart().catch(() => {});
      if (held) moving().catch(() => {});
      if (held) showPaper().catch(() => {});
      if (held) showCopy().catch(() => {});
    },
    () => {},
  );
  return h(
    "section",
    null,
    h("h2", { text: ctx.device.copy ? "Public copy" : "Shop" }),
    who,
    shopState(ctx),
    part,
    again,
    address,
    paper,
    copy,
  );
}

/**
 * The screen.
 * @param {any} ctx
 */
export function settings(ctx) {
  const page = shell({
    title: SAID.title,
    body: [
      h(
        "div",
        { class: "start" },
        shop(ctx),
        name(ctx),
        units(ctx),
        hands(),
        voice(),
        kept(ctx),
        opens(ctx),
        files(ctx),
      ),
    ],
    quiet: { words: SAID.back, href: "#/" },
    main: null,
  });
  return { title: SAID.title, fresh() {}, node: page.node };
}
