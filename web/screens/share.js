/* Send a job: as a link that carries all its entries, or as a file. Readings come back the same way and merge. */

import { h } from "../parts/dom.js";
import { nameAsk } from "../parts/name-ask.js";
import { shell } from "../parts/shell.js";

const SAID = {
  title: "Send this job",
  how:
    "The link carries the whole job. Whoever opens it can read it and add readings, offline and without an " +
    "account. No server sees it.",
  back: "Back",
  send: "Send the link",
  copy: "Copy the link",
  file: "Export this job",
  link: "The link",
  unnamed: "Car without a name",
  near: "This link has this PC’s own address. Whoever gets it pastes it into their copy of the app.",
  passed: "Passed to the app you chose.",
  failed: "Sharing failed. Copy the link, or export the file.",
  copied: "Link copied. Paste it into a message.",
  blocked: "Copying is blocked by the browser. The link is selected: copy it by hand.",
  asFile: "As a file",
  large: "For a job too large for a link.",
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
 * The link of a job and what is done with it: {field, near, wrong, told, send, copy}; `field` null where it is too much
 * for a link.
 * @param {any} ctx
 */
function linkOf(ctx) {
  const told = h("p", { role: "status" });
  const near = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const field = /** @type {HTMLTextAreaElement} */ (
    h("textarea", { id: "job-link", class: "link", readonly: true, rows: 4, "aria-label": SAID.link })
  );
  field.addEventListener("focus", () => field.select());
  let link = "";
  try {
    field.value = link = ctx.files.linkOf(ctx.entries());
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "LinkError") throw error;
    wrong.textContent = error.message;
  }
  // A link to this machine's own address would lead others nowhere.
  const reachable = async () => {
    await ctx.need("pc");
    const base = await ctx.pc.forOthers();
    if (base) field.value = link = ctx.files.linkOf(ctx.entries(), base);
    else near.textContent = SAID.near;
  };
  if (link) reachable().catch(() => {});
  const send = async () => {
    try {
      await navigator.share({ title: `Bothends: ${ctx.sheet.title || SAID.unnamed}`, url: link });
      told.textContent = SAID.passed;
    } catch (error) {
      // Closing the sheet is no failure; anything else leaves copying.
      if (!(error instanceof Error) || error.name !== "AbortError") wrong.textContent = SAID.failed;
    }
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link);
      told.textContent = SAID.copied;
    } catch {
      field.focus();
      field.select();
      told.textContent = SAID.blocked;
    }
  };
  return { field: link ? field : null, near, wrong, told, send, copy };
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
  const { field, near, wrong, told, send, copy } = linkOf(ctx);
  const file = async () => {
    const made = await ctx.files.exported(ctx.job);
    ctx.files.download(made);
    told.textContent = SAID.written(made);
  };
  const passes = Boolean(field && navigator.share);
  const main = !field
    ? { words: SAID.file, ontap: file }
    : passes
      ? { words: SAID.send, ontap: send }
      : { words: SAID.copy, ontap: copy };
  const page = shell({
    title: SAID.title,
    how: SAID.how,
    body: [
      h(
        "div",
        { class: "start share" },
        h("div", { class: "part" }, told, wrong, near, field, passes ? key(SAID.copy, copy) : null),
        shortOf(ctx),
        titled(SAID.asFile, h("p", { text: SAID.large }), field ? key(SAID.file, file) : null),
        titled(SAID.returned, h("p", { text: SAID.returnHow }), h("a", { class: "key", href: "#/open" }, SAID.paste)),
      ),
    ],
    quiet: { words: SAID.back, href: ctx.href({ words: ["list"] }) },
    main,
  });
  // Its answer goes into the link, which is made anew.
  nameAsk(ctx, ctx.redraw).then(
    (asked) => asked && page.node.querySelector(".share")?.prepend(asked),
    () => {},
  );
  return { title: SAID.title, fresh() {}, node: page.node };
}
