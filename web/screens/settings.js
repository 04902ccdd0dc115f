/* What concerns this phone and not one job: the shop, whether the log is kept, whether the app opens without a network,
   units, which hand holds it, all its data as a file. */

import { choice } from "../parts/choice.js";
import { h, say } from "../parts/dom.js";
import { hand, setHand } from "../parts/hand.js";
import { canSpeak, setSpeaking, speaking } from "../parts/speak.js";
import { lengths } from "../work/units.js";
import { shopState } from "../parts/shop-state.js";
import { mergedWords } from "../work/merged.js";

const megabytes = (bytes) => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)} MB`;

function files(ctx) {
  const told = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const put = (text, bad = "") => {
    told.textContent = text;
    wrong.textContent = bad;
  };
  const input = h("input", {
    id: "log-file",
    class: "file",
    type: "file",
    accept: "application/json,.json,.jsonl,.gz",
  });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    try {
      put(mergedWords(await ctx.files.imported(await ctx.files.textOf(file))));
    } catch (error) {
      if (!["FileError", "NotKept"].includes(error.name)) throw error;
      put("", error.message);
    }
    input.value = "";
  });
  const out = async () => {
    const made = await ctx.files.exported();
    ctx.files.download(made);
    put(`${made.entries} records written to ${made.name}.`);
  };
  return h(
    "section",
    null,
    h("h2", { text: "Data as a file" }),
    h("p", {
      text: "All data on this phone, for safekeeping or another phone. Importing it twice changes nothing.",
    }),
    h(
      "div",
      { class: "keys" },
      h("button", { type: "button", class: "key", onclick: out }, "Export"),
      h("label", { class: "key", for: "log-file" }, "Import", input),
      h("a", { class: "key", href: "#/export" }, "Shop database as files"),
    ),
    told,
    wrong,
  );
}

function kept(ctx) {
  const text = h("p", { text: "Asking the browser…" });
  ctx.device.askToKeep().then(
    ({ text: said, used_bytes: used }) => (text.textContent = used ? `${said} ${megabytes(used)} used.` : said),
    () => (text.textContent = "The browser did not answer."),
  );
  return h("section", null, h("h2", { text: "Data on this phone" }), text);
}

function opens(ctx) {
  const text = h("p");
  const help = h("a", { class: "key", href: ctx.device.helpPage(), hidden: true }, "How to trust the certificate");
  const install = h("div");
  // Without an answer from the server there is no block; the words above it do not depend on it.
  import("../parts/shop/install.js").then(
    ({ installOffer }) => install.append(installOffer(ctx)),
    () => {},
  );
  ctx.whileShown(
    ctx.device.watchApp((state) => {
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
      onchoose: setHand,
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

/** The screen. */
export function settings(ctx) {
  const who = h("p", { hidden: true });
  const again = h(
    "div",
    { class: "keys", hidden: true },
    h("a", { class: "key", href: "#/devices" }, "Devices"),
    h("a", { class: "key", href: "#/pair" }, "Pair again or unpair"),
  );
  const address = h("div");
  ctx.device.access().then(
    (held) => {
      who.hidden = again.hidden = !held;
      who.textContent = held ? `At the shop this device is called “${held.name}”.` : "";
      if (held)
        import("../parts/shop/move-address.js")
          .then(({ moveNote }) => moveNote(ctx))
          .then(
            (note) => note && address.append(note),
            () => {},
          );
    },
    () => {},
  );
  return {
    title: "Settings",
    fresh() {},
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: "Settings" }),
      h("section", null, h("h2", { text: "Shop" }), who, shopState(ctx), again, address),
      units(ctx),
      hands(),
      voice(),
      kept(ctx),
      opens(ctx),
      files(ctx),
    ),
  };
}
