/* A job behind a short link of the shop: its entries, asked of the shop's server, to read. Keeps nothing, but remembers
   which job was kept from which link, by the link's id (the token's first part, no secret): once the link is gone, what
   was kept can still be named, opened and exported. */

import { recall, remember } from "../../book/base.js";
import { isId } from "../../book/ids.js";
import { lateWords, unfit } from "../../book/same.js";
import { Trouble, request } from "../client.js";
import { entries as entriesOf } from "../../book/log.js";

/** @import { Entry } from "../../types/log.d.ts" */

const WORDS = {
  spoilt: "This link is incomplete. Ask for it again.",
  unknown: "Link not found. Ask the shop for a new one.",
  gone: "This link has expired or was ended. Ask the shop for a new one.",
  "not-taken": "This link holds a record that cannot be taken in.",
  elsewhere: "This link belongs to another address. Open it in the browser.",
};

const TOKEN = /^[0-9a-f]{12}\.[\w-]{32}$/;

const SHORT = /#link=([\w.-]*)/;

const MOST = 500;

/** A short link that opens nothing: `code` as above, or a Trouble's. Nothing was kept or lost. */
export class ShortLinkError extends Error {
  /**
   * @param {string} code
   * @param {string} [message]
   */
  constructor(code, message = WORDS[/** @type {keyof typeof WORDS} */ (code)]) {
    super(message);
    this.name = "ShortLinkError";
    this.code = code;
  }
}

/**
 * The token of a pasted short link, or "" where it is none; throws where it is another shop's.
 * @param {string} text
 */
export function tokenOf(text) {
  const found = SHORT.exec(text.replaceAll(/\s/g, ""));
  if (!found) return "";
  const from = /https?:\/\/[^#]+/.exec(text)?.[0];
  if (from && URL.canParse(from) && new URL(from).origin !== location.origin)
    throw new ShortLinkError("elsewhere", `This link belongs to ${new URL(from).host}. Open it in the browser.`);
  // A full stop or a bracket that a message put behind it.
  return found[1].replace(/[.]+$/, "");
}

/**
 * The job behind a token; rejects with a ShortLinkError.
 * @param {string} token
 * @returns {Promise<{ job: string, entries: Entry[], expires: string }>}
 */
export async function bundleOf(token) {
  if (!TOKEN.test(token)) throw new ShortLinkError("spoilt");
  /** @type {Entry[]} */
  const all = [];
  try {
    for (let after = 0; ;) {
      const { status, body } = await request("GET", `/api/links/${token}?after=${after}&limit=${MOST}`);
      if (status !== 200) throw new ShortLinkError("spoilt");
      if (
        !isId(body.job) ||
        !Array.isArray(body.entries) ||
        body.entries.some((/** @type {Entry} */ entry) => (unfit(entry) && !lateWords(entry)) || entry.job !== body.job)
      )
        throw new Trouble("not-ours", { status });
      const late = body.entries.map(lateWords).find(Boolean);
      if (late) throw new ShortLinkError("not-taken", `${WORDS["not-taken"]} (${late})`);
      all.push(...body.entries);
      if (!(body.next > after)) return { job: body.job, entries: all, expires: body.expires };
      after = body.next;
    }
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    const code = error.problem?.code;
    if (code === "gone") throw new ShortLinkError("gone");
    if (code === "not-found") throw new ShortLinkError("unknown");
    const why = code === "too-often" ? "Too many tries. Wait a minute." : error.message;
    throw new ShortLinkError(error.code, `${why} Nothing is lost: open the link again later.`);
  }
}

/** @param {string} token */
const idOf = (token) => token.split(".")[0];

/**
 * Note that a job was kept from a link.
 * @param {string} token
 * @param {string} job
 */
export async function noteKept(token, job) {
  await remember("kept_links", { ...(await recall("kept_links")), [idOf(token)]: job });
}

/**
 * Whether asking once more may help.
 * @param {string} code
 */
export const passing = (code) => ["no-answer", "took-too-long", "busy", "server-trouble"].includes(code);

/**
 * The job that was kept from a link and is here still, or null.
 * @param {string} token
 */
export async function keptFrom(token) {
  const job = (await recall("kept_links"))?.[idOf(token)];
  return job && (await entriesOf(job)).length ? job : null;
}
