/* Send a job: as a link that carries all its records, as a page, or as a file. Says of each where it opens. Readings
   come back the same way and merge. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { nameAsk } from "../parts/name-ask.js";
import { shell } from "../parts/shell.js";
import { leftWords, stayWords } from "../work/photo-words.js";
import { onlyHere } from "../work/addresses.js";
import { wayBack, waysOf } from "../work/link-ways.js";
import { asPage } from "./share-page.js";

/** @import { Sender } from "../types/log.d.ts" */
/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Known, Way } from "../work/link-ways.js" */

const SAID = {
  title: "Send this job",
  how:
    "The link carries the whole job. Whoever opens it can read it and add readings, offline and without an " +
    "account. No server sees it.",
  back: "Back",
  send: "Send the link",
  sendBack: "Send it back",
  copy: "Copy the link",
  file: "Export this job",
  link: "The link",
  whom: "Whom the link is for",
  unnamed: "Car without a name",
  /** @type {(name: string) => string} */
  by: (name) => (name ? `The reader sees that it comes from ${name}.` : "The reader sees no name of yours."),
  noCopy:
    "For somebody who is not in the shop send it as a page, below. Or have links that open anywhere: Settings, " +
    "Public copy.",
  passed: "Passed to the app you chose.",
  failed: "Sharing failed. Copy the link, or export the file.",
  copied: "Link copied. Paste it into a message.",
  blocked: "Copying is blocked by the browser. The link is selected: copy it by hand.",
  asFile: "As a file",
  large: "For a job too large for a link. Opens in this app only: there under Open a link.",
  returned: "A link sent back",
  returnHow: "Open or paste it: its new readings are added to this job.",
  paste: "Paste a link",
  /** @type {(made: {entries: number, name: string}) => string} */
  written: ({ entries, name }) => `${entries} records written to ${name}.`,
};

const key = (/** @type {string} */ words, /** @type {() => unknown} */ onclick) =>
  h("button", { type: "button", class: "key", onclick }, words);
const titled = (/** @type {string} */ title, /** @type {(Node | null)[]} */ ...children) =>
  h("section", { class: "part" }, h("h2", { text: title }), children);

/**
 * What is known of addresses; a page at its PC's own address, which nobody else can use, asks the server for a better
 * one where it has not heard of it yet.
 * @param {any} ctx
 * @returns {Promise<Known>}
 */
async function addresses(ctx) {
  const known = await ctx.files.addresses(ctx.job);
  if (known.copy || known.shop || !onlyHere(known.home)) return known;
  const shop = await ctx.need("pc").then(
    () => ctx.pc.told(),
    () => null,
  );
  return { ...known, shop };
}

/**
 * Who sends it, and where it goes back to.
 * @param {any} ctx
 * @returns {Promise<Sender>}
 */
async function sender(ctx) {
  const [known, held, writer] = await Promise.all([addresses(ctx), ctx.device.access(), ctx.device.writerName()]);
  const name = writer || held?.name;
  const address = wayBack(known);
  return { ...(name && { name }), ...(address && { address }) };
}

/** What is said of photos, which no link carries; null where there are none. @param {any} ctx */
function stays(ctx) {
  const text = stayWords(ctx.sheet.photos.length);
  return text ? h("p", { class: "where", text }) : null;
}

/**
 * The link of a job and what is done with it: {node, link, told, send, copy}; `link()` is "" where it is too much for
 * one. `onways` hears which way was chosen.
 * @param {any} ctx
 * @param {(way: Way) => void} onway
 */
function linkOf(ctx, onway) {
  const told = h("p", { role: "status" });
  const opens = h("p", { class: "opens" });
  const who = h("p", { class: "where" });
  const wrong = h("p", { class: "error", role: "alert" });
  const way = h("div", { class: "mine" });
  const field = /** @type {HTMLTextAreaElement} */ (
    h("textarea", { id: "job-link", class: "link", readonly: true, rows: 4, "aria-label": SAID.link })
  );
  field.addEventListener("focus", () => field.select());
  /** @type {Sender} */
  let from = {};
  /** @param {Way} chosen */
  const lead = (chosen) => {
    field.value = ctx.files.linkOf(ctx.entries(), chosen.base, from);
    opens.textContent = chosen.opens;
    onway(chosen);
  };
  try {
    field.value = ctx.files.linkOf(ctx.entries());
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "LinkError") throw error;
    wrong.textContent = error.message;
    field.remove();
  }
  const fill = async () => {
    const known = await addresses(ctx);
    from = await sender(ctx);
    who.textContent = SAID.by(from.name ?? "");
    const ways = waysOf(known);
    lead(ways[0]);
    if (ways.length > 1)
      way.replaceChildren(
        choice({
          name: "way",
          legend: SAID.whom,
          options: ways.map(({ name, label }) => ({ value: name, label })),
          chosen: ways[0].name,
          onchoose: (name) => lead(/** @type {Way} */ (ways.find((one) => one.name === name))),
        }),
      );
    else if (!known.copy && !known.publicCopy) way.replaceChildren(h("p", { class: "where", text: SAID.noCopy }));
  };
  if (field.value) {
    way.setAttribute("aria-busy", "true");
    fill()
      .catch(() => {})
      .finally(() => way.removeAttribute("aria-busy"));
  }
  const send = async () => {
    try {
      await navigator.share({ title: `Bothends: ${ctx.sheet.title || SAID.unnamed}`, url: field.value });
      told.textContent = SAID.passed;
    } catch (error) {
      // Closing the sheet is no failure; anything else leaves copying.
      if (!(error instanceof Error) || error.name !== "AbortError") wrong.textContent = SAID.failed;
    }
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(field.value);
      told.textContent = SAID.copied;
    } catch {
      field.focus();
      field.select();
      told.textContent = SAID.blocked;
    }
  };
  const node = h("div", { class: "part" }, told, wrong, field.value ? [way, opens, field, who, stays(ctx)] : null);
  return { node, linked: Boolean(field.value), told, send, copy };
}

/** Have the job's photos here that only the shop has. @param {any} ctx */
async function fetched(ctx) {
  if (!ctx.sheet.photos.length) return;
  await ctx.need("photos");
  for (const { sha256 } of ctx.sheet.photos) await ctx.photos.look(sha256).catch(() => null);
}

/** Short links through the shop: only with a shop, and fetched only then. @param {any} ctx */
function shortOf(ctx) {
  const node = h("div", { class: "mine" });
  const work = async () => {
    if (!(await ctx.device.access())) return;
    const [{ shortLinks }] = await Promise.all([import("../parts/shop/short-link.js"), ctx.need("pc")]);
    node.append(shortLinks(ctx));
  };
  work().catch(() => {});
  return node;
}

/**
 * The screen.
 * @param {any} ctx
 */
export function share(ctx) {
  const { node, linked, told, send, copy } = linkOf(ctx, (way) => {
    if (linked) page.deck.show({ main: mainFor(way.name === "back") });
  });
  const file = async () => {
    await fetched(ctx);
    const made = await ctx.files.exported(ctx.job, await sender(ctx), { photos: true });
    ctx.files.download(made);
    told.textContent = [SAID.written(made), leftWords(made.left)].filter(Boolean).join(" ");
  };
  const passes = linked && Boolean(navigator.share);
  const mainFor = (/** @type {boolean} */ back) =>
    !linked
      ? { words: SAID.file, ontap: file }
      : passes
        ? { words: back ? SAID.sendBack : SAID.send, ontap: send }
        : { words: SAID.copy, ontap: copy };
  if (passes) node.append(key(SAID.copy, copy));
  const page = shell({
    title: SAID.title,
    how: SAID.how,
    body: [
      h(
        "div",
        { class: "start share" },
        node,
        asPage(/** @type {JobContext} */ (ctx), () => sender(ctx)),
        shortOf(ctx),
        titled(SAID.asFile, h("p", { text: SAID.large }), linked ? key(SAID.file, file) : null),
        titled(SAID.returned, h("p", { text: SAID.returnHow }), h("a", { class: "key", href: "#/open" }, SAID.paste)),
      ),
    ],
    quiet: { words: SAID.back, href: ctx.href({ words: ["list"] }) },
    main: mainFor(false),
  });
  // Its answer goes into the link, which is made anew.
  nameAsk(ctx, ctx.redraw).then(
    (asked) => asked && page.node.querySelector(".share")?.prepend(asked),
    () => {},
  );
  return { title: SAID.title, fresh() {}, node: page.node };
}
