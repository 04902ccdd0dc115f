/* Erasing a customer on request: what would go from which visits of the car, what stays, what it cannot reach; then,
   once somebody has typed the word, doing it and saying what was done. Asks the shop; its records reach this device
   and the others as they sync. */

import { h, say } from "../../parts/dom.js";
import { lackNote } from "../../parts/shop/lack.js";
import { useStyle } from "../../parts/style.js";
import { shortDate } from "../../work/dates.js";
import { counted } from "../../work/plural.js";

/** @import { Context, Shown } from "../../types/context.d.ts" */
/** @import { Customer, ErasureList, JobToErase } from "../../types/wire.d.ts" */

const SAID = {
  title: "Erase a customer",
  loading: "Loading…",
  fromShop: "Customers are erased in the shop database.",
  notFound: "This job is not in the shop database yet. Sync it first.",
  how: "When a customer asks for their data to be erased. It cannot be undone.",
  goes: "What goes",
  everything: [
    "Name, number plate, title, request, notes, reasons, what a reading was taken with, and names that readers of a " +
      "link gave: in every record of the visits ticked.",
    "In the shop database and its files, in short links, and in exports and backups from then on.",
    "On each phone when it next syncs. What a phone sends later from before it knew loses its words as it arrives.",
  ],
  stays: "What stays",
  figures: "Heights, angles, teeth, loads, chances and statistics, as those of a car without a name.",
  record: "That it was erased, on which device, when, and how many records lost words.",
  spots: (/** @type {string[]} */ names) => `Names of places where the car stood: ${names.join(", ")}.`,
  beyond: "What cannot be recalled",
  copies: (/** @type {number} */ days) =>
    `Daily backups made before hold it for up to ${days} days. One that is restored loses it.`,
  sent: "Long links, pages and exported files made before, and backups made by hand: delete those you have.",
  visits: "Visits of this car",
  records: /** @type {[string, string]} */ (["{n} record with words", "{n} records with words"]),
  nothing: "nothing left to erase",
  unnamed: "Car without a name",
  car: "What the car is called from now on",
  carHow: "Its kind, with nothing in it that names the customer. May stay empty.",
  type: (/** @type {string} */ word) => `Type “${word}” to erase the visits ticked`,
  word: "erase",
  erase: "Erase customer",
  cancel: "Cancel",
  erasing: "Erasing…",
  done: "Customer erased",
  lost: /** @type {[string, string]} */ (["{n} record lost words", "{n} records lost words"]),
  line: (/** @type {string} */ day, /** @type {string} */ by, /** @type {string} */ lost) =>
    `Customer erased on ${day}${by ? ` on ${by}` : ""}: ${lost}.`,
  open: "Open the job",
  all: "All jobs",
};

const item = (/** @type {string} */ text) => h("li", { text });

/** A visit in words. @param {JobToErase} visit */
const nameOf = ({ title, car, owner, plate }) =>
  [title || car || SAID.unnamed, title.includes(owner) ? "" : owner, plate].filter(Boolean).join(", ");

/** The car's name as it may stay; none where it has the owner's name or the plate in it.
 * @param {JobToErase[]} visits */
function carWithout(visits) {
  const { car } = visits[visits.length - 1];
  const inIt = (/** @type {string} */ word) => word.trim() && car.toLowerCase().includes(word.trim().toLowerCase());
  const words = visits.flatMap(({ owner, plate }) => [owner, plate, ...owner.split(/\s+/)]);
  return words.some(inIt) ? "" : car;
}

/** What goes, what stays, what is out of reach. @param {Customer} found */
function explained({ jobs, copies_days: days }) {
  const spots = [...new Set(jobs.flatMap(({ spots: names }) => names))].sort();
  const block = (/** @type {string} */ title, /** @type {string[]} */ lines) =>
    h("section", { class: "erase-part" }, h("h2", { text: title }), h("ul", null, lines.map(item)));
  return h(
    "div",
    { class: "erase-parts" },
    block(SAID.goes, SAID.everything),
    block(SAID.stays, [SAID.figures, ...(spots.length ? [SAID.spots(spots)] : []), SAID.record]),
    block(SAID.beyond, [SAID.copies(days), SAID.sent]),
  );
}

/** A tick for each visit. @param {JobToErase[]} visits @param {() => void} onchange */
function ticks(visits, onchange) {
  const rows = visits.map((visit) => {
    const id = `visit-${visit.job}`;
    const box = /** @type {HTMLInputElement} */ (h("input", { id, type: "checkbox", checked: true, onchange }));
    const days = [...new Set([visit.first_at, visit.last_at].map(shortDate))].join(" – ");
    const words = visit.entries ? counted(visit.entries, ...SAID.records) : SAID.nothing;
    const label = h(
      "label",
      { for: id },
      h("strong", { text: nameOf(visit) }),
      h("span", { text: `${days}, ${words}` }),
    );
    return { box, job: visit.job, node: h("li", null, box, label) };
  });
  const node = h(
    "fieldset",
    null,
    h("legend", { text: SAID.visits }),
    h(
      "ul",
      null,
      rows.map((row) => row.node),
    ),
  );
  return { node, chosen: () => rows.filter(({ box }) => box.checked).map(({ job }) => job) };
}

/** A named text field.
 * @param {string} id @param {string} words @param {string} value @param {() => void} oninput */
function textField(id, words, value, oninput) {
  const input = /** @type {HTMLInputElement} */ (
    h("input", { id, type: "text", value, maxlength: 200, autocomplete: "off", spellcheck: "false", oninput })
  );
  return { input, node: h("div", { class: "text-field" }, h("label", { for: id, text: words }), input) };
}

class ErasePage {
  /** @param {Context} ctx @param {string} job */
  constructor(ctx, job) {
    this.ctx = ctx;
    this.job = job;
    this.place = h("div", { class: "erase-place" });
    this.gone = false;
    ctx.whileShown(() => (this.gone = true));
  }

  /** @returns {Promise<void>} */
  async load() {
    this.place.replaceChildren(h("p", { class: "working", role: "status", text: SAID.loading }));
    const { body, problem, lack } = await this.ctx.pc.askShop(`/api/erasures/${encodeURIComponent(this.job)}`);
    if (this.gone) return;
    if (body) this.offer(/** @type {Customer} */ (body));
    else if (lack) this.place.replaceChildren(lackNote(lack, SAID.fromShop, () => this.load()));
    else {
      const text = problem?.code === "not-found" ? SAID.notFound : (problem?.detail ?? "");
      this.place.replaceChildren(h("p", { class: "refused", role: "alert", text }));
    }
  }

  /** @param {Customer} found */
  offer(found) {
    const wrong = h("p", { class: "error", role: "alert" });
    const told = h("p", { role: "status" });
    const look = () => (key.disabled = word.input.value.trim().toLowerCase() !== SAID.word || !visits.chosen().length);
    const visits = ticks(found.jobs, look);
    const car = textField("erase-car", SAID.car, carWithout(found.jobs), look);
    const word = textField("erase-word", SAID.type(SAID.word), "", look);
    const go = async () => {
      key.disabled = true;
      wrong.textContent = "";
      told.textContent = SAID.erasing;
      const jobs = visits.chosen();
      const name = car.input.value.trim();
      const cars = Object.fromEntries(name ? jobs.map((job) => [job, name]) : []);
      const { body, problem, lack } = await this.ctx.pc.askShop("/api/erasures", {
        method: "POST",
        send: { jobs, cars },
      });
      if (this.gone) return;
      told.textContent = "";
      if (body) this.tell(/** @type {ErasureList} */ (body), found);
      else wrong.textContent = problem?.detail ?? lack?.text ?? "";
      look();
    };
    const key = /** @type {HTMLButtonElement} */ (
      h("button", { type: "submit", class: "key main bad", disabled: true }, SAID.erase)
    );
    const onsubmit = (/** @type {Event} */ event) => {
      event.preventDefault();
      if (!key.disabled) go();
    };
    const cancel = h("a", { class: "key", href: this.ctx.href({ words: ["list"] }, this.job) }, SAID.cancel);
    const how = h("p", { class: "where", text: SAID.carHow });
    const keys = h("div", { class: "keys" }, cancel, key);
    this.place.replaceChildren(
      explained(found),
      h("form", { class: "erase-form", onsubmit }, visits.node, car.node, how, word.node, keys, told, wrong),
    );
  }

  /** @param {ErasureList} done @param {Customer} found */
  tell({ erasures }, found) {
    const lines = erasures.map(({ at, by, entries, job }) => {
      const words = SAID.line(shortDate(at), by, counted(entries, ...SAID.lost));
      return h(
        "li",
        null,
        h("span", { text: words }),
        " ",
        h("a", { href: this.ctx.href({ words: ["list"] }, job) }, SAID.open),
      );
    });
    const heading = h("h2", { text: SAID.done, tabindex: "-1" });
    this.place.replaceChildren(
      h(
        "section",
        { class: "erase-done" },
        heading,
        h("ul", null, lines),
        h("p", { text: SAID.copies(found.copies_days) }),
        h("p", { text: SAID.sent }),
        h("div", { class: "keys" }, h("a", { class: "key main", href: "#/table" }, SAID.all)),
      ),
    );
    heading.focus();
    say(SAID.done);
    this.ctx.shop.syncNow();
  }
}

/** The screen.
 * @param {Context} ctx @returns {Shown} */
export function erase(ctx) {
  useStyle("erase");
  const page = new ErasePage(ctx, ctx.query.job ?? "");
  page.load();
  const lead = h("p", { class: "where", text: SAID.how });
  return {
    title: SAID.title,
    fresh() {},
    node: h("div", { class: "erase-page" }, h("h1", { text: SAID.title }), lead, page.place),
  };
}
