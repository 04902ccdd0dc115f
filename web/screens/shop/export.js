/* The shop database as files: tables for other programs, all of it, and the way back in.

   Owns the choice and the report. Files are asked for with this device's key in a header, so that no address holds one;
   entries of a file go to the shop by the same door as a phone's, a hundred at a time. */

import { choice } from "../../parts/choice.js";
import { h, say } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { lackNote } from "../../parts/shop/lack.js";
import { backups } from "./export-backup.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */

/** @typedef {{ key: string }} Held The shop's key for this device. */
/** @typedef {Error & { code?: string }} Failed */
/** @typedef {{ stored: number, known: number, refused: { line: number, id: string, detail: string }[] }} Report */

const TABLES = [
  { value: "jobs", label: "Jobs", words: "One row per job: car, owner, request, status, heights, chance." },
  { value: "readings", label: "Readings", words: "One row per reading, with pose, spread and whether it counts." },
  {
    value: "moves",
    label: "Teeth and turns",
    words: "One row per teardown or adjustment as logged, with corrections.",
  },
  {
    value: "teardowns",
    label: "Teardowns and adjustments",
    words: "The car as found and after each of them: predicted and measured.",
  },
  {
    value: "book",
    label: "All data",
    words:
      "Every record: a copy, or for another shop’s PC. Photos are not in it: the daily copies have them, and so has " +
      "“bothends export” to a folder.",
  },
];
const FORMATS = [
  { value: "csv", label: "CSV" },
  { value: "json", label: "JSON" },
];
/** @type {{ [ending: string]: string }} */
const KINDS = { csv: "text/csv", json: "application/json", jsonl: "application/jsonl" };
const NAMED = 50;
/** @param {number} n @param {string} one @param {string} many */
const much = (n, one, many) => `${n} ${n === 1 ? one : many}`;
const size = (/** @type {number} */ bytes) =>
  bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`;

/**
 * Days as a field; "" for no end.
 * @param {string} id
 * @param {string} label
 * @param {(value: string) => void} onset
 */
function day(id, label, onset) {
  /** @type {HTMLInputElement} */
  const input = h("input", { id, type: "date", onchange: () => onset(input.value) });
  return h("div", { class: "day" }, h("label", { for: id, text: label }), input);
}

/**
 * What goes out: a table between two days.
 * @param {Context} ctx
 * @param {Held} held
 * @param {(error: Failed) => void} stop
 */
function taking(ctx, held, stop) {
  const chosen = { table: "jobs", format: "csv", since: "", until: "" };
  const told = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const words = h("p", { class: "where", id: "export-words" });
  const format = choice({
    name: "format",
    legend: "Format",
    options: FORMATS,
    chosen: chosen.format,
    onchoose: (value) => (chosen.format = value),
  });
  const key = h("button", { type: "button", class: "key main", onclick: () => write() }, "Export");
  function show() {
    words.textContent = TABLES.find(({ value }) => value === chosen.table)?.words ?? "";
    format.hidden = chosen.table === "book";
  }
  async function write() {
    const { table, since, until } = chosen;
    const ending = table === "book" ? "jsonl" : chosen.format;
    const mark = (await ctx.shop.simulated()) ? "-simulated" : "";
    const days = [since, until].some(Boolean) ? `-${since || "first"}-to-${until || "last"}` : "";
    wrong.textContent = "";
    told.textContent = "Exporting…";
    key.disabled = true;
    try {
      const text = await ctx.pc.tableText(table, { since, until }, KINDS[ending], held.key);
      const name = `bothends${mark}-${table}${days}.${ending}`;
      ctx.files.download({ name, text, type: KINDS[ending] });
      told.textContent = `${name} written, ${size(new Blob([text]).size)}.`;
    } catch (caught) {
      const error = /** @type {Failed} */ (caught);
      if (error.name !== "Trouble") throw error;
      told.textContent = "";
      wrong.textContent = error.message;
      stop(error);
    } finally {
      key.disabled = false;
    }
  }
  show();
  return h(
    "section",
    { class: "exporting" },
    h("h2", { text: "Export" }),
    choice({
      name: "table",
      legend: "What to export",
      options: TABLES,
      chosen: chosen.table,
      onchoose: (value) => {
        chosen.table = value;
        show();
      },
    }),
    words,
    h(
      "div",
      { class: "days" },
      day("since", "From day", (value) => (chosen.since = value)),
      day("until", "To day", (value) => (chosen.until = value)),
    ),
    h("p", { class: "where", text: "Days in UTC, both included. Blank: all days. Units are in the headings." }),
    format,
    h("div", { class: "keys" }, key),
    told,
    wrong,
  );
}

/** A report in sentences. @param {Report} report @param {number} missing */
const reported = ({ stored, known, refused }, missing) =>
  [
    `${much(stored, "record", "records")} new, ${known} known already, ${refused.length} refused.`,
    missing ? `The file is incomplete: ${much(missing, "record is", "records are")} missing.` : "",
  ]
    .filter(Boolean)
    .join(" ");

/** Keep photos of a phone's file and send them on; whatever becomes of them, the records are in.
 * @param {Context} ctx @param {{ photos?: unknown, rows: { entry: unknown }[] }} found */
async function keepPhotos(ctx, { photos, rows }) {
  const all = rows.map(({ entry }) => entry);
  if (!(await ctx.files.keepPacked(photos, all).catch(() => 0))) return;
  await ctx.need("photos");
  await ctx.photos.send();
}

/**
 * What comes in: the entries of a file.
 * @param {Context} ctx
 * @param {Held} held
 * @param {(error: Failed) => void} stop
 */
function bringing(ctx, held, stop) {
  const told = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const list = h("ul", { class: "refusals" });
  const input = h("input", {
    id: "book-file",
    class: "file",
    type: "file",
    accept: ".json,.jsonl,.gz,application/json",
  });
  /** @param {string} text @param {string} [bad] @param {Report["refused"]} [rows] */
  const put = (text, bad = "", rows = []) => {
    told.textContent = text;
    wrong.textContent = bad;
    const more = rows.length > NAMED ? [h("li", { text: `and ${rows.length - NAMED} more` })] : [];
    list.replaceChildren(
      ...rows
        .slice(0, NAMED)
        .map(({ line, id, detail }) =>
          h("li", null, h("strong", { text: `Line ${line}` }), `${id ? `, record ${id}` : ""}: ${detail}`),
        ),
      ...more,
    );
  };
  input.addEventListener("change", async () => {
    const [file] = input.files ?? [];
    if (!file) return;
    put("Reading the file…");
    let last = /** @type {Report | null} */ (null);
    try {
      const found = ctx.files.opened(await ctx.files.textOf(file));
      if (found.simulated !== (await ctx.shop.simulated())) {
        return put(
          "",
          found.simulated
            ? "This file is a simulated season; this database has real cars. They are kept apart."
            : "This database is a simulated season; the file has real cars. They are kept apart.",
        );
      }
      const rows = [...found.rows, ...found.disputed.map((entry, i) => ({ line: found.rows.length + i + 1, entry }))];
      const report = await ctx.pc.sendRows(rows, held.key, (so) => {
        last = so;
        told.textContent = `${so.stored + so.known + so.refused.length} of ${rows.length} records sent.`;
      });
      await keepPhotos(ctx, found);
      put(reported(report, found.missing), "", report.refused);
      say(reported(report, found.missing));
    } catch (caught) {
      const error = /** @type {Failed} */ (caught);
      if (!["FileError", "Trouble"].includes(error.name)) throw error;
      const so = last ? ` ${reported(last, 0)} Choose the file again to continue.` : "";
      put("", error.message + so, last?.refused ?? []);
      if (error.name === "Trouble") stop(error);
    } finally {
      input.value = "";
    }
    return undefined;
  });
  return h(
    "section",
    { class: "exporting" },
    h("h2", { text: "Import" }),
    h("p", {
      text:
        "Data exported from a shop or a phone. Known records change nothing; new ones are added; invalid ones are " +
        "listed.",
    }),
    h("div", { class: "keys" }, h("label", { class: "key", for: "book-file" }, "Choose a file", input)),
    told,
    wrong,
    list,
  );
}

/**
 * The screen.
 * @param {Context} ctx
 * @returns {Shown}
 */
export function exporting(ctx) {
  useStyle("export");
  const inside = h("div", { class: "start" });
  const lack = h("div");
  const stop = (/** @type {Failed} */ { code, message }) =>
    code === "key-refused" &&
    inside.replaceChildren(lackNote({ code, text: message }, "Export is for paired devices.", ctx.redraw));
  ctx.device.access().then(
    (held) => {
      if (held) inside.replaceChildren(taking(ctx, held, stop), backups(ctx), bringing(ctx, held, stop));
      else
        inside.replaceChildren(
          lackNote(
            { code: "not-paired", text: "This device is not paired with a shop." },
            "Export is for paired devices. This device’s own data is exported in Settings.",
            ctx.redraw,
          ),
        );
    },
    (/** @type {Error} */ error) => lack.replaceChildren(h("p", { class: "error", text: error.message })),
  );
  return {
    title: "Export and import",
    fresh() {},
    node: h("div", { class: "start" }, h("h1", { text: "Export and import" }), lack, inside),
  };
}
