/* Cars that may be one, asked about two by two where the shop's jobs are listed: the words and records of a car's own
   page (work/which-car.js). What was answered stays in its place, with its undo, until the screen is left. */

import { h, say } from "../dom.js";
import { fold } from "../plate.js";
import { useStyle } from "../style.js";
import { ANSWERS, carOf, joined, notSame, question, takenBack, whyWords } from "../../work/which-car.js";
import { named } from "../../work/this-device.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { Alike, Other, SaidBy } from "../../work/pc/car-local.js" */
/** @import { Said } from "../../work/which-car.js" */

/** @typedef {Pick<SaidBy, "job" | "entry">} Made */
/**
 * @typedef {object} Row
 * @property {string} key
 * @property {Alike} pair
 * @property {{ words: string, made: Made[] } | null} done what was answered
 * @property {boolean} keeping while an answer or its undo is written down
 * @property {number} held how many of these the shop may not have heard of yet
 */

const SAID = {
  title: "Same car?",
  saved: "Saved",
  undo: "Undo",
  undone: "The question is open again",
  spoken: (/** @type {string} */ words, /** @type {string} */ asked) => `${words}: ${asked}`,
  told: (/** @type {string} */ car, /** @type {string} */ other, /** @type {string} */ words) =>
    `${car}; ${other}: ${words}.`,
  none: "No such car.",
  get lacking() {
    return named("Some of these visits are not on {here} yet. Sync, then try again.");
  },
};

/**
 * That another car is this one: every visit of it says so; null where it is gone.
 * @param {Context} ctx
 * @param {string} key
 * @param {Pick<Other, "car_key">} other
 */
export async function yesTo(ctx, key, other) {
  const { found } = await ctx.pc.carAt(other.car_key);
  return found && joined(found, key);
}

/**
 * That they are two: a visit of this one says so, besides what it says already.
 * @param {Context} ctx
 * @param {string} job of this car
 * @param {Pick<Other, "car_key">} other
 * @returns {Promise<Said>}
 */
export async function noTo(ctx, job, other) {
  // What it says already is known once its records are here.
  await ctx.pc.sayOfJobs(new Map([[job, []]]));
  const already = (await ctx.log.look(job)).sheet.about.other_than;
  return new Map([[job, [notSame(job, already, other.car_key)]]]);
}

/**
 * The records that say this, once they were kept.
 * @param {Context} ctx
 * @param {Said} said
 * @returns {Promise<Made[]>}
 */
async function madeOf(ctx, said) {
  const made = [];
  for (const [job, items] of said) {
    const entries = (await ctx.log.entries(job)).reverse();
    for (const [kind, body] of items) {
      const entry = entries.find((one) => one.kind === kind && JSON.stringify(one.body) === JSON.stringify(body));
      if (entry) made.push({ job, entry: entry.id });
    }
  }
  return made;
}

/** What names two cars, whichever of them comes first: that changes with the one that was last worked on.
 * @param {Alike} pair */
const keyOf = ({ car, other }) => [car.car_key, other.car_key].sort().join(" ");

/** The questions in a page: `node`, and `load()` whenever something has changed. */
export class SameCars {
  /** @param {Context} ctx @param {{ folded: boolean }} how whether they stand folded, under their number */
  constructor(ctx, { folded }) {
    useStyle("car-which");
    this.ctx = ctx;
    this.folded = folded;
    /** @type {Row[]} */
    this.rows = [];
    /** @type {Set<string>} */
    this.putOff = new Set();
    this.wrong = h("p", { class: "error", role: "alert" });
    this.list = h("ul", { class: "same-cars" });
    this.node = h("section", { class: "same-cars-place", hidden: true });
    this.turn = 0;
  }

  /** Ask which there are, and draw. */
  async load() {
    const mine = (this.turn += 1);
    const pairs = /** @type {Alike[]} */ (await this.ctx.pc.carsAlike());
    if (mine !== this.turn) return;
    const fresh = new Map(pairs.map((pair) => [keyOf(pair), pair]));
    // What is answered, or open again, here before the shop has heard of it keeps its row.
    const stay = this.rows.filter(({ key, done, held }) => done || held || fresh.has(key));
    const known = new Set(stay.map(({ key }) => key));
    const come = [...fresh].filter(([key]) => !known.has(key) && !this.putOff.has(key));
    this.rows = [
      ...stay,
      ...come.map(([key, pair]) => ({
        key,
        pair,
        done: null,
        keeping: false,
        held: 0,
      })),
    ];
    this.draw();
  }

  draw() {
    this.node.hidden = !this.rows.length;
    this.list.replaceChildren(...this.rows.map((row) => this.item(row)));
    const open = this.rows.filter(({ done }) => !done).length;
    const more = this.node.querySelector("summary .more");
    if (more) more.textContent = String(open);
    if (this.node.childElementCount) return;
    const title = {
      title: SAID.title,
      more: String(open),
      id: "same-cars",
      level: /** @type {"h2"} */ ("h2"),
    };
    this.node.append(
      ...(this.folded ? [fold(title, this.wrong, this.list)] : [h("h2", { text: SAID.title }), this.wrong, this.list]),
    );
  }

  /** @param {Row} row */
  item({ key, pair: { car, other }, done }) {
    const asked = `${carOf(car)}. ${question(other)}`;
    const button = (/** @type {string} */ words, /** @type {() => unknown} */ ontap, cls = "key") =>
      h(
        "button",
        {
          type: "button",
          class: cls,
          onclick: ontap,
          "aria-label": SAID.spoken(words, asked),
        },
        words,
      );
    const href = this.ctx.href({ words: ["car"], query: { key: car.car_key } }, "");
    const row = () => /** @type {Row} */ (this.rows.find((one) => one.key === key));
    const node = done
      ? h(
          "li",
          { class: "which-ask" },
          h("p", { text: SAID.told(carOf(car), carOf(other), done.words) }),
          h(
            "div",
            { class: "keys" },
            button(SAID.undo, () => this.undo(row()), "key quiet"),
          ),
        )
      : h(
          "li",
          { class: "which-ask" },
          h("p", null, h("a", { href, text: carOf(car) }), ". ", h("strong", { text: question(other) })),
          h("p", { class: "where", text: whyWords(other) }),
          h(
            "div",
            { class: "keys" },
            button(ANSWERS.yes, () => this.answer(row(), ANSWERS.yes)),
            button(ANSWERS.no, () => this.answer(row(), ANSWERS.no)),
            button(ANSWERS.later, () => this.later(key), "key quiet"),
          ),
        );
    node.dataset.key = key;
    return node;
  }

  /** @param {string} key */
  later(key) {
    this.putOff.add(key);
    this.rows = this.rows.filter((row) => row.key !== key);
    this.draw();
  }

  /**
   * Do this with a row, which stays in its place meanwhile, whatever comes; then ask again which there are.
   * @param {Row} row
   * @param {() => Promise<string | null>} act the words to say of it, null where nothing was kept
   */
  async hold(row, act) {
    if (row.keeping) return;
    row.keeping = true;
    row.held += 1;
    try {
      const words = await act().finally(() => (row.keeping = false));
      if (words === null) return;
      this.draw();
      /** @type {HTMLElement | null} */ (
        this.list.querySelector(`[data-key="${CSS.escape(row.key)}"] button`)
      )?.focus();
      say(words);
      // The shop has to have heard before it is asked.
      await this.ctx.shop.syncNow();
    } finally {
      row.held -= 1;
    }
    await this.load();
  }

  /** @param {Row} row @param {string} words */
  answer(row, words) {
    const { car, other } = row.pair;
    return this.hold(row, async () => {
      const { found } = await this.ctx.pc.carAt(car.car_key);
      const said = !found
        ? null
        : words === ANSWERS.yes
          ? await yesTo(this.ctx, car.car_key, other)
          : await noTo(this.ctx, found.visits[0].job, other);
      if (!said) this.wrong.textContent = SAID.none;
      if (!said || !(await this.keep(said))) return null;
      row.done = { words, made: await madeOf(this.ctx, said) };
      return SAID.saved;
    });
  }

  /** @param {Row} row */
  undo(row) {
    return this.hold(row, async () => {
      const made = /** @type {SaidBy[]} */ (row.done?.made ?? []);
      if (!(await this.keep(takenBack(made)))) return null;
      row.done = null;
      return SAID.undone;
    });
  }

  /** Whether it was kept; where not, that is said. @param {Said} said */
  async keep(said) {
    this.wrong.textContent = "";
    try {
      const lacking = await this.ctx.pc.sayOfJobs(said);
      this.wrong.textContent = lacking.length ? SAID.lacking : "";
      return !lacking.length;
    } catch (error) {
      this.wrong.textContent = /** @type {Error} */ (error).message;
      return false;
    }
  }
}
