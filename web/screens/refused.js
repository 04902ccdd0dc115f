/* Changes that the shop refused, each with its reason: kept here, exported, or tried again. Also contents that differ
   from another's under the same id: both are shown, nothing is thrown away; which holds is chosen at the desk. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { named } from "../work/this-device.js";

/** @import { Entry } from "../types/log.d.ts" */

/** @typedef {{ entry: Entry, why?: {path?: string, detail?: string, code?: string}, others: Entry[] }} Row */
/** @typedef {{ id: string, mine: Entry, others: {entry: Entry, came: string, at: string}[] }} Dispute */

const SAID = {
  title: "Refused by the shop",
  how:
    "These changes are saved on {here} and still count here. Correct the figure, or export them and ask at the " +
    "shop.",
  none: "No change was refused.",
  differ: "Devices saved different values",
  choose: "Choose which to use",
  record: "The record",
  noReason: "No reason given",
  atShop: "At the shop:",
  here: "Here:",
  export: "Export",
  again: "Try again",
  back: "All jobs",
};

const content = (/** @type {Entry} */ entry) =>
  h("pre", { class: "raw", tabindex: 0, "aria-label": SAID.record }, JSON.stringify(entry.body, null, 1));

const choose = (/** @type {string} */ job) => h("a", { class: "key", href: `#/desk?job=${job}` }, SAID.choose);

/** A refused change. @param {Row} row */
function rowOf({ entry, why, others }) {
  const where = why?.path && why.path !== "$" ? ` (${why.path})` : "";
  return h(
    "li",
    { class: "kind" },
    h("h2", { text: `${entry.kind}, ${entry.at.slice(0, 16).replace("T", " ")}` }),
    h("p", null, h("strong", { text: `${why?.detail || SAID.noReason}${where}` }), why?.code ? ` [${why.code}]` : ""),
    content(entry),
    others.map((other) => [h("p", { text: SAID.atShop }), content(other)]),
    others.length ? choose(entry.job) : null,
  );
}

/** Contents that differ under one id. @param {Dispute} dispute */
const disputeOf = ({ mine, others }) =>
  h(
    "li",
    { class: "kind" },
    h("p", { text: SAID.here }),
    content(mine),
    others.map(({ entry, came, at }) => [
      h("p", { text: `From ${came === "device" ? "another device" : `a ${came}`}, ${at.slice(0, 10)}:` }),
      content(entry),
    ]),
    choose(mine.job),
  );

/** The file of what was refused. @param {Row[]} rows @param {string} made */
const fileOf = (rows, made) => ({
  name: `bothends-refused-${made.slice(0, 10)}.json`,
  text: JSON.stringify(
    {
      format: "bothends-log",
      version: 1,
      made,
      device: rows[0]?.entry.device ?? "",
      entries: rows.map(({ entry }) => entry),
      refused: rows.map(({ entry, why }) => ({ id: entry.id, ...why })),
    },
    null,
    1,
  ),
});

/**
 * The screen.
 * @param {any} ctx
 */
export function refused(ctx) {
  const place = h("div", { class: "mine" });
  /** @type {Row[]} */
  let rows = [];
  const again = async () => {
    await ctx.log.tryAgain();
    await ctx.shop.syncNow();
  };
  const out = h(
    "button",
    { type: "button", class: "key", onclick: () => ctx.files.download(fileOf(rows, ctx.log.stamp())) },
    SAID.export,
  );
  const page = shell({
    title: SAID.title,
    how: named(SAID.how),
    body: [h("div", { class: "start" }, place, out)],
    quiet: { words: SAID.back, href: "#/" },
    main: null,
  });
  async function draw() {
    /** @type {[Row[], Dispute[]]} */
    const [found, other] = await Promise.all([ctx.log.refused(), ctx.files.openDisputes()]);
    rows = found;
    const differing = other.filter(({ id }) => !found.some(({ entry }) => entry.id === id));
    place.replaceChildren(
      found.length ? h("ul", null, found.map(rowOf)) : h("p", { text: SAID.none }),
      ...(differing.length
        ? [h("section", null, h("h2", { text: SAID.differ }), h("ul", null, differing.map(disputeOf)))]
        : []),
    );
    out.hidden = !found.length;
    page.deck.show({ main: found.length ? { words: SAID.again, ontap: again } : null });
  }
  draw();
  ctx.whileShown(
    ctx.log.listen((/** @type {{what: string}} */ message) => ["entries", "marks"].includes(message.what) && draw()),
  );
  return { title: SAID.title, fresh() {}, node: page.node };
}
