/* What is new in the Log since this device last looked at it: told on top, marked at its readings until the Log is
   left. Looking at it is the Log standing on the screen, no tap. */

import { h } from "../parts/dom.js";
import { deviceName } from "../parts/writers.js";
import { moment } from "../work/conflicts.js";
import { newsCount, newsOf, newsWords } from "../work/news.js";
import { writtenBy } from "../work/writer.js";

/** @import { Entry } from "../types/log.d.ts" */
/** @import { JobContext } from "../types/context.d.ts" */

const SAID = { title: "New since you looked", mark: "new" };

/** What was new while the Log of a job has stood, so that drawing it again keeps the marks. */
const stood = { job: "", ids: new Set() };

/** @param {JobContext} ctx @param {Entry[]} news */
const told = (ctx, news) =>
  h(
    "section",
    { class: "kind news" },
    h("h2", null, SAID.title, " ", h("b", { class: "more", text: newsCount(news) })),
    h(
      "ul",
      null,
      news.map((entry) =>
        h(
          "li",
          null,
          newsWords(entry, ctx.entry, ctx.sheet).map(({ name, value }) =>
            h("p", null, name, value ? ": " : "", h("strong", { text: value })),
          ),
          h("span", { class: "who" }, moment(entry), deviceName(writtenBy(entry, ctx.sheet))),
        ),
      ),
    ),
  );

/** Mark the rows of new readings and moves. @param {HTMLElement} body @param {Entry[]} news */
function mark(body, news) {
  for (const { id } of news) {
    const row = body.querySelector(`[data-entry="${CSS.escape(id)}"] .who`);
    if (row && !row.querySelector(".new-mark")) row.append(" ", h("b", { class: "new-mark", text: SAID.mark }));
  }
}

/**
 * Tell and mark what is new in a Log that is drawn, and note that it was looked at.
 * @param {JobContext} ctx
 * @param {HTMLElement} body
 * @param {() => void} named once what is told stands
 */
export async function showNews(ctx, body, named) {
  const { job } = ctx;
  if (stood.job !== job) Object.assign(stood, { job, ids: new Set() });
  ctx.whileShown(() => {
    // Drawn again in its place it is still the same look.
    if (!location.hash.startsWith(ctx.href({ words: ["list"] }))) stood.job = "";
  });
  const [{ ids, upTo }, mine] = await Promise.all([ctx.news.arrivedIn(job), ctx.device.deviceId()]);
  for (const id of ids) stood.ids.add(id);
  if (!body.isConnected) return;
  const news = newsOf(ctx.entries(), stood.ids, mine);
  if (news.length) {
    body.prepend(told(ctx, news));
    mark(body, news);
    named();
  }
  if (document.visibilityState === "visible") await ctx.news.noteLooked(job, upTo);
}
