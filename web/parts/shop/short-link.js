/* Short links to a job, made and kept at the shop: for how long, its QR code and address, the job's links with
   their ends, and ending one. Part of the screen that sends a job; nothing without a shop. */

import { choice } from "../choice.js";
import { pickOne } from "../dialog.js";
import { h, say } from "../dom.js";
import { useStyle } from "../style.js";
import { trustStep } from "./trust-step.js";
import { shortDate } from "../../work/dates.js";
import { onlyHere } from "../../work/addresses.js";

/** @import { Link as ShopLink, NewLink } from "../../types/wire.d.ts" */
/** @import { JobContext } from "../../types/context.d.ts" */

const DAYS = [7, 30, 90].map((days) => ({ value: String(days), label: `${days} days` }));
const MOST = 100;

/**
 * A QR code of the server's, as an image: its markup never becomes part of the page.
 * @param {string} svg
 * @param {string} alt
 */
export const picture = (svg, alt) =>
  h("img", { class: "qr", alt, src: `data:image/svg+xml,${encodeURIComponent(svg)}` });

/**
 * Copy a text, and say how that went.
 * @param {HTMLInputElement | HTMLTextAreaElement} field
 * @param {HTMLElement} told
 */
export async function copyFrom(field, told) {
  try {
    await navigator.clipboard.writeText(field.value);
    told.textContent = "Copied.";
  } catch {
    field.focus();
    field.select();
    told.textContent = "Copying is blocked by the browser. The address is selected: copy it by hand.";
  }
}

/**
 * The link just made.
 * @param {NewLink} link
 */
function made({ address, qr, expires, trust }) {
  const told = h("p", { role: "status" });
  /** @type {HTMLTextAreaElement} */
  const field = h("textarea", {
    id: "short-link",
    class: "link",
    readonly: true,
    rows: 3,
    "aria-label": "The short link",
    onfocus: () => field.select(),
  });
  field.value = address;
  return h(
    "div",
    { class: "made" },
    trustStep(trust, picture),
    picture(qr, "The short link as a QR code, to be scanned"),
    h(
      "div",
      { class: "beside" },
      h(
        "p",
        null,
        h("strong", { text: `Expires on ${shortDate(expires)}.` }),
        " This is shown once: nobody can look it up later, but a new one can be made.",
      ),
      onlyHere(address)
        ? h("p", {
            class: "error",
            text:
              "This address works on the shop’s PC only. Open the app by the shop’s address, " +
              "or start the shop’s server for its network, then make the link there.",
          })
        : null,
      field,
      h(
        "div",
        { class: "keys" },
        h("button", { type: "button", class: "key", onclick: () => copyFrom(field, told) }, "Copy the short link"),
      ),
      told,
    ),
  );
}

/** Bring the picture into sight once it has its size: it is there to be scanned. @param {HTMLElement} fresh */
function shown(fresh) {
  const code = /** @type {HTMLImageElement | null} */ (fresh.querySelector(".made > img"));
  code?.decode().then(
    () => code.scrollIntoView({ block: "center" }),
    () => {},
  );
}

/**
 * The links of a job that were made, newest end first, with what became of them.
 * @param {ShopLink[]} links
 * @param {(link: ShopLink) => void} end
 */
function listed(links, end) {
  const now = Date.now();
  const state = (/** @type {ShopLink} */ { revoked, expires }) =>
    revoked
      ? `ended on ${shortDate(revoked)}`
      : Date.parse(expires) <= now
        ? `expired on ${shortDate(expires)}`
        : `valid until ${shortDate(expires)}`;
  const row = (/** @type {ShopLink} */ link) => {
    const open = !link.revoked && Date.parse(link.expires) > now;
    return h(
      "li",
      { class: `one-link${open ? "" : " over"}` },
      h(
        "span",
        null,
        h("strong", { text: state(link).replace(/^./, (c) => c.toUpperCase()) }),
        `, made on ${shortDate(link.made)}`,
      ),
      open
        ? h(
            "button",
            {
              type: "button",
              class: "key small danger",
              "aria-label": `End it: the link made on ${shortDate(link.made)}`,
              onclick: () => end(link),
            },
            "End it",
          )
        : null,
    );
  };
  const sorted = [...links].sort((a, b) => b.made.localeCompare(a.made));
  return sorted.length ? h("ul", { class: "lines" }, sorted.map(row)) : h("p", { text: "None yet." });
}

/**
 * All links of a job at the shop, or what the shop lacks to tell.
 * @param {JobContext} ctx
 */
async function linksOf(ctx) {
  /** @type {ShopLink[]} */
  const links = [];
  for (let after = ""; after !== null;) {
    const { body, lack } = await ctx.pc.askShop(`/api/links?job=${ctx.job}&limit=${MOST}&after=${after}`);
    if (lack) return { links, lack };
    links.push(...body.links);
    after = body.next;
  }
  return { links, lack: null };
}

/**
 * What a link cannot show yet; "" where all has reached the shop.
 * @param {number} waiting how many entries
 */
function waitingWords(waiting) {
  if (!waiting) return "";
  return waiting === 1
    ? "1 record has not reached the shop yet. The link shows it once it has."
    : `${waiting} records have not reached the shop yet. The link shows them once they have.`;
}

/** Ask whether a link is to be ended. */
async function sureToEnd() {
  const options = [
    { value: "", label: "Cancel", text: "Whoever has the link can still read the job." },
    { value: "end", label: "End it", text: "The link stops working. What its readers kept stays with them." },
  ];
  return (await pickOne({ title: "End this link?", options, chosen: "" })) === "end";
}

/**
 * The block for a job.
 * @param {JobContext} ctx
 */
export function shortLinks(ctx) {
  useStyle("pairing");
  let days = "30";
  const wrong = h("p", { class: "error", role: "alert" });
  const fresh = h("div", { class: "mine" });
  const list = h("div", { class: "mine" });
  const behind = h("p", { class: "where" });
  const make = h("button", { type: "button", class: "key", onclick: () => work() }, "Make a short link");

  async function draw() {
    const { links, lack } = await linksOf(ctx);
    list.replaceChildren(lack ? h("p", { text: lack.text }) : listed(links, end));
  }
  async function waits() {
    const { waiting } = await ctx.log.counts(ctx.job);
    behind.textContent = waitingWords(waiting);
  }
  async function work() {
    make.disabled = true;
    wrong.textContent = "";
    const { body, lack, problem } = await ctx.pc.askShop("/api/links", {
      method: "POST",
      send: { job: ctx.job, days: Number(days) },
    });
    make.disabled = false;
    if (lack || problem) {
      wrong.textContent =
        problem?.code === "not-found"
          ? "This job is not synced yet. Sync it on the first screen, then make the link."
          : problem
            ? problem.detail
            : (lack?.text ?? "");
      return;
    }
    fresh.replaceChildren(made(body));
    shown(fresh);
    say("The short link is made");
    await draw();
  }
  /** @param {ShopLink} link */
  async function end(link) {
    if (!(await sureToEnd())) return;
    const { lack, problem } = await ctx.pc.askShop(`/api/links/${link.id}`, { method: "DELETE" });
    wrong.textContent = lack ? lack.text : (problem?.detail ?? "");
    if (!lack && !problem) {
      fresh.replaceChildren();
      say("The link is ended");
    }
    await draw();
    list.querySelector("button")?.focus();
  }
  const failed = (/** @type {Error} */ error) => {
    wrong.textContent = error.message;
  };
  draw().catch(failed);
  waits().catch(failed);
  return h(
    "section",
    { class: "short-links", "aria-labelledby": "short-title" },
    h("h2", { id: "short-title", text: "A short link through the shop" }),
    h("p", {
      text:
        "Small enough to scan, for whoever is in the shop: it opens only where the shop’s address can be reached, on " +
        "devices that trust its certificate, until it expires. Readings made there come back by “Send this job”.",
    }),
    choice({
      name: "days",
      legend: "Valid for",
      options: DAYS,
      chosen: days,
      onchoose: (value) => {
        days = value;
      },
    }),
    behind,
    h("div", { class: "keys" }, make),
    wrong,
    fresh,
    h("h3", { text: "Links to this job" }),
    list,
  );
}
