/* What was kept of a job behind a short link that opens nothing any more. */

import { h } from "../parts/dom.js";

/**
 * What was kept of a link that opens nothing any more: the job and a card about it, or null.
 * @param {any} ctx
 * @param {string} token
 * @returns {Promise<{job: string, node: HTMLElement} | null>}
 */
export async function leftOf(ctx, token) {
  const job = await ctx.pc.keptFrom(token);
  if (!job) return null;
  const told = h("p", { role: "status" });
  const out = async () => {
    const made = await ctx.files.exported(job, undefined, { photos: true });
    ctx.files.download(made);
    told.textContent = `${made.entries} records written to ${made.name}.`;
  };
  const node = h(
    "section",
    { class: "kind" },
    h("h2", { text: "Your copy is still here" }),
    h("p", { text: "Nothing was deleted. Read it, add to it and send it as before." }),
    h(
      "div",
      { class: "keys" },
      h("button", { type: "button", class: "key", onclick: out }, "Export"),
      h("a", { class: "key", href: ctx.href({ words: ["share"] }, job) }, "Send"),
    ),
    told,
  );
  return { job, node };
}
