/* A job for somebody who was sent it: who sent it, what it is, the danger first, then how the car stands and what will
   be done, with the trade's words explained. Read only. The screen of a link shows it, and the page that is sent as a
   file is made of it. */

import { h } from "./dom.js";
import { heights, lookAt } from "./job-look.js";
import { rearHeights } from "./rear-heights.js";
import { laterStyles, useStyle } from "./style.js";
import { warning } from "./warning.js";
import { sprungOf } from "../work/adjuster.js";
import { LAY, TERMS } from "../work/lay-words.js";
import { STANDING } from "../work/safety.js";
import { thereWords } from "../work/there-words.js";

/** @import { Child } from "./dom.js" */
/** @import { Context } from "../types/context.d.ts" */
/** @import { Sender } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

/**
 * A part with its heading.
 * @param {string} title
 * @param {...Child} children
 */
const part = (title, ...children) => h("section", { class: "read-part" }, h("h2", { text: title }), children);

/**
 * Who sent it, as the link says; it may say anything.
 * @param {Sender | undefined} from
 */
function senderOf(from) {
  const host = from?.address && URL.canParse(from.address) ? new URL(from.address).host : "";
  return part(
    LAY.who,
    h("p", null, h("strong", { text: from?.name ? LAY.by(from.name) : LAY.unnamed })),
    host ? h("p", { class: "where", text: LAY.shop(host) }) : null,
  );
}

/** The dangers of the whole job, before anything else is read. */
const dangers = () =>
  part(
    LAY.danger,
    ["WARNING", "NOTICE"].map((signal) =>
      warning({ signal, level: "h3", text: STANDING.filter(({ word }) => word === signal).map(({ text }) => text) }),
    ),
    h("p", null, h("strong", { text: LAY.leave })),
  );

const terms = () =>
  part(
    LAY.terms,
    h(
      "dl",
      { class: "terms" },
      TERMS.map(([word, means]) => h("div", null, h("dt", { text: word }), h("dd", { text: means }))),
    ),
  );

/**
 * The job to be read; `ready` settles once the plan stands in it, or why there is none.
 * @param {Context} ctx
 * @param {Folded} all what fold gives for its entries
 * @param {Sender} [from]
 * @returns {{ node: HTMLElement, ready: Promise<void> }}
 */
export function reader(ctx, all, from) {
  const styled = Promise.all([useStyle("look", "style"), laterStyles()]);
  const { sheet, stages } = all;
  const { node: plan, ready } = lookAt(ctx, all);
  const stage = stages.at(-1);
  const there = thereWords(sheet);
  const node = h(
    "div",
    { class: "reader" },
    senderOf(from),
    part(
      LAY.what,
      h("p", { text: LAY.about(sheet.title || sheet.car_name || LAY.car, sprungOf(sheet.car)) }),
      h("p", { text: LAY.bars }),
    ),
    dangers(),
    part(
      LAY.now,
      stage ? rearHeights({ found: stages[0], stage, front: sprungOf(sheet.car) === "front" }) : null,
      heights(all),
      there ? h("p", { class: "there", text: there }) : null,
    ),
    part(LAY.done, h("p", { text: LAY.order }), plan),
    terms(),
  );
  return { node, ready: Promise.all([styled, ready]).then(() => {}) };
}
