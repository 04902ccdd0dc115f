/* Links, files and contents that differ under one id: fetched once the page stands. */

import { linkOf, packLog, unpack, unpackLog } from "../book/carry.js";
import { canPick, itemsFor, openDisputes, reopenDispute, settleDispute } from "../book/disputes.js";
import { download, exported, imported, opened, openedHere, textOf } from "../book/file.js";
import { keepPacked } from "../book/photo-file.js";
import { preview, tried } from "../book/incoming.js";
import { noteSender, senderOf } from "../book/senders.js";
import { told } from "../book/told.js";
import { COPY, HOME } from "../model/place.js";

/**
 * What is known of where a link to a job can lead.
 * @param {string} job
 * @returns {Promise<import("../work/link-ways.js").Known>}
 */
async function addresses(job) {
  const [shop, publicCopy, sender] = await Promise.all([told("address"), told("public_copy"), senderOf(job)]);
  return { home: HOME, copy: COPY !== null, shop, publicCopy, sender: sender?.address ?? null };
}

export const files = {
  addresses,
  canPick,
  download,
  exported,
  imported,
  itemsFor,
  keepPacked,
  linkOf,
  noteSender,
  openDisputes,
  opened,
  openedHere,
  packLog,
  preview,
  reopenDispute,
  settleDispute,
  textOf,
  tried,
  unpack,
  unpackLog,
};
