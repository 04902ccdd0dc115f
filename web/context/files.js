/* Links, files and contents that differ under one id: fetched once the page stands. */

import { linkOf, packLog, unpack, unpackLog } from "../book/carry.js";
import { canPick, itemsFor, openDisputes, reopenDispute, settleDispute } from "../book/disputes.js";
import { download, exported, imported, opened, textOf } from "../book/file.js";
import { preview, tried } from "../book/incoming.js";

export const files = {
  canPick,
  download,
  exported,
  imported,
  itemsFor,
  linkOf,
  openDisputes,
  opened,
  packLog,
  preview,
  reopenDispute,
  settleDispute,
  textOf,
  tried,
  unpack,
  unpackLog,
};
