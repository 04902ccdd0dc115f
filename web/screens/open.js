/* A job that came in a link: shown before anything is kept, then kept or left. Also the place to paste one, for an
   installed app that the link does not open by itself. */

import { LinkError, unpack } from "../book/carry.js";
import { NotKept } from "../book/base.js";
import { fold } from "../book/fold.js";
import { carriesJob } from "../book/fragment.js";
import { compare, merge } from "../book/log.js";
import { h } from "../parts/dom.js";
import { sayKept } from "../context.js";
import { standing } from "./standing.js";

const many = (n, one, more) => `${n} ${n === 1 ? one : more}`;

/** What keeping would do. */
function effect({ added, known, disputed }) {
  if (!added && !disputed) return "All of it is on this phone already.";
  const parts = [
    known ? `${many(added, "entry is", "entries are")} new, ${known} known already.` : `${many(added, "entry", "entries")}, none of them on this phone yet.`,
    disputed ? `${many(disputed, "entry differs", "entries differ")} from what is here; both will be kept and shown.` : "",
  ];
  return parts.filter(Boolean).join(" ");
}

/** The screen. */
export function open(ctx) {
  const place = h("div", { class: "mine" });
  const wrong = h("p", { class: "error", role: "alert" });
  const pasted = h("textarea", { id: "pasted", class: "link", rows: 4, autocomplete: "off", spellcheck: "false" });

  async function keep({ job, entries }) {
    try {
      await merge(entries, { came: "link" });
    } catch (error) {
      if (!(error instanceof NotKept)) throw error;
      return sayKept(error.message);
    }
    sayKept("");
    return ctx.go({ words: ["list"] }, { job, replace: true });
  }
  async function show(text) {
    wrong.textContent = "";
    place.replaceChildren();
    let held;
    try {
      held = unpack(text);
    } catch (error) {
      if (!(error instanceof LinkError)) throw error;
      wrong.textContent = error.message;
      return;
    }
    const [told, [all]] = await Promise.all([compare(held.entries), fold([held])]);
    const { sheet } = all;
    const nothing = !told.added && !told.disputed;
    place.replaceChildren(
      h(
        "section",
        { class: "kind" },
        h("h2", { text: [sheet.title || "Car without a name", sheet.owner && !sheet.title.includes(sheet.owner) ? sheet.owner : ""].filter(Boolean).join(", ") }),
        sheet.wish ? h("p", { text: sheet.wish }) : null,
        h("p", { text: `${standing(all).words.replace(/^./, (c) => c.toUpperCase())}; ${many(sheet.readings.length, "reading", "readings")}, ${many(sheet.moves.length, "teardown", "teardowns")}.` }),
        h("p", null, h("strong", { text: effect(told) })),
      ),
      h(
        "div",
        { class: "keys" },
        nothing
          ? h("a", { class: "key main", href: ctx.href({ words: ["list"] }, held.job) }, "Open the job")
          : h("button", { type: "button", class: "key main", onclick: () => keep(held) }, told.known || told.disputed ? "Add to the job here" : "Keep this job"),
        h("a", { class: "key", href: "#/" }, nothing ? "All jobs" : "Leave it"),
      ),
    );
  }
  const failed = (error) => (wrong.textContent = error.detail ?? error.message);
  if (carriesJob(location.hash)) show(location.hash).catch(failed);
  const take = (event) => {
    event.preventDefault();
    if (pasted.value.trim()) show(pasted.value.trim()).catch(failed);
    else wrong.textContent = "Paste the whole link first.";
  };
  const title = carriesJob(location.hash) ? "A job by link" : "Paste a job link";
  return {
    title,
    fresh() {},
    node: h(
      "div",
      { class: "start share" },
      h("h1", { text: title }),
      wrong,
      place,
      h("form", { class: "new", onsubmit: take }, h("label", { for: "pasted", text: carriesJob(location.hash) ? "Another link, or the same in one piece" : "The link, whole" }), pasted, h("button", { class: "key" }, "Read the link")),
    ),
  };
}
