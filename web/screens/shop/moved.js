/* A log that comes from another address of this app, by its link or as a file: shown, and taken in when somebody
   agrees. Then this page is paired in the other's place, where a code came along. */

import { h } from "../../parts/dom.js";
import { deciding } from "../../parts/incoming.js";
import { mergedWords } from "../../work/merged.js";
import { named } from "../../work/this-device.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { Entry, Item } from "../../types/log.d.ts" */
/** @typedef {{ from?: string, code?: string, name?: string }} Moving What came along beside the entries. */

const many = (/** @type {number} */ n, /** @type {string} */ one, /** @type {string} */ more) =>
  `${n} ${n === 1 ? one : more}`;
const hostOf = (/** @type {unknown} */ address) =>
  typeof address === "string" && URL.canParse(address) ? new URL(address).host : "another address";

/** What came along beside the entries; a file in lines has nothing of the kind.
 * @param {string} text @returns {Moving} */
function movingOf(text) {
  try {
    return JSON.parse(text).moving ?? {};
  } catch {
    return {};
  }
}

/** Pair this page as the other one was; in words.
 * @param {Context} ctx @param {Moving} moving */
async function paired(ctx, { code, name }) {
  const held = await ctx.device.access().catch(() => null);
  if (held) return `This page is paired already, as “${held.name}”.`;
  if (!code) return "This page is not paired yet. Get a code at the shop and pair it in Settings.";
  try {
    const found = await ctx.shop.pair(code, name || "Moved");
    return `At the shop this page is now called “${found.name}”. End the old one’s access under Devices.`;
  } catch (problem) {
    const { message } = /** @type {Error} */ (problem);
    return `Pairing failed: ${message}. Get a new code at the shop and pair it in Settings.`;
  }
}

/** The screen. @param {Context} ctx @returns {Shown} */
export function moved(ctx) {
  const wrong = h("p", { class: "error", role: "alert" });
  const place = h("div", { class: "mine" });
  const input = h("input", { id: "moved-file", class: "file", type: "file", accept: "application/json,.json" });
  const byFile = h("div", { class: "keys" }, h("label", { class: "key", for: "moved-file" }, "Choose the file", input));

  async function take(
    /** @type {string} */ text,
    /** @type {HTMLButtonElement} */ key,
    /** @type {Map<string, Item[]>} */ how,
  ) {
    key.disabled = true;
    try {
      const words = mergedWords(await ctx.files.imported(text, how));
      ctx.address.letGo("log");
      const then = await paired(ctx, movingOf(text));
      place.replaceChildren(
        h("p", { role: "status" }, h("strong", { text: words }), ` ${then}`),
        h(
          "div",
          { class: "keys" },
          h("a", { class: "key main", href: "#/" }, "Jobs"),
          h("a", { class: "key", href: "#/settings" }, "Settings"),
        ),
      );
      byFile.hidden = true;
    } catch (problem) {
      const error = /** @type {Error} */ (problem);
      if (!["FileError", "NotKept"].includes(error.name)) throw error;
      wrong.textContent = error.message;
      key.disabled = false;
    }
  }
  async function show(/** @type {string} */ text) {
    const rows = ctx.files.opened(text).rows.map(({ entry }) => /** @type {Entry | null} */ (entry ?? null));
    const found = await ctx.files.preview(rows);
    const jobs = new Set(rows.map((/** @type {Entry | null} */ row) => row?.job)).size;
    const { key, shown } = deciding(ctx, found, "Import", (then) => take(text, key, then));
    const much = `${many(jobs, "job", "jobs")}, ${many(rows.length, "record", "records")}`;
    place.replaceChildren(
      h("p", null, h("strong", { text: `From ${hostOf(movingOf(text).from)}: ${much}.` })),
      shown.node,
      h("p", { text: named("Data on {here} stays.") }),
      h("div", { class: "keys" }, key, h("a", { class: "key", href: "#/" }, "Cancel")),
    );
  }
  const failed = (/** @type {any} */ error) => (wrong.textContent = error.message);
  input.addEventListener("change", async () => {
    const [file] = input.files ?? [];
    wrong.textContent = "";
    place.replaceChildren();
    try {
      if (file) await show(await ctx.files.textOf(file));
    } catch (error) {
      failed(error);
    }
    input.value = "";
  });
  const came = ctx.address.cameIn("log");
  try {
    if (came) show(JSON.stringify(ctx.files.unpackLog(`#log=${came}`))).catch(failed);
  } catch (error) {
    failed(error);
  }
  return {
    title: "Data from another address",
    fresh() {},
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: "Data from another address" }),
      came ? null : h("p", { text: "Choose the file that was exported at the old address." }),
      wrong,
      place,
      byFile,
    ),
  };
}
