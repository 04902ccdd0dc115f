/* A job that came in a link: shown before anything is kept, then kept or left. The link holds the job itself, or
   names it at the shop's server. Also the place to paste one, for an installed app that the link does not open by
   itself. */

import { h } from "../parts/dom.js";
import { decideWords, incoming } from "../parts/incoming.js";
import { nameField, toBeAsked } from "../parts/name-ask.js";
import { pasted } from "./open-paste.js";
import { shell } from "../parts/shell.js";
import { workName } from "../work/adjuster.js";
import { shortDate } from "../work/dates.js";
import { counted } from "../work/plural.js";
import { standing } from "../work/standing.js";
import { named } from "../work/this-device.js";

/** @import { KeySpec } from "../parts/shell.js" */
/** @import { Shown as Incoming } from "../parts/incoming.js" */
/** @import { Item } from "../types/log.d.ts" */
/** @import { Held } from "./open-paste.js" */
/** @import { Folded } from "../types/sheet.d.ts" */

/** @typedef {{ node: (Node | null)[], quiet: KeySpec, main: KeySpec }} Shown */

const SAID = {
  title: "Open a link",
  came: "A job by link",
  link: "Link",
  another: "Another link",
  any: "A link to a job, wherever it leads, or the content of a file. Nothing is kept before you say so.",
  open: "Open the link",
  choose: "Choose a file",
  lacking: "Paste the whole link, or choose a file.",
  all: "All jobs",
  discard: "Discard",
  add: "Add to the job here",
  done: "Done",
  copy: "Keep a copy",
  keep: "Keep this job",
  job: "Open the job",
  again: "Try again",
  getting: "Getting the job…",
  unnamed: "Car without a name",
  here: "This job is on {here} already.",
  how:
    "Keep it to add readings. “Send this job” then returns them to the shop. Opening the link has sent nothing to " +
    "anybody.",
  missing:
    "What shows the plan, its steps and its dangers has not come to {here} yet. Turn nothing before you have " +
    "read them: get a network, then tap Try again.",
  silent: "No answer from the shop’s server. Nothing is lost: open the link again later.",
  expires: (/** @type {string} */ day) => `The link expires on ${day}. What you keep stays.`,
};

/** What asks the shop: fetched when a short link comes, since it needs the shop anyway. @param {any} ctx */
async function byLink(ctx) {
  try {
    const [{ leftOf }] = await Promise.all([import("./open-kept.js"), ctx.need("pc")]);
    return { ...ctx.pc, leftOf };
  } catch {
    throw new Error(SAID.silent);
  }
}

/** A job in a card: its name, its request, where it stands.
 * @param {Folded} all @param {Held} held @param {Node | string} effect what keeping would do */
function cardOf(all, { expires }, effect) {
  const { sheet } = all;
  const name = sheet.title || SAID.unnamed;
  const readings = counted(sheet.readings.length, "{n} reading", "{n} readings");
  const adjusted = sheet.moves.filter((move) => workName(move) === "adjustment").length;
  const done = [
    counted(sheet.moves.length - adjusted, "{n} teardown", "{n} teardowns"),
    adjusted ? counted(adjusted, "{n} adjustment", "{n} adjustments") : "",
  ].filter(Boolean);
  return h(
    "section",
    { class: "kind" },
    h("h2", { text: sheet.owner && !sheet.title.includes(sheet.owner) ? `${name}, ${sheet.owner}` : name }),
    sheet.wish ? h("p", { text: sheet.wish }) : null,
    h("p", { text: `${standing(all).words}; ${[readings, ...done].join(", ")}.` }),
    expires ? h("p", { class: "where", text: SAID.expires(shortDate(expires)) }) : null,
    typeof effect === "string" ? h("p", null, h("strong", { text: effect })) : effect,
  );
}

/** The whole job to be read. What shows it may not be here yet where the network went early: that is said, and how to
 * have it; keeping does not need it.
 * @param {any} ctx @param {Folded} all @param {Held} held */
function wholeOf(ctx, all, { from }) {
  const whole = h("div", { class: "whole" });
  const fill = async () => {
    try {
      const { reader } = await import("../parts/job-reader.js");
      whole.replaceChildren(reader(ctx, all, from).node);
    } catch {
      // A module that could not be had is not asked for again by this page: it is loaded anew, its address and all.
      const again = h("button", { type: "button", class: "key", onclick: () => location.reload() }, SAID.again);
      whole.replaceChildren(
        h("div", { class: "refused", role: "alert" }, h("p", { text: named(SAID.missing) }), again),
      );
    }
  };
  fill();
  return whole;
}

/** Whether this stays readable without a network, kept up to date. @param {any} ctx */
function offlineLine(ctx) {
  const line = h("p", { class: "where", role: "status" });
  ctx.whileShown(ctx.device.watchApp((/** @type {{ text: string }} */ { text }) => (line.textContent = text)));
  return line;
}

/** What the key says that keeps it.
 * @param {any} found @param {boolean} was whether the job is here @param {string} token */
function keepWords({ told }, was, token) {
  if (!was && !told.known && !told.disputed) return token ? SAID.copy : SAID.keep;
  return told.added || told.disputed ? SAID.add : SAID.done;
}

/**
 * Keep what a link holds, with what was said of it, and go to it.
 * @param {any} ctx @param {Held} held @param {string} token
 * @param {{ then?: Map<string, Item[]>, name: HTMLInputElement | null }} said
 */
async function keepIt(ctx, { job, entries, from }, token, { then, name }) {
  try {
    // First, so that what is written here already has the name.
    if (name) await ctx.device.setWriterName(name.value);
    await ctx.log.merge(entries, { came: "link", then });
    await ctx.files.noteSender(job, from);
    if (token) await (await byLink(ctx)).noteKept(token, job);
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "NotKept") throw error;
    return ctx.sayKept(error.message);
  }
  ctx.sayKept("");
  return ctx.go({ words: ["list"] }, { job, replace: true });
}

/** What is shown of what a link holds; nothing is kept yet.
 * @param {any} ctx @param {Held} held @param {string} token
 * @param {(keys: Pick<Shown, "quiet" | "main">) => void} onkeys the keys after a word on a change
 * @returns {Promise<Shown>} */
async function heldOf(ctx, held, token, onkeys) {
  const found = await ctx.files.preview(held.entries, { all: true });
  const { told } = found;
  if (!told.added && !told.disputed && !found.looked.length) {
    const [all] = await ctx.log.fold([held]);
    const card = cardOf(all, held, named(SAID.here));
    const main = { words: SAID.job, href: ctx.href({ words: ["list"] }, held.job) };
    return { node: [card], quiet: { words: SAID.all, href: "#/" }, main };
  }
  const [{ was, is }] = found.looked.length ? found.looked : [{ was: null, is: (await ctx.log.fold([held]))[0] }];
  const words = keepWords(found, Boolean(was), token);
  const name = (await toBeAsked(ctx)) ? nameField("") : null;
  const keys = (/** @type {Incoming} */ shown) => ({
    quiet: { words: SAID.discard, href: "#/" },
    main: shown.open()
      ? { words: decideWords(shown), ontap: shown.toOpen }
      : { words, ontap: () => keepIt(ctx, held, token, { then: shown.then(), name: name?.input ?? null }) },
  });
  const shown = incoming(ctx, found, (now) => onkeys(keys(now)));
  const how = h("p", { class: "where", text: SAID.how });
  const card = cardOf(was ?? is, held, shown.node);
  // Of a job that is here, what changes. A new one may be a stranger's first: who sent it and what it is come first.
  const node = was
    ? [card, how, name?.node ?? null]
    : [wholeOf(ctx, is, held), card, how, name?.node ?? null, offlineLine(ctx)];
  return { node, ...keys(shown) };
}

/** The place to paste a link or a file's content, or to choose the file.
 * @param {string} label @param {(text: string) => void} take @param {(file: File) => void} choose */
function pasting(label, take, choose) {
  const field = /** @type {HTMLTextAreaElement} */ (
    h("textarea", { id: "pasted", class: "link", rows: 4, autocomplete: "off", spellcheck: "false" })
  );
  const go = () => take(field.value.trim());
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    go();
  };
  const key = h("button", { class: "key", hidden: true }, SAID.open);
  const file = /** @type {HTMLInputElement} */ (
    h("input", {
      id: "job-file",
      class: "file",
      type: "file",
      accept: ".html,.json,.jsonl,.gz,text/html,application/json",
    })
  );
  file.addEventListener("change", () => {
    if (file.files?.[0]) choose(file.files[0]);
    file.value = "";
  });
  const form = h(
    "form",
    { class: "new", onsubmit: submit },
    h("div", { class: "text-field" }, h("label", { for: "pasted", text: label }), field),
    key,
  );
  const chosen = h("div", { class: "keys" }, h("label", { class: "key", for: "job-file" }, SAID.choose, file));
  return { node: h("div", { class: "pasting" }, form, chosen), key, go };
}

/**
 * The screen.
 * @param {any} ctx
 */
export function open(ctx) {
  const token = ctx.words[0] === "link" ? ctx.address.cameIn("link") : "";
  const came = Boolean(token) || ctx.address.carriesJob(location.hash);
  const title = came ? SAID.came : SAID.title;
  const place = h("div", { class: "mine" });
  const wrong = h("p", { class: "error", role: "alert" });
  const waits = h("p", { class: "working", role: "status" });
  const paste = pasting(came ? SAID.another : SAID.link, take, choose);
  const nothing = { quiet: { words: SAID.all, href: "#/" }, main: { words: SAID.open, ontap: paste.go } };
  const page = shell({
    title,
    how: came ? undefined : SAID.any,
    body: [h("div", { class: "start share" }, waits, wrong, place, paste.node)],
    ...nothing,
  });

  /** What was found, and the keys for it; where the deck has others, the form gets its own key. */
  function show(/** @type {Partial<Shown>} */ { node = [], quiet = nothing.quiet, main = nothing.main }) {
    place.replaceChildren(...node.filter((one) => one !== null));
    page.deck.show({ quiet, main });
    paste.key.hidden = main === nothing.main;
  }
  const byToken = async (/** @type {string} */ name) => {
    const { bundleOf, leftOf, passing } = await byLink(ctx);
    waits.textContent = SAID.getting;
    try {
      show(await heldOf(ctx, await bundleOf(name), name, (keys) => page.deck.show(keys)));
    } catch (error) {
      const { code, message, name: kind } = /** @type {Error & {code: string}} */ (error);
      if (kind !== "ShortLinkError") throw error;
      wrong.textContent = message;
      const left = await leftOf(ctx, name);
      const again = { words: SAID.again, ontap: () => read(() => byToken(name)) };
      const job = left ? { words: SAID.job, href: ctx.href({ words: ["list"] }, left.job) } : undefined;
      show({ node: [left?.node ?? null], main: passing(code) ? again : job });
    } finally {
      waits.textContent = "";
    }
  };
  /** Work on a link; what is wrong with it is said, what was shown before is gone. */
  async function read(/** @type {() => Promise<void>} */ work) {
    wrong.textContent = "";
    show({});
    try {
      await work();
    } catch (error) {
      const { detail, message } = /** @type {Error & {detail?: string}} */ (error);
      wrong.textContent = detail ?? message;
    }
  }
  const byText = async (/** @type {string} */ text) => {
    const found = await pasted(ctx, text, async (whole) => (await byLink(ctx)).tokenOf(whole));
    await ("short" in found
      ? byToken(found.short)
      : heldOf(ctx, found.held, "", (keys) => page.deck.show(keys)).then(show));
  };
  function take(/** @type {string} */ text) {
    if (!text) {
      wrong.textContent = SAID.lacking;
      return;
    }
    read(() => byText(text));
  }
  /** @param {File} file */
  function choose(file) {
    read(async () => byText(await ctx.files.textOf(file)));
  }
  if (token) read(() => byToken(token));
  else if (came) read(() => byText(location.hash));
  return { title, fresh() {}, node: page.node };
}
