/* Which car a car's visits are of, at the foot of its page: what a person is asked, joining it with another, taking
   visits out, and what was said, with who and when, to be taken back. Questions stand above the visits. */

import { h, say } from "../../parts/dom.js";
import { notAllWords } from "../../parts/not-all.js";
import { fold } from "../../parts/plate.js";
import { noTo, yesTo } from "../../parts/shop/same-car.js";
import { useStyle } from "../../parts/style.js";
import { visitsOf } from "../../work/again.js";
import { moment } from "../../work/conflicts.js";
import { shortDate } from "../../work/dates.js";
import { counted } from "../../work/plural.js";
import { ANSWERS, actsOf, confirmed, ofAct, question, split, takenBack, whyWords } from "../../work/which-car.js";
import { named } from "../../work/this-device.js";

/** @import { Context } from "../../types/context.d.ts" */
/** @import { CarFound, Other } from "../../work/pc/car-local.js" */
/** @import { Act, Said } from "../../work/which-car.js" */

const SAID = {
  byName: (/** @type {number} */ n) =>
    counted(
      n,
      "{n} visit is joined by name and owner only.",
      "{n} visits are joined by name and owner only, as an older version did.",
    ),
  confirm: "Confirm: one car",
  title: "Which car it is",
  numbers: (/** @type {string} */ plate, /** @type {string} */ chassis) =>
    [plate && `Number plate ${plate}`, chassis && `Chassis number ${chassis}`].filter(Boolean).join(". "),
  take: "Visits of another car",
  takeHow: "Tick them. They become a car of their own, with what was learned at them.",
  takeOut: "Split off",
  tick: "Tick the visits of the other car, but not all.",
  join: "Join with another car",
  joinHow: "All visits and what was learned come together. You can undo it.",
  find: "Name, owner or plate",
  none: "No such car.",
  said: "What was said",
  nothing: "Nobody has said which car this is.",
  undo: "Undo",
  undoSpoken: (/** @type {string} */ words) => `Undo: ${words}`,
  done: "Saved",
  get lacking() {
    return named("Some of these visits are not on {here} yet. Sync, then try again.");
  },
  failed: (/** @type {string} */ why) => `Not saved: ${why}`,
};
const PAUSE_MS = 250;

/** The page's own way to keep something, and to look again after that. */
class Which {
  /** @param {Context} ctx @param {CarFound} found @param {() => void} again */
  constructor(ctx, found, again) {
    this.ctx = ctx;
    this.found = found;
    this.again = again;
    this.wrong = h("p", { class: "error", role: "alert" });
  }

  /** @param {Said} said */
  async keep(said) {
    this.wrong.textContent = "";
    try {
      const lacking = await this.ctx.pc.sayOfJobs(said);
      if (lacking.length) return void (this.wrong.textContent = SAID.lacking);
    } catch (error) {
      if (!(error instanceof Error)) throw error;
      return void (this.wrong.textContent = SAID.failed(error.message));
    }
    // The shop answers the page that follows: it has to have heard.
    await this.ctx.shop.syncNow();
    say(SAID.done);
    this.again();
  }

  /** @param {Other} other */
  async join(other) {
    const said = await yesTo(this.ctx, this.found.car_key, other);
    if (!said) return void (this.wrong.textContent = SAID.none);
    await this.keep(said);
  }

  /** @param {Other} other */
  async deny(other) {
    await this.keep(await noTo(this.ctx, this.found.visits[0].job, other));
  }

  /** @param {Act} act */
  async undo(act) {
    // A split speaks of both cars at once.
    const partners = await Promise.all(this.found.apart.map(({ car_key: key }) => this.ctx.pc.carAt(key)));
    const more = partners.flatMap(({ found }) => (found ? ofAct(act, found) : []));
    await this.keep(takenBack([...act.records, ...more]));
  }
}

/** @param {string} words @param {() => void} ontap @param {{ quiet?: boolean, spoken?: string }} [how] */
const key = (words, ontap, { quiet = false, spoken } = {}) =>
  h(
    "button",
    { type: "button", class: `key ${quiet ? "quiet" : ""}`.trim(), onclick: ontap, "aria-label": spoken },
    words,
  );

/** A question about one other car. @param {Which} which @param {Other} other */
function asked(which, other) {
  const words = question(other);
  const node = h(
    "section",
    { class: "which-ask" },
    h("h2", { text: words }),
    h(
      "p",
      { class: "where" },
      h("a", { href: which.ctx.href({ words: ["car"], query: { key: other.car_key } }, "") }, whyWords(other)),
    ),
    h(
      "div",
      { class: "keys" },
      key(ANSWERS.yes, () => which.join(other), { spoken: `${ANSWERS.yes}: ${words}` }),
      key(ANSWERS.no, () => which.deny(other), { spoken: `${ANSWERS.no}: ${words}` }),
      key(ANSWERS.later, () => node.remove(), { quiet: true, spoken: `${ANSWERS.later}: ${words}` }),
    ),
  );
  return node;
}

/** @param {Which} which */
function byName(which) {
  const { visits } = which.found;
  const some = visits.filter(({ car_by: by }) => by === "name");
  if (visits.length < 2 || !some.length) return null;
  return h(
    "section",
    { class: "which-ask" },
    h("h2", { text: SAID.byName(some.length) }),
    h(
      "div",
      { class: "keys" },
      key(SAID.confirm, () => which.keep(confirmed(which.found))),
    ),
  );
}

/** Visits to be taken out. @param {Which} which */
function splitting(which) {
  const { visits } = which.found;
  if (visits.length < 2) return null;
  /** @type {Set<string>} */
  const out = new Set();
  const ticks = visits.map(({ job, first_at: at, wish, title, plate, chassis }) => {
    /** @type {HTMLInputElement} */
    const input = h("input", {
      type: "checkbox",
      onchange: () => void (input.checked ? out.add(job) : out.delete(job)),
    });
    const words = [at ? shortDate(at) : "", wish || title, plate, chassis].filter(Boolean).join(", ");
    return h("li", null, h("label", { class: "tick" }, input, " ", words));
  });
  const run = () => {
    if (!out.size || out.size === visits.length) return void (which.wrong.textContent = SAID.tick);
    which.keep(split(which.found, out, which.ctx.log.newId()));
  };
  return h(
    "section",
    null,
    h("h3", { text: SAID.take }),
    h("p", { class: "where", text: SAID.takeHow }),
    h("ul", { class: "which-visits" }, ticks),
    h("div", { class: "keys" }, key(SAID.takeOut, run)),
  );
}

/** Another car to be joined, by a search. @param {Which} which */
function joining(which) {
  const rows = h("ul", { class: "which-found" });
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  let turn = 0;
  const look = async () => {
    const mine = ++turn;
    const none = { lines: [], lack: null, unread: 0 };
    const told = input.value.trim() ? await which.ctx.pc.carsLike(input.value) : none;
    const { lines } = told;
    const lacks = await notAllWords(which.ctx, told).catch(() => "");
    if (mine !== turn) return;
    const others = lines.filter(({ car_key: other }) => other !== which.found.car_key);
    rows.replaceChildren(
      ...others.map((line) => {
        const words = question(line);
        const visits = visitsOf(line);
        const other = /** @type {Other} */ ({ ...line, why: "name" });
        return h(
          "li",
          null,
          `${words} (${visits}) `,
          key(ANSWERS.yes, () => which.join(other), { spoken: `${ANSWERS.yes}: ${words}` }),
        );
      }),
      ...(input.value.trim() && !others.length ? [h("li", { class: "where", text: SAID.none })] : []),
      ...(lacks ? [h("li", { class: "where", text: lacks })] : []),
    );
  };
  /** @type {HTMLInputElement} */
  const input = h("input", {
    id: "which-find",
    type: "search",
    maxlength: 60,
    autocomplete: "off",
    oninput: () => {
      clearTimeout(timer);
      timer = setTimeout(look, PAUSE_MS);
    },
  });
  which.ctx.whileShown(() => clearTimeout(timer));
  return h(
    "section",
    null,
    h("h3", { text: SAID.join }),
    h("p", { class: "where", text: SAID.joinHow }),
    h("div", { class: "text-field" }, h("label", { for: "which-find", text: SAID.find }), input),
    rows,
  );
}

/** What was said, by whom and when. @param {Which} which */
function spoken(which) {
  const acts = actsOf(which.found);
  return h(
    "section",
    null,
    h("h3", { text: SAID.said }),
    acts.length
      ? h(
          "ul",
          { class: "which-said" },
          acts.map((act) => {
            const words = `${act.words}; ${act.writer ? `${act.writer}, ` : ""}${moment(act)}`;
            return h(
              "li",
              null,
              h("span", { text: `${words} ` }),
              key(SAID.undo, () => which.undo(act), { quiet: true, spoken: SAID.undoSpoken(words) }),
            );
          }),
        )
      : h("p", { class: "where", text: SAID.nothing }),
  );
}

/**
 * The questions, and below the visits the rest.
 * @param {Context} ctx
 * @param {CarFound} found
 * @param {() => void} again shows the page anew
 * @returns {{ asks: HTMLElement[], rest: HTMLElement, wrong: HTMLElement }}
 */
export function whichCar(ctx, found, again) {
  useStyle("car-which");
  const which = new Which(ctx, found, again);
  const asks = [byName(which), ...found.others.map((other) => asked(which, other))].filter((one) => one !== null);
  const numbers = SAID.numbers(found.plate, found.chassis);
  return {
    asks,
    wrong: which.wrong,
    rest: fold(
      { title: SAID.title, more: numbers, id: "which-car", level: "h2" },
      ...[spoken(which), splitting(which), joining(which)].filter((one) => one !== null),
    ),
  };
}
