/* Which jobs have something to settle: by the shop's list, by this device's own log, by contents that differ under one
   id.

   Owns finding them, folding no more jobs than it must: those the shop names, those it has not all of, all where it
   does not answer. Draws nothing. */

/** @import { JobLine } from "../../types/wire.d.ts" */
/** @import { Snapshot } from "../../book/snapshot.js" */

import { openDisputes } from "../../book/disputes.js";
import { jobs } from "../../book/log.js";
import { countsByJob } from "../../book/all.js";
import { lookAll, peek } from "../../book/snapshot.js";
import { askShop } from "./asks.js";
import { pathOf } from "../../work/pc/path-of.js";

const PAGE = 100;

/** Rows of the shop's list with something to settle; or why there are none; how many jobs the shop has still to read:
 * {rows, lack, unread}. */
async function atShop() {
  /** @type {JobLine[]} */
  const rows = [];
  for (let skip = 0; ; skip += PAGE) {
    const { body, problem, lack } = await askShop(
      pathOf("/api/jobs", { sort: "unsettled", order: "down", skip: skip || "", limit: PAGE }),
    );
    if (!body) return { rows, lack: lack ?? { code: problem?.code ?? "", text: problem?.detail ?? "" }, unread: 0 };
    const found = /** @type {JobLine[]} */ (body.jobs).filter(({ conflicts }) => conflicts);
    rows.push(...found);
    if (found.length < PAGE) return { rows, lack: null, unread: /** @type {number} */ (body.unread ?? 0) };
  }
}

/** How many questions the shop's list and the contents that differ here come to; for a word in the frame. */
export async function roughly() {
  const [{ rows }, open] = await Promise.all([atShop(), openDisputes()]);
  return rows.reduce((sum, { conflicts }) => sum + conflicts, 0) + open.length;
}

/**
 * {here: [{job, all, open}], away: rows, lack, unread}: jobs of this device with questions (all as in snapshot.js, open
 * the disputes), also the one asked for; rows of jobs whose entries have not come here; why the shop's word is missing,
 * or null; how many jobs it has still to read.
 */
export async function unsettled(asked = "") {
  const [shop, counts, mine, open] = await Promise.all([atShop(), countsByJob(), jobs(), openDisputes()]);
  const named = new Set([...shop.rows.map(({ job }) => job), ...open.map(({ job }) => job), asked]);
  const wanted = mine.filter(
    (job) => shop.lack || named.has(job) || counts.get(job)?.waiting || counts.get(job)?.refused,
  );
  await lookAll(wanted, () => {});
  const here = wanted
    .map((job) => ({ job, all: /** @type {Snapshot} */ (peek(job)), open: open.filter((one) => one.job === job) }))
    .filter(
      ({ job, all, open: disputes }) =>
        all && (all.sheet.conflicts.length || all.sheet.unsure.length || disputes.length || job === asked),
    );
  const away = shop.rows.filter(({ job }) => !mine.includes(job));
  return { here, away, lack: shop.lack, unread: shop.unread };
}
