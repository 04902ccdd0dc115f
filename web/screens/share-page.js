/* A job sent as one page, or as a file: made here, handed to the phone's own way of sharing, or to its downloads. */

import { h } from "../parts/dom.js";
import { pageOf } from "../parts/job-page.js";
import { shortDate } from "../work/dates.js";
import { stayWords } from "../work/photo-words.js";

/** @import { JobContext } from "../types/context.d.ts" */
/** @import { Sender } from "../types/log.d.ts" */

const KILO = 1000;
const SAID = {
  title: "As a page",
  how:
    "One file with plan, drawings, steps and dangers. Opens anywhere, on a phone or a PC, without a network and " +
    "without this app: from a mail, a message or a stick. This app imports it like any file.",
  make: "Send as a page",
  making: "Making the page…",
  passed: "Passed to the app you chose.",
  /** @type {(name: string, kb: number) => string} */
  written: (name, kb) => `Saved as ${name}, ${kb} kB.`,
  failed: (/** @type {string} */ why) => `The page could not be made: ${why}`,
};

/**
 * The block.
 * @param {JobContext} ctx
 * @param {() => Promise<Sender>} sender
 */
export function asPage(ctx, sender) {
  const told = h("p", { role: "status" });
  const key = /** @type {HTMLButtonElement} */ (h("button", { type: "button", class: "key" }, SAID.make));
  const make = async () => {
    const from = await sender();
    const [all] = await ctx.log.fold([{ job: ctx.job, entries: ctx.entries() }]);
    const made = await ctx.files.exported(ctx.job, from);
    const day = shortDate(new Date().toISOString());
    const text = await pageOf(ctx, all, { from, log: made.text, day });
    const name = made.name.replace(/json$/, "html");
    const file = new File([text], name, { type: "text/html" });
    if (navigator.canShare?.({ files: [file] })) {
      await navigator.share({ files: [file], title: document.title });
      return SAID.passed;
    }
    ctx.files.download({ name, text, type: "text/html" });
    return SAID.written(name, Math.ceil(file.size / KILO));
  };
  key.addEventListener("click", async () => {
    key.disabled = true;
    told.textContent = SAID.making;
    try {
      told.textContent = await make();
    } catch (error) {
      const { name, message } = /** @type {Error} */ (error);
      // Closing the phone's sheet is no failure.
      told.textContent = name === "AbortError" ? "" : SAID.failed(message);
    }
    key.disabled = false;
  });
  const stay = stayWords(ctx.sheet.photos.length);
  return h(
    "section",
    { class: "part" },
    h("h2", { text: SAID.title }),
    h("p", { text: SAID.how }),
    stay ? h("p", { class: "where", text: stay }) : null,
    key,
    told,
  );
}
