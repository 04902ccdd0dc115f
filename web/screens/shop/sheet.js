/* The hand-over sheet: one sheet of paper, the front for the owner, the back for the next mechanic. Printed by the
   browser.

   Owns what is asked on the screen: the shop's name, a QR code of the job's link. What stands on each side is
   sheet-front.js' and sheet-back.js' business, that it fits one page sheet-fit.js'. */

import { pickOne } from "../../parts/dialog.js";
import { h, say } from "../../parts/dom.js";
import { picture } from "../../parts/shop/short-link.js";
import { useStyle } from "../../parts/style.js";
import { shortDate } from "../../work/dates.js";
import { needs } from "../../work/guide.js";
import { onlyHere } from "../../work/addresses.js";
import { lackWords } from "../../work/pc/effect.js";
import { counted } from "../../work/plural.js";
import { back } from "./sheet-back.js";
import { fitted } from "./sheet-fit.js";
import { front } from "./sheet-front.js";
import { inDispute } from "./sheet-open.js";
import { paperPhotos } from "./sheet-photos.js";
import { pathOf } from "../../work/pc/path-of.js";
import { named } from "../../work/this-device.js";

/** @import { Letterhead } from "../../types/wire.d.ts" */
/** @import { JobContext, Shown } from "../../types/context.d.ts" */

const NAME = "bothends/shop-name";
const DAYS = 90;
const SAID = {
  title: "Hand-over sheet",
  lead: "One sheet of paper: the front for the owner, the back for the next mechanic. It fits A4 and US Letter.",
  laying: "Laying out the sheet",
  print: "Print, front and back",
  put: "Put a QR code on it",
  take: "Take the QR code off",
  checks: "Checks and hand-over",
  erase: "Erase customer…",
  get name() {
    return named("The shop’s name on the sheet (kept on {here})");
  },
  head: "At the head of the sheet: ",
  noHead: "No name, address or phone of the shop is entered. ",
  settings: "Change it in Settings",
  enter: "Enter them in Settings",
  disagree: "Records of this job do not agree; the sheet says so. ",
  settle: "Settle them first",
  here: "It opens on the shop’s PC only.",
  reachable: "It opens only where the shop’s address can be reached, on devices that trust it.",
  picture: "QR code of this job’s link",
  whole: "The whole job to read.",
  scan: (/** @type {string} */ until, /** @type {string} */ where) =>
    ` Scan this until ${until}. Whoever has this code can read it. ${where}`,
  off: "The sheet prints without a code. The link itself holds until it is ended under “Send this job”.",
  ask: "Open this job to whoever scans the sheet?",
  none: "No code",
  noneText: "The sheet prints without one.",
  make: "Make a link and print its code",
  makeText: `Whoever scans it can read this whole job for ${DAYS} days, or until it is ended.`,
  notThere: "This job has not reached the shop yet.",
  without: (/** @type {string} */ why) => `${why} The sheet prints without a code.`,
  waiting: (/** @type {number} */ n) =>
    counted(
      n,
      "{n} record has not reached the shop yet; the link shows it later.",
      "{n} records have not reached the shop yet; the link shows them later.",
    ),
  on: "The QR code is on the sheet",
  notWorked: (/** @type {string} */ why) => `not worked out: ${why}`,
  failed: (/** @type {string} */ why) => `The sheet cannot be laid out: ${why}`,
  demoShop: "Slipway Garage",
};

/** Links made on this page, by job: the token is shown once.
 * @type {Map<string, { address: string, qr: any, expires: string }>} */
const made = new Map();

function keptName() {
  try {
    return localStorage.getItem(NAME);
  } catch {
    return null;
  }
}

/** @param {string} name */
function keepName(name) {
  try {
    localStorage.setItem(NAME, name);
  } catch {
    // It holds as long as this page does.
  }
}

/** Style sheets come after the screen: what is measured before them is measured wrongly. */
async function styled() {
  /** @type {HTMLLinkElement | null} */
  const link = document.head.querySelector('link[href$="/style/shop/sheet.css"]');
  if (!link || link.sheet) return;
  await new Promise((ready) => {
    link.addEventListener("load", ready, { once: true });
    link.addEventListener("error", ready, { once: true });
  });
}

/** The plan's answer as the car stands, and what was learned; or why there is none.
 * @param {JobContext} ctx @param {any} all @returns {Promise<{ answer: any, learned: any, why: string }>} */
async function figures(ctx, { sheet, request }) {
  const learned = sheet.closed?.learned ?? null;
  const none = (/** @type {string} */ why) => ({ answer: null, learned, why: SAID.notWorked(why) });
  if (request.stops.length) return none(`${request.stops[0].text}.`);
  if (needs(sheet).length) return none(`${lackWords(sheet)}.`);
  try {
    const { answer } = await ctx.model.askForPlan(request.request);
    return { answer, learned: learned ?? answer.learned, why: "" };
  } catch (error) {
    const problem = /** @type {any} */ (error);
    if (problem.name !== "SolverProblem") throw error;
    return none(problem.detail);
  }
}

/** The block with the QR code of a job's link; null where none was made. @param {string} job */
function linkBlock(job) {
  const link = made.get(job);
  if (!link) return null;
  const where = onlyHere(link.address) ? SAID.here : SAID.reachable;
  return h(
    "div",
    { class: "sheet-link" },
    picture(link.qr, SAID.picture),
    h("p", null, h("strong", { text: SAID.whole }), SAID.scan(shortDate(link.expires), where)),
  );
}

class SheetPage {
  /** @param {JobContext} ctx */
  constructor(ctx) {
    this.ctx = ctx;
    this.all = { sheet: ctx.sheet, request: ctx.request, stages: ctx.stages, entries: ctx.entries() };
    this.place = h("div", { class: "papers" }, h("p", { class: "working", role: "status", text: SAID.laying }));
    this.wrong = h("p", { class: "error", role: "alert" });
    this.told = h("p", { class: "where", role: "status" });
    this.print = h(
      "button",
      { type: "button", class: "key main", disabled: true, onclick: () => window.print() },
      SAID.print,
    );
    /** @type {HTMLButtonElement} */
    this.code = h("button", { type: "button", class: "key", onclick: () => this.ask() }, SAID.put);
    this.name = h("input", { id: "shop-name", type: "text", maxlength: 80, autocomplete: "organization" });
    this.head = h("div", { class: "new" }, h("label", { for: "shop-name", text: SAID.name }), this.name);
    /** @type {any} */
    this.found = null;
    this.gone = false;
    ctx.whileShown(() => (this.gone = true));
    this.name.addEventListener("input", () => {
      keepName(this.name.value.trim());
      this.draw();
    });
  }

  async load() {
    const { ctx, all } = this;
    const [open, nameOf, isSimulated, solved, letterhead, number, held] = await Promise.all([
      ctx.files.openDisputes(ctx.job),
      ctx.pc.writers(),
      ctx.shop.simulated(),
      figures(ctx, all),
      ctx.pc.letterhead(),
      ctx.pc.numberOf(ctx.job),
      ctx.device.access(),
      styled(),
    ]);
    this.name.value = letterhead.name || (keptName() ?? (isSimulated ? SAID.demoShop : ""));
    this.showHead(Boolean(held), letterhead);
    this.found = { open: inDispute(all, open), nameOf, letterhead, number, photos: [], ...solved };
    this.draw();
    // They may have to come from the shop; the sheet does not wait for them.
    this.found.photos = await paperPhotos(ctx);
    if (this.found.photos.length) this.draw();
    this.place.dataset.photos = String(this.found.photos.length);
  }

  /**
   * What stands at the head of the sheet, and where to change it; without a shop a field for a name.
   * @param {boolean} paired
   * @param {Letterhead} letterhead
   */
  showHead(paired, { name, address, phone }) {
    if (!paired) return;
    const line = [name, address, phone].filter(Boolean).join(", ");
    this.head.className = "where";
    this.head.replaceChildren(
      line ? SAID.head + line + ". " : SAID.noHead,
      h("a", { href: "#/settings" }, line ? SAID.settings : SAID.enter),
    );
  }

  draw() {
    const { all, found, ctx } = this;
    if (!found || this.gone) return;
    const shop = { ...found.letterhead, name: this.name.value.trim() };
    this.place.replaceChildren(
      fitted((fit) => front(all, { ...found, ...fit, shop, link: linkBlock(ctx.job) })),
      fitted((fit) => back(all, { ...found, ...fit })),
    );
    this.code.textContent = made.has(ctx.job) ? SAID.take : SAID.put;
    this.print.disabled = false;
    this.place.dataset.ready = "";
  }

  /** Take the code off, or ask whether one is to be made and print it.
   * @returns {Promise<void>} */
  async ask() {
    const { ctx, code } = this;
    this.wrong.textContent = "";
    if (made.delete(ctx.job)) {
      this.told.textContent = SAID.off;
      return this.draw();
    }
    const options = [
      { value: "", label: SAID.none, text: SAID.noneText },
      { value: "make", label: SAID.make, text: SAID.makeText },
    ];
    if ((await pickOne({ title: SAID.ask, options, chosen: "" })) !== "make") return code.focus();
    code.disabled = true;
    const send = { job: ctx.job, days: DAYS };
    const { body, lack, problem } = await ctx.pc.askShop("/api/links", { method: "POST", send });
    code.disabled = false;
    if (!body) {
      const why = problem?.code === "not-found" ? SAID.notThere : (problem?.detail ?? lack?.text ?? "");
      this.wrong.textContent = SAID.without(why);
      return code.focus();
    }
    made.set(ctx.job, body);
    const { waiting } = await ctx.log.counts(ctx.job);
    this.told.textContent = waiting ? SAID.waiting(waiting) : "";
    say(SAID.on);
    this.draw();
    return code.focus();
  }

  tools() {
    const { ctx, all } = this;
    const first = h("a", { href: `#/desk?job=${ctx.job}` }, SAID.settle);
    return h(
      "div",
      { class: "sheet-tools" },
      h("h1", { text: SAID.title }),
      h("p", { class: "where", text: SAID.lead }),
      all.sheet.conflicts.length ? h("p", { class: "refused" }, SAID.disagree, first) : null,
      this.head,
      h(
        "div",
        { class: "keys" },
        this.print,
        this.code,
        h("a", { class: "key", href: ctx.href({ words: ["close"] }) }, SAID.checks),
        h("a", { class: "key", href: pathOf("#/erase", { job: ctx.job }) }, SAID.erase),
      ),
      this.told,
      this.wrong,
    );
  }
}

/** The screen.
 * @param {JobContext} ctx @returns {Shown} */
export function sheet(ctx) {
  useStyle("sheet");
  useStyle("pairing");
  const page = new SheetPage(ctx);
  page.load().catch((error) => {
    const text = SAID.failed(error.detail ?? error.message);
    page.place.replaceChildren(h("p", { class: "refused", role: "alert", text }));
  });
  return { title: SAID.title, node: h("div", { class: "sheet-page" }, page.tools(), page.place) };
}
