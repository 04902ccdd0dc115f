/* What concerns this phone and not one job: the shop, whether the log is kept, whether the app opens without a network,
   lengths in millimetres or inches, the whole log as a file. */

import { choice } from "../parts/choice.js";
import { h, say } from "../parts/dom.js";
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
    put(`${made.entries} entries written to ${made.name}.`);
  };
  return h(
    "section",
    null,
    h("h2", { text: "The log as a file" }),
    h("p", {
      text: "Everything on this phone, to keep elsewhere or to take to another phone. Taking it in twice changes nothing.",
    }),
    h(
      "div",
      { class: "keys" },
      h("button", { type: "button", class: "key", onclick: out }, "Export the log"),
      h("label", { class: "key", for: "log-file" }, "Import a log", input),
      h("a", { class: "key", href: "#/export" }, "The shop’s book as files"),
    ),
    told,
    wrong,
  );
}

function kept(ctx) {
  const text = h("p", { text: "Asking the browser." });
  ctx.device.askToKeep().then(
    ({ text: said, used_bytes: used }) => (text.textContent = used ? `${said} ${megabytes(used)} used.` : said),
    () => (text.textContent = "The browser did not answer."),
  );
  return h("section", null, h("h2", { text: "Is the log kept" }), text);
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
  ctx.whileShown(ctx.device.watchApp((state) => {
    text.textContent = state.text;
    help.hidden = state.worker !== "refused";
  })); // prettier-ignore
  return h("section", null, h("h2", { text: "Without a network" }), text, install, h("div", { class: "keys" }, h("button", { type: "button", class: "key", onclick: () => {
    ctx.device.lookForUpdate();
    say("Looking for a newer version");
  } }, "Look for a newer version"), help)); // prettier-ignore
}

function units(ctx) {
  const options = [
    { value: "mm", label: "Millimetres" },
    { value: "in", label: "Inches" },
  ];
  return h(
    "section",
    null,
    h("h2", { text: "Heights and lengths" }),
    choice({
      name: "lengths",
      legend: "Heights and lengths in",
      options,
      chosen: lengths(),
      onchoose: ctx.device.setLengths,
    }),
    h("p", {
      class: "where",
      text: "Inches are typed as 8 1/4 or 8.25 and shown with the millimetres. The log keeps millimetres. Angles stay degrees.",
    }),
  );
}

/** The screen. */
export function settings(ctx) {
  const who = h("p", { hidden: true });
  const again = h(
    "div",
    { class: "keys", hidden: true },
    h("a", { class: "key", href: "#/devices" }, "Devices of the shop"),
    h("a", { class: "key", href: "#/pair" }, "Pair again, or forget the key"),
  );
  const address = h("div");
  ctx.device.access().then((held) => {
    who.hidden = again.hidden = !held;
    who.textContent = held ? `This phone is “${held.name}” at the shop.` : "";
    if (held) import("../parts/shop/move-address.js").then(({ moveNote }) => moveNote(ctx)).then((note) => note && address.append(note), () => {});
  }, () => {}); // prettier-ignore
  return {
    title: "Settings",
    fresh() {},
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: "Settings" }),
      h("section", null, h("h2", { text: "The shop" }), who, shopState(ctx), again, address),
      kept(ctx),
      opens(ctx),
      units(ctx),
      files(ctx),
    ),
  };
}
