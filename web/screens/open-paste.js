/* What somebody has in hand of a job: a link of any kind, from any host, or the content of a file, pasted or chosen.
   Tells which it is and what it holds; keeps nothing. */

/** @import { Entry, Sender } from "../types/log.d.ts" */

/**
 * @typedef {{ job: string, entries: Entry[], from?: Sender, expires?: string }} Held A job in hand.
 * @typedef {{ short: string } | { held: Held }} Pasted The token of a short link, or a job.
 */

const SAID = {
  short:
    "This is a short link. It names a job at the shop that made it, and opens only there: in the browser, on the " +
    "shop’s network, by a device that trusts the shop. Ask for the whole link, or for the job as a page.",
  /** @type {(jobs: number) => string} */
  many: (jobs) => `This file holds ${jobs} jobs. Import it whole: Settings, Data as a file, Import.`,
  none: "This file holds no job.",
};

/**
 * The job of a file's text. Rejects with a FileError, or an Error whose message is for people.
 * @param {any} ctx
 * @param {string} text
 * @returns {Promise<Held>}
 */
async function inFile(ctx, text) {
  const { rows, from } = await ctx.files.openedHere(text);
  /** @type {Entry[]} */
  const entries = rows
    .map((/** @type {{ entry: any }} */ { entry }) => entry)
    .filter((/** @type {any} */ entry) => entry && typeof entry === "object" && entry.job);
  const jobs = new Set(entries.map(({ job }) => job));
  if (jobs.size > 1) throw new Error(SAID.many(jobs.size));
  if (!jobs.size) throw new Error(SAID.none);
  return { job: [...jobs][0], entries, ...(from && { from }) };
}

/**
 * What a text is and holds; throws what says why it cannot be opened, in words for people.
 * @param {any} ctx with `files`
 * @param {string} text
 * @param {(text: string) => Promise<string>} tokenOf the token of this shop's short link, or ""
 * @returns {Promise<Pasted>}
 */
export async function pasted(ctx, text, tokenOf) {
  if (/^\s*[{<]/.test(text)) return { held: await inFile(ctx, text) };
  if (text.includes("#link=") && ctx.device.copy) throw new Error(SAID.short);
  const short = text.includes("#link=") ? await tokenOf(text) : "";
  return short ? { short } : { held: ctx.files.unpack(text) };
}
