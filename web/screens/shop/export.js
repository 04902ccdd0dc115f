/* The shop's book as files: tables for other programs, the whole book, and the way back in.

   Owns the choice and the report. Files are asked for with this device's key in a header, so that no address holds one;
   entries of a file go to the shop by the same door as a phone's, a hundred at a time. */

import { choice } from "../../parts/choice.js";
import { h, say } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { lackNote } from "../../parts/shop/lack.js";

const TABLES = [
  { value: "jobs", label: "Jobs", words: "One row a job: car, owner, wish, where it stands, heights, odds." },
  { value: "readings", label: "Readings", words: "One row a reading, with pose, spread and whether it counts." },
  { value: "moves", label: "Teeth turned", words: "One row a teardown as it was entered, with corrections." },
  { value: "teardowns", label: "Teardowns", words: "The car as found and after each teardown: promised and reached." },
  { value: "book", label: "Whole book", words: "Every entry as it was written: for a copy, or another shop’s PC." },
]; // prettier-ignore
const FORMATS = [
  { value: "csv", label: "CSV" },
  { value: "json", label: "JSON" },
];
const KINDS = { csv: "text/csv", json: "application/json", jsonl: "application/jsonl" };
const NAMED = 50;
const much = (n, one, many) => `${n} ${n === 1 ? one : many}`;
const size = (bytes) => (bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

/** Days as a field; "" for no end. */
function day(id, label, onset) {
  const input = h("input", { id, type: "date", onchange: () => onset(input.value) });
  return h("div", { class: "day" }, h("label", { for: id, text: label }), input);
}

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
  const key = h("button", { type: "button", class: "key main", onclick: () => write() }, "Write the file");
  function show() {
    words.textContent = TABLES.find(({ value }) => value === chosen.table).words;
    format.hidden = chosen.table === "book";
  }
  async function write() {
    const { table, since, until } = chosen;
    const ending = table === "book" ? "jsonl" : chosen.format;
    const mark = (await ctx.device.simulated()) ? "-simulated" : "";
    const days = [since, until].some(Boolean) ? `-${since || "first"}-to-${until || "last"}` : "";
    wrong.textContent = "";
    told.textContent = "The shop writes the file.";
    key.disabled = true;
    try {
      const text = await ctx.pc.tableText(table, { since, until }, KINDS[ending], held.key);
      const name = `bothends${mark}-${table}${days}.${ending}`;
      ctx.files.download({ name, text, type: KINDS[ending] });
      told.textContent = `${name} written, ${size(new Blob([text]).size)}.`;
    } catch (error) {
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
    h("h2", { text: "Take out" }),
    choice({ name: "table", legend: "What to take out", options: TABLES, chosen: chosen.table, onchoose: (value) => {
      chosen.table = value;
      show();
    } }),
    words,
    h("div", { class: "days" }, day("since", "From day", (value) => (chosen.since = value)), day("until", "To day", (value) => (chosen.until = value))),
    h("p", { class: "where", text: "Days are those of UTC, both included; empty is from the first, to the last. Units stand in the headings." }),
    format,
    h("div", { class: "keys" }, key),
    told,
    wrong,
  ); // prettier-ignore
}

/** A report in sentences. */
const reported = ({ stored, known, refused }, missing) =>
  [
    `${much(stored, "entry", "entries")} new, ${known} known already, ${refused.length} refused.`,
    missing ? `The file was cut off: ${much(missing, "entry", "entries")} that it promises ${missing === 1 ? "is" : "are"} not in it.` : "",
  ].filter(Boolean).join(" "); // prettier-ignore

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
  const put = (text, bad = "", rows = []) => {
    told.textContent = text;
    wrong.textContent = bad;
    const more = rows.length > NAMED ? [h("li", { text: `and ${rows.length - NAMED} more` })] : [];
    list.replaceChildren(
      ...rows
        .slice(0, NAMED)
        .map(({ line, id, detail }) =>
          h("li", null, h("strong", { text: `Line ${line}` }), `${id ? `, entry ${id}` : ""}: ${detail}`),
        ),
      ...more,
    );
  };
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    put("Reading the file.");
    let last = null;
    try {
      const found = ctx.files.opened(await ctx.files.textOf(file));
      if (found.simulated !== (await ctx.device.simulated())) {
        return put(
          "",
          found.simulated
            ? "This file is of a simulated season and this book is of real cars. They are kept apart."
            : "This book is a simulated season and the file is of real cars. They are kept apart.",
        );
      }
      const rows = [...found.rows, ...found.disputed.map((entry, i) => ({ line: found.rows.length + i + 1, entry }))];
      const report = await ctx.pc.sendRows(rows, held.key, (so) => {
        last = so;
        told.textContent = `${so.stored + so.known + so.refused.length} of ${rows.length} entries sent.`;
      });
      put(reported(report, found.missing), "", report.refused);
      say(reported(report, found.missing));
    } catch (error) {
      if (!["FileError", "Trouble"].includes(error.name)) throw error;
      const so = last ? ` ${reported(last, 0)} Choose the file again to go on: what is there changes nothing.` : "";
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
    h("h2", { text: "Take in" }),
    h("p", {
      text: "A whole book, or a log that was exported from a phone, packed by gzip or not. Entries that are here already change nothing; the rest is added, and what does not fit is named.",
    }),
    h("div", { class: "keys" }, h("label", { class: "key", for: "book-file" }, "Choose a file", input)),
    told,
    wrong,
    list,
  );
}

/** The screen. */
export function exporting(ctx) {
  useStyle("export");
  const inside = h("div", { class: "start" });
  const lack = h("div");
  const stop = (error) =>
    error.code === "key-refused" &&
    inside.replaceChildren(lackNote(error, "Its files are for paired devices.", ctx.redraw));
  ctx.device.access().then(
    (held) => {
      if (held) inside.replaceChildren(taking(ctx, held, stop), bringing(ctx, held, stop));
      else
        inside.replaceChildren(
          lackNote(
            { code: "not-paired", text: "This device is not paired with a shop." },
            "Its files are for paired devices. This device’s own log is exported in Settings.",
            ctx.redraw,
          ),
        );
    },
    (error) => lack.replaceChildren(h("p", { class: "error", text: error.message })),
  );
  return {
    title: "The book as files",
    fresh() {},
    node: h("div", { class: "start" }, h("h1", { text: "The book as files" }), lack, inside),
  };
}
