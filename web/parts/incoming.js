/* What a link or a file would do, to be read before anything of it is kept: how many records are new, and for each job
   that is here already every change, old and new, who wrote it and when, those first that could do harm. Each can be
   taken or refused; below stands the job as it comes to with what is taken.

   Owns what was said of each part, by job. What is written then is given back; the screens keep it. */

import { itemsFor, undecided, wordsOn } from "../work/incoming-parts.js";
import { thenRows } from "../work/incoming-then.js";
import { counted } from "../work/plural.js";
import { moment } from "../work/conflicts.js";
import { writtenBy } from "../work/writer.js";
import { choice } from "./choice.js";
import { h, say } from "./dom.js";
import { fold } from "./plate.js";
import { deviceName, nameWriters } from "./writers.js";
import { named } from "../work/this-device.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { Entry, Item } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */
/** @import { Change } from "../work/incoming.js" */
/** @import { Offered, Word } from "../work/incoming-parts.js" */
/** @import { Row } from "../work/incoming-then.js" */

/**
 * @typedef {{ job: string, here: Entry[], fresh: Entry[], was: Folded | null, is: Folded, parts: Offered[],
 *   rest: Change[] }} OfJob
 */
/**
 * @typedef {object} Found as book/incoming.js gives it
 * @property {{ added: number, known: number, disputed: number, unfit: number }} told
 * @property {number} fresh
 * @property {number} more
 * @property {OfJob[]} looked
 */
/**
 * @typedef {object} Shown
 * @property {HTMLElement} node
 * @property {() => number} open how many parts still wait for a word
 * @property {() => void} toOpen go to the first of them
 * @property {() => Map<string, Item[]>} then what this device writes after what comes, by job
 */

const SAID = {
  /** @type {{ [form in Change["form"]]: string }} */
  forms: {
    conflict: "Contradicts",
    teardown: "Turned",
    removed: "Removed",
    replaced: "Replaced",
    changed: "Changed",
    new: "New",
  },
  nothing: "Nothing new: all of it is here already.",
  added: /** @type {[string, string]} */ (["{n} record is new", "{n} records are new"]),
  known: (/** @type {number} */ n) => `${n} known already`,
  disputed: /** @type {[string, string]} */ ([
    "{n} record differs from the one here; both are kept, and you are asked",
    "{n} records differ from those here; both are kept, and you are asked",
  ]),
  unfit: /** @type {[string, string]} */ ([
    "{n} row is no record and is left out",
    "{n} rows are no records and are left out",
  ]),
  fresh: /** @type {[string, string]} */ (["{n} job is not on {here} yet.", "{n} jobs are not on {here} yet."]),
  more: /** @type {[string, string]} */ ([
    "{n} more job here would get new records; its Log marks them afterwards.",
    "{n} more jobs here would get new records; their Logs mark them afterwards.",
  ]),
  changes: (/** @type {string} */ title) => `What would change: ${title}`,
  unnamed: "car without a name",
  same: "Nothing that counts would change.",
  take: "Take",
  refuse: "Refuse",
  after_all: "Take it after all",
  leave: "Leave it out",
  say: "Take it or refuse it?",
  goes: (/** @type {string} */ name) => `Refused with: ${name}`,
  refused: "Refused on ",
  then: "The job with what you take",
  alike: "All else stays as it is.",
  stays: "It stays as it is.",
  whole: "All of it",
  working: "Working it out…",
  decide: (/** @type {number} */ n) => `${n} to decide`,
  waits: /** @type {[string, string]} */ (["{n} change waits for your word", "{n} changes wait for your word"]),
};

/** How many records, in a sentence. @param {Found["told"]} told */
function toldWords({ added, known, disputed, unfit }) {
  if (!added && !disputed && !unfit) return SAID.nothing;
  const parts = [
    added ? counted(added, ...SAID.added) : "",
    known ? SAID.known(known) : "",
    disputed ? counted(disputed, ...SAID.disputed) : "",
    unfit ? counted(unfit, ...SAID.unfit) : "",
  ];
  return `${parts.filter(Boolean).join("; ")}.`;
}

/** Old and new. @param {Pick<Change, "was" | "is">} change */
const arrow = ({ was, is }) => (was && is ? `${was} → ${is}` : is || was);

/** @param {Change} change */
const line = (change) =>
  h(
    "p",
    { class: "line" },
    h("strong", { class: "form", text: SAID.forms[change.form] }),
    h("span", { class: "what", text: change.name }),
    arrow(change) ? h("span", { class: "says", text: arrow(change) }) : null,
  );

/** Who wrote something, and when. @param {string} before @param {Entry} entry @param {Folded} is */
const who = (before, entry, is) =>
  h("p", { class: "who" }, before, moment(entry), deviceName(writtenBy(entry, is.sheet)));

/** @param {Row[]} rows */
const table = (rows) =>
  h(
    "dl",
    { class: "then-rows" },
    rows.map(({ name, was, is }) =>
      h(
        "div",
        { class: was === is ? "" : "differs" },
        h("dt", { text: name }),
        h("dd", null, was && was !== is ? [h("s", { text: was }), is ? " → " : ""] : null, is),
      ),
    ),
  );

/** One job: its changes with a choice each, and what it comes to. */
class JobChanges {
  /**
   * @param {Pick<Context, "files">} ctx
   * @param {OfJob} of
   * @param {number} number
   * @param {() => void} onchange
   */
  constructor(ctx, of, number, onchange) {
    this.ctx = ctx;
    this.of = of;
    this.number = number;
    this.onchange = onchange;
    /** @type {Map<string, Word>} */
    this.said = new Map();
    this.turn = 0;
    this.shown = of.parts.filter(({ changes }) => changes.length);
    this.list = h("ul", { class: "changes" });
    this.comes = h("div", { class: "comes" });
    const title = of.is.sheet.title || of.is.sheet.car_name || SAID.unnamed;
    this.node = h(
      "section",
      { class: "part" },
      h("h2", { text: SAID.changes(title) }),
      this.shown.length ? this.list : h("p", { text: SAID.same }),
      of.rest.length ? h("div", { class: "changes" }, of.rest.map(line)) : null,
      this.shown.length ? [h("h3", { text: SAID.then }), this.comes] : null,
    );
    this.draw();
  }

  words() {
    return wordsOn(this.of.parts, this.said);
  }

  open() {
    return undecided(this.shown, this.words());
  }

  items() {
    return itemsFor(this.of.parts, this.words());
  }

  draw() {
    const words = this.words();
    this.list.replaceChildren(...this.shown.map((part, i) => this.row(part, i, words)));
    this.work().catch((error) => this.comes.replaceChildren(h("p", { class: "refused", text: error.message })));
  }

  /** @param {Offered} part @param {number} i @param {ReturnType<typeof wordsOn>} words */
  row(part, i, words) {
    const { changes, fresh, refused } = part;
    const { word, with: gone } = /** @type {{ word: Word | null, with: string }} */ (words.get(part.id));
    const last = [...fresh, ...refused.map(({ entry }) => entry)].at(-1);
    const before = refused.at(-1)?.by.at(-1);
    const partner = this.of.parts.find(({ id }) => id === gone)?.changes[0]?.name;
    const state = word === null ? "open" : word;
    return h(
      "li",
      { class: `change ${changes[0].form} ${state}` },
      changes.map(line),
      last ? who("", last, this.of.is) : null,
      before ? who(SAID.refused, before, this.of.is) : null,
      gone ? h("p", { class: "goes", text: SAID.goes(partner ?? "") }) : this.choice(part, i, word),
    );
  }

  /** @param {Offered} part @param {number} i @param {Word | null} word */
  choice({ id, changes, fresh, refused }, i, word) {
    const again = refused.length > 0 && !fresh.length;
    const legend = `${changes.map(({ name }) => name).join(", ")}: ${SAID.say}`;
    const name = `word-${this.number}-${i}`;
    return choice({
      name,
      legend,
      cls: "compact word-on",
      chosen: word,
      options: [
        { value: "take", label: again ? SAID.after_all : SAID.take },
        { value: "refuse", label: again ? SAID.leave : SAID.refuse },
      ],
      onchoose: (value) => {
        this.said.set(id, /** @type {Word} */ (value));
        this.draw();
        /** @type {HTMLElement | null} */ (this.list.querySelector(`[name="${name}"]:checked`))?.focus();
        this.onchange();
      },
    });
  }

  /** What the job comes to with what is taken; what still waits for a word counts as refused meanwhile. */
  async work() {
    if (!this.shown.length) return;
    const turn = (this.turn += 1);
    this.comes.setAttribute("aria-busy", "true");
    if (!this.comes.firstChild) this.comes.append(h("p", { class: "working", text: SAID.working }));
    const found = await this.ctx.files.tried(this.of, this.items());
    if (turn !== this.turn) return;
    const rows = thenRows(this.of.was?.sheet ?? null, found.sheet);
    const differ = rows.filter(({ was, is }) => was !== is);
    this.comes.replaceChildren(
      ...(differ.length ? [table(differ)] : []),
      h("p", { class: "where", text: differ.length ? SAID.alike : SAID.stays }),
      fold({ title: SAID.whole, more: String(rows.length), id: `then-${this.number}` }, table(rows)),
    );
    this.comes.removeAttribute("aria-busy");
  }
}

/**
 * The whole of it; names of the devices that wrote come as soon as they are told.
 * @param {Pick<Context, "device" | "files" | "need" | "pc">} ctx
 * @param {Found} found
 * @param {(shown: Shown) => void} [onchange] after every word
 * @returns {Shown}
 */
export function incoming(ctx, { told, fresh, more, looked }, onchange = () => {}) {
  const waits = h("p", { class: "waits", role: "status" });
  const changed = () => {
    waits.textContent = shown.open() ? counted(shown.open(), ...SAID.waits) : "";
    // Without a network the names may not come; the rest stands.
    nameWriters(ctx, node).catch(() => {});
    onchange(shown);
  };
  const jobs = looked.filter(({ was }) => was).map((of, i) => new JobChanges(ctx, of, i, changed));
  const node = h(
    "div",
    { class: "incoming" },
    h("p", null, h("strong", { text: toldWords(told) })),
    fresh ? h("p", { text: named(counted(fresh, ...SAID.fresh)) }) : null,
    jobs.map((one) => one.node),
    more ? h("p", { class: "where", text: counted(more, ...SAID.more) }) : null,
    waits,
  );
  /** @type {Shown} */
  const shown = {
    node,
    open: () => jobs.reduce((sum, one) => sum + one.open().length, 0),
    toOpen() {
      const row = /** @type {HTMLElement | null} */ (node.querySelector(".change.open"));
      row?.scrollIntoView({ block: "center" });
      /** @type {HTMLElement | null} */ (row?.querySelector("input"))?.focus();
      say(waits.textContent ?? "");
    },
    then: () => new Map(jobs.map((one) => [one.of.job, one.items()])),
  };
  changed();
  return shown;
}

/** What a key says while changes wait for a word. @param {Shown} shown */
export const decideWords = (shown) => SAID.decide(shown.open());

/**
 * The same with the key that takes it in: as long as a change waits for a word, the key leads there.
 * @param {Pick<Context, "device" | "files" | "need" | "pc">} ctx
 * @param {Found} found
 * @param {string} words of the key
 * @param {(then: Map<string, Item[]>) => unknown} take
 */
export function deciding(ctx, found, words, take) {
  /** @type {HTMLButtonElement} */
  const key = h("button", { type: "button", class: "key main" });
  const worded = (/** @type {Shown} */ now) => {
    key.textContent = now.open() ? decideWords(now) : words;
    key.onclick = () => (now.open() ? now.toOpen() : take(now.then()));
  };
  const shown = incoming(ctx, found, worded);
  worded(shown);
  return { key, shown };
}
