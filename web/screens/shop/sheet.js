/* The hand-over sheet: one sheet of paper, the front for the owner, the back for the next mechanic. Printed by the
   browser.

   Owns what is asked on the screen (the shop's name, a picture code of the job's link), and that each side fits one
   page of A4 and of US Letter: letters get smaller, then long lists say how many lines they leave out. Nothing is
   cut off. */

import { pickOne } from "../../parts/dialog.js";
import { h, say } from "../../parts/dom.js";
import { useStyle } from "../../parts/style.js";
import { shortDate } from "../../work/dates.js";
import { needs } from "../../work/guide.js";
import { lackWords } from "../../work/pc/effect.js";
import { picture } from "../../parts/shop/short-link.js";
import { back } from "./sheet-back.js";
import { front } from "./sheet-front.js";
import { inDispute } from "./sheet-open.js";
import { onlyHere } from "../../work/pc/addresses.js";

const NAME = "bothends/shop-name";
const DAYS = 90;
/** Size of letters tried, in points, then how many lines of a list, how many letters of a long text. */
const FITS = [
  [10.5, 40, 2000],
  [10, 40, 2000],
  [9.5, 30, 1600],
  [9, 24, 1200],
  [8.5, 18, 900],
  [8, 14, 600],
  [7.5, 10, 400],
  [7, 6, 300],
  [7, 3, 160],
  [6.5, 2, 100],
];

/** Links made on this page, by job: the token is shown once. */
const made = new Map();

function keptName() {
  try {
    return localStorage.getItem(NAME);
  } catch {
    return null;
  }
}

function keepName(name) {
  try {
    localStorage.setItem(NAME, name);
  } catch {
    // It holds as long as this page does.
  }
}

const shortened =
  (limit) =>
  (text, own = limit) => {
    const most = Math.min(limit, own);
    return text.length > most ? `${text.slice(0, most).replace(/\s+\S*$/, "")} … (the rest is in the job’s log)` : text;
  };

/**
 * The largest letters and longest lists with which a side fits its page; measured on paper laid out beside the
 * screen.
 */
function fitted(build) {
  const desk = h("div", { class: "sheet-desk", "aria-hidden": "true" });
  document.body.append(desk);
  let node = null;
  try {
    for (const [points, most, letters] of FITS) {
      node = build({ most, cut: shortened(letters) });
      const paper = h("div", { class: "paper" }, node);
      paper.style.fontSize = `${points}pt`;
      desk.replaceChildren(paper);
      node.dataset.points = points;
      if (
        node.getBoundingClientRect().height <= desk.getBoundingClientRect().height &&
        node.scrollWidth <= node.clientWidth + 1
      )
        break;
    }
  } finally {
    desk.remove();
  }
  const paper = h("div", { class: "paper" }, node);
  paper.style.fontSize = `${node.dataset.points}pt`;
  return paper;
}

/** Style sheets come after the screen: what is measured before them is measured wrongly. */
async function styled() {
  const link = document.head.querySelector('link[href="/style/shop/sheet.css"]');
  if (!link || link.sheet) return;
  await new Promise((ready) => {
    link.addEventListener("load", ready, { once: true });
    link.addEventListener("error", ready, { once: true });
  });
}

/** The plan's answer as the car stands, and what was learned; or why there is none. */
async function figures(ctx, { sheet, request }) {
  const learned = sheet.closed?.learned ?? null;
  if (request.stops.length) return { answer: null, learned, why: `not worked out: ${request.stops[0].text}.` };
  if (needs(sheet).length) return { answer: null, learned, why: `not worked out: ${lackWords(sheet)}.` };
  try {
    const { answer } = await ctx.model.askForPlan(request.request);
    return { answer, learned: learned ?? answer.learned, why: "" };
  } catch (error) {
    if (error.name !== "SolverProblem") throw error;
    return { answer: null, learned, why: `not worked out: ${error.detail}` };
  }
}

/** The screen. */
export function sheet(ctx) {
  useStyle("sheet");
  useStyle("pairing");
  const all = { sheet: ctx.sheet, request: ctx.request, stages: ctx.stages, entries: ctx.entries() };
  const place = h(
    "div",
    { class: "papers" },
    h("p", { class: "working", role: "status", text: "Laying out the sheet" }),
  );
  const wrong = h("p", { class: "error", role: "alert" });
  const told = h("p", { class: "where", role: "status" });
  const print = h(
    "button",
    { type: "button", class: "key main", disabled: true, onclick: () => window.print() },
    "Print, front and back",
  );
  const code = h("button", { type: "button", class: "key", onclick: () => ask() }, "Put a picture code on it");
  const name = h("input", { id: "shop-name", type: "text", maxlength: 80, autocomplete: "organization" });
  let found = null;
  let gone = false;
  ctx.whileShown(() => (gone = true));

  function linkBlock() {
    const link = made.get(ctx.job);
    if (!link) return null;
    const where = onlyHere(link.address)
      ? "It opens on the shop’s PC only."
      : "It opens where the shop’s address can be reached.";
    return h(
      "div",
      { class: "sheet-link" },
      picture(link.qr, "The link of this job as a picture code"),
      h(
        "p",
        null,
        h("strong", { text: "The whole job to read." }),
        ` Scan this until ${shortDate(link.expires)}. Whoever has this code can read it. ${where}`,
      ),
    );
  }

  function draw() {
    if (!found || gone) return;
    const shop = name.value.trim();
    place.replaceChildren(
      fitted((fit) => front(all, { ...found, ...fit, shop, link: linkBlock() })),
      fitted((fit) => back(all, { ...found, ...fit })),
    );
    code.textContent = made.has(ctx.job) ? "Take the picture code off" : "Put a picture code on it";
    print.disabled = false;
    place.dataset.ready = "";
  }

  async function ask() {
    wrong.textContent = "";
    if (made.delete(ctx.job)) {
      told.textContent =
        "The sheet prints without a code. The link itself holds until it is ended under “Send this job”.";
      return draw();
    }
    const options = [
      { value: "", label: "No code", text: "The sheet prints without one." },
      {
        value: "make",
        label: "Make a link and print its code",
        text: `Whoever scans it can read this whole job for ${DAYS} days, or until it is ended.`,
      },
    ];
    if ((await pickOne({ title: "Open this job to whoever scans the sheet?", options, chosen: "" })) !== "make")
      return code.focus();
    code.disabled = true;
    const { body, lack, problem } = await ctx.pc.askShop("/api/links", {
      method: "POST",
      send: { job: ctx.job, days: DAYS },
    });
    code.disabled = false;
    if (!body) {
      wrong.textContent = `${problem?.code === "not-found" ? "This job has not reached the shop yet." : (problem?.detail ?? lack.text)} The sheet prints without a code.`;
      return code.focus();
    }
    made.set(ctx.job, body);
    const { waiting } = await ctx.log.counts(ctx.job);
    told.textContent = waiting
      ? `${waiting} ${waiting === 1 ? "entry has" : "entries have"} not reached the shop yet; the link shows ${waiting === 1 ? "it" : "them"} later.`
      : "";
    say("The picture code is on the sheet");
    draw();
    return code.focus();
  }

  name.addEventListener("input", () => {
    keepName(name.value.trim());
    draw();
  });
  (async () => {
    const [open, nameOf, isSimulated, solved] = await Promise.all([
      ctx.files.openDisputes(ctx.job),
      ctx.pc.writers(),
      ctx.device.simulated(),
      figures(ctx, all),
      styled(),
    ]);
    name.value = keptName() ?? (isSimulated ? "Slipway Garage" : "");
    found = { open: inDispute(all, open), nameOf, ...solved };
    draw();
  })().catch((error) =>
    place.replaceChildren(
      h("p", {
        class: "refused",
        role: "alert",
        text: `The sheet cannot be laid out: ${error.detail ?? error.message}`,
      }),
    ),
  );
  return {
    title: "Hand-over sheet",
    node: h(
      "div",
      { class: "sheet-page" },
      h(
        "div",
        { class: "sheet-tools" },
        h("h1", { text: "Hand-over sheet" }),
        h("p", {
          class: "where",
          text: "One sheet of paper: the front for the owner, the back for the next mechanic. It fits A4 and US Letter.",
        }),
        all.sheet.conflicts.length
          ? h(
              "p",
              { class: "refused" },
              "Records of this job conflict; the sheet says so. ",
              h("a", { href: `#/desk?job=${ctx.job}` }, "Settle them first"),
            )
          : null,
        h(
          "div",
          { class: "new" },
          h("label", { for: "shop-name", text: "The shop’s name on the sheet (kept on this device)" }),
          name,
        ),
        h(
          "div",
          { class: "keys" },
          print,
          code,
          h("a", { class: "key", href: ctx.href({ words: ["close"] }) }, "Checks and hand-over"),
        ),
        told,
        wrong,
      ),
      place,
    ),
  };
}
