/* What a job has of an earlier visit of its car, each piece used or refused; with a car's key as a query, what that car
   left, offered to the job. Route ["known"]. */

import { h } from "../parts/dom.js";
import { pieceTicks } from "../parts/pieces.js";
import { plate } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { changesTo, leftIn, piecesOf, usedOf, wasHere } from "../work/again.js";

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @import { Left } from "../work/again.js" */

const SAID = {
  title: "From an earlier visit",
  offered: "Begin with what is known?",
  how: "Ticked pieces are used. Untick what has changed since.",
  pieces: "What an earlier visit left",
  none: "Nothing is known from an earlier visit.",
  looking: "Looking…",
  back: "Back",
  save: "Save",
  use: "Use these",
  saved: "what is known from an earlier visit",
};

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function known(ctx) {
  const { key = "" } = ctx.query;
  const root = h("div", { class: "plan" });
  const back = ctx.href({ words: [key ? "about" : "list"] });
  const put = (/** @type {Parameters<typeof shell>[0]} */ what) => root.replaceChildren(shell(what).node);

  /** @param {Left | null} left */
  function show(left) {
    const pieces = left ? piecesOf(left, ctx.sheet.car) : [];
    if (!left || !pieces.length) {
      put({
        title: SAID.title,
        body: [plate({ good: true, title: SAID.none })],
        main: { words: SAID.back, href: back },
      });
      return;
    }
    const fresh = key !== "";
    const chosen = usedOf(pieces, left, ctx.sheet, fresh);
    const first = [...chosen].sort().join();
    const save = async () => {
      const items = changesTo(left, chosen, ctx.sheet, fresh);
      if (items.length && !(await ctx.save(items, { said: SAID.saved }))) return;
      ctx.go({ words: ["list"] });
    };
    ctx.unsaved(() => [...chosen].sort().join() !== first);
    put({
      title: fresh ? SAID.offered : SAID.title,
      how: `${left.day ? `${wasHere(left.day)}. ` : ""}${SAID.how}`,
      body: [pieceTicks({ pieces, chosen, label: SAID.pieces })],
      quiet: { words: SAID.back, href: back },
      main: { words: fresh ? SAID.use : SAID.save, ontap: save },
    });
  }

  const look = async () => {
    await ctx.need("pc");
    const { found } = await ctx.pc.carAt(key, { without: ctx.job });
    if (!root.isConnected) return;
    if (!found) return show(null);
    const [{ job: visit, last_at: day }] = found.visits;
    show({ key, ...found.again, visit, day: day ?? "" });
  };
  if (key) {
    put({
      title: SAID.offered,
      body: [h("p", { class: "working", role: "status", text: SAID.looking })],
      main: { words: SAID.back, href: back },
    });
    queueMicrotask(look);
  } else show(leftIn(ctx.sheet));
  return { title: SAID.title, fresh() {}, node: root };
}
