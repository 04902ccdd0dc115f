/* What a link or a file would do, to be read before anything of it is kept: how many records are new, and for each job
   that is here already every change, old and new, those first that could do harm. */

import { changesOf, restWords } from "../work/incoming.js";
import { counted } from "../work/plural.js";
import { moment } from "../work/conflicts.js";
import { h } from "./dom.js";
import { fold } from "./plate.js";
import { deviceName, nameWriters } from "./writers.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { Sheet } from "../types/sheet.d.ts" */
/** @import { Change } from "../work/incoming.js" */

/**
 * @typedef {object} Found as book/incoming.js gives it
 * @property {{ added: number, known: number, disputed: number, unfit: number }} told
 * @property {number} fresh
 * @property {number} more
 * @property {{ job: string, was: { sheet: Sheet } | null, is: { sheet: Sheet } }[]} looked
 */

/** Changes that stand open; the rest is folded. */
const FIRST = 8;
const SAID = {
  /** @type {{ [form in Change["form"]]: string }} */
  forms: {
    conflict: "Contradicts",
    teardown: "Teardown",
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
  fresh: /** @type {[string, string]} */ (["{n} job is not on this phone yet.", "{n} jobs are not on this phone yet."]),
  more: /** @type {[string, string]} */ ([
    "{n} more job here would get new records; open it afterwards to see them.",
    "{n} more jobs here would get new records; open them afterwards to see them.",
  ]),
  changes: (/** @type {string} */ title) => `What would change: ${title}`,
  unnamed: "car without a name",
  further: "More changes",
  same: "Nothing that counts would change.",
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

/** @param {Change} change */
function row({ form, name, was, is, by }) {
  const says = [was && is ? `${was} → ${is}` : is || was].filter(Boolean);
  return h(
    "li",
    { class: `change ${form}` },
    h("strong", { class: "form", text: SAID.forms[form] }),
    h("span", { class: "what", text: name }),
    says.length ? h("span", { class: "says", text: says[0] }) : null,
    by ? h("span", { class: "who" }, moment(by), deviceName(by.device)) : null,
  );
}

/** One job's changes. @param {{ was: { sheet: Sheet } | null, is: { sheet: Sheet } }} of */
function jobChanges({ was, is }) {
  if (!was) return null;
  const found = changesOf(was.sheet, is.sheet);
  const rest = restWords(was.sheet, is.sheet);
  const list = (/** @type {Change[]} */ some) => h("ul", { class: "changes" }, some.map(row));
  const later = found.slice(FIRST);
  return h(
    "section",
    { class: "part" },
    h("h2", { text: SAID.changes(is.sheet.title || is.sheet.car_name || SAID.unnamed) }),
    found.length ? list(found.slice(0, FIRST)) : rest ? null : h("p", { text: SAID.same }),
    later.length ? fold({ title: SAID.further, more: String(later.length), id: "changes" }, list(later)) : null,
    rest ? h("p", { class: "where", text: rest }) : null,
  );
}

/**
 * The whole of it; names of the devices that wrote come as soon as they are told.
 * @param {Pick<Context, "device" | "need" | "pc">} ctx
 * @param {Found} found
 */
export function incoming(ctx, { told, fresh, more, looked }) {
  const node = h(
    "div",
    { class: "incoming" },
    h("p", null, h("strong", { text: toldWords(told) })),
    fresh ? h("p", { text: counted(fresh, ...SAID.fresh) }) : null,
    looked.map(jobChanges),
    more ? h("p", { class: "where", text: counted(more, ...SAID.more) }) : null,
  );
  // Without a network the names may not come; the rest stands.
  nameWriters(ctx, node).catch(() => {});
  return node;
}
