/* A job that came in a link: shown before anything is kept, then kept or left. The link holds the job itself, or
   names it at the shop's server. Also the place to paste one, for an installed app that the link does not open by
   itself. */

import { h } from "../parts/dom.js";
import { shortDate } from "../work/dates.js";
import { standing } from "../work/standing.js";

/** What asks the shop: fetched when a short link comes, since it needs the shop anyway. */
async function byLink(ctx) {
  try {
    const [{ leftOf }] = await Promise.all([import("./shop/open-kept.js"), ctx.need("pc")]);
    return { ...ctx.pc, leftOf };
  } catch {
    throw new Error("No answer from the shop’s server. Nothing is lost: open the link again later.");
  }
}
const many = (n, one, more) => `${n} ${n === 1 ? one : more}`;

/** What keeping would do. */
function effect({ added, known, disputed }) {
  if (!added && !disputed) return "This job is on this phone already.";
  const parts = [
    known
      ? `${many(added, "record is", "records are")} new, ${known} known already.`
      : `${many(added, "record", "records")}, none on this phone yet.`,
    disputed ? `${many(disputed, "record differs", "records differ")} from this phone’s. Both will be kept.` : "",
  ];
  return parts.filter(Boolean).join(" ");
}

/** The screen. */
export function open(ctx) {
  const place = h("div", { class: "mine" });
  const wrong = h("p", { class: "error", role: "alert" });
  const waits = h("p", { class: "working", role: "status" });
  const pasted = h("textarea", { id: "pasted", class: "link", rows: 4, autocomplete: "off", spellcheck: "false" });

  async function keep({ job, entries }, token) {
    try {
      await ctx.log.merge(entries, { came: "link" });
      if (token) await (await byLink(ctx)).noteKept(token, job);
    } catch (error) {
      if (error.name !== "NotKept") throw error;
      return ctx.sayKept(error.message);
    }
    ctx.sayKept("");
    return ctx.go({ words: ["list"] }, { job, replace: true });
  }

  /** Show what a link holds, with what may be done; nothing is kept yet. */
  async function show(held, token = "") {
    const [told, [all]] = await Promise.all([ctx.log.compare(held.entries), ctx.log.fold([held])]);
    const { sheet } = all;
    const nothing = !told.added && !told.disputed;
    const whole = h("div", { class: "whole" });
    place.replaceChildren(
      h(
        "section",
        { class: "kind" },
        h("h2", {
          text: [
            sheet.title || "Car without a name",
            sheet.owner && !sheet.title.includes(sheet.owner) ? sheet.owner : "",
          ]
            .filter(Boolean)
            .join(", "),
        }),
        sheet.wish ? h("p", { text: sheet.wish }) : null,
        h("p", {
          text: `${standing(all).words}; ${many(sheet.readings.length, "reading", "readings")}, ${many(sheet.moves.length, "teardown", "teardowns")}.`,
        }),
        held.expires
          ? h("p", {
              class: "where",
              text: `The link expires on ${shortDate(held.expires)}. What you keep stays.`,
            })
          : null,
        h("p", null, h("strong", { text: effect(told) })),
      ),
      h(
        "div",
        { class: "keys" },
        nothing
          ? h("a", { class: "key main", href: ctx.href({ words: ["list"] }, held.job) }, "Open the job")
          : h(
              "button",
              { type: "button", class: "key main", onclick: () => keep(held, token) },
              told.known || told.disputed ? "Add to the job here" : token ? "Keep a copy" : "Keep this job",
            ),
        h("a", { class: "key", href: "#/" }, nothing ? "All jobs" : "Discard"),
      ),
      nothing
        ? ""
        : h("p", {
            class: "where",
            text: "Keep it to add readings. “Send this job” then returns them to the shop.",
          }),
      whole,
    );
    // Without a network the part that shows it whole may not be here; keeping does not need it.
    if (!nothing)
      import("./shop/open-look.js").then(
        ({ lookAt }) => whole.append(lookAt(ctx, all)),
        () => {},
      );
  }

  async function byToken(token) {
    const { bundleOf, leftOf, passing } = await byLink(ctx);
    waits.textContent = "Getting the job…";
    try {
      await show(await bundleOf(token), token);
    } catch (error) {
      if (error.name !== "ShortLinkError") throw error;
      wrong.textContent = error.message;
      const left = await leftOf(ctx, token);
      place.replaceChildren(
        ...(left ? [left] : []),
        passing(error.code)
          ? h(
              "div",
              { class: "keys" },
              h(
                "button",
                { type: "button", class: "key main", onclick: () => read(() => byToken(token)) },
                "Try again",
              ),
            )
          : "",
      );
    } finally {
      waits.textContent = "";
    }
  }

  /** Work on a link; what is wrong with it is said, what was shown before is gone. */
  async function read(work) {
    wrong.textContent = "";
    place.replaceChildren();
    try {
      await work();
    } catch (error) {
      wrong.textContent = error.detail ?? error.message;
    }
  }

  const take = (event) => {
    event.preventDefault();
    const text = pasted.value.trim();
    if (!text) {
      wrong.textContent = "Paste the whole link.";
      return;
    }
    read(async () => {
      const token = text.includes("#link=") ? (await byLink(ctx)).tokenOf(text) : "";
      await (token ? byToken(token) : show(ctx.files.unpack(text)));
    });
  };
  const token = ctx.words[0] === "link" ? ctx.address.cameIn("link") : "";
  if (token) read(() => byToken(token));
  else if (ctx.address.carriesJob(location.hash)) read(() => show(ctx.files.unpack(location.hash)));
  const came = Boolean(token) || ctx.address.carriesJob(location.hash);
  const title = came ? "A job by link" : "Paste a job link";
  return {
    title,
    fresh() {},
    node: h(
      "div",
      { class: "start share" },
      h("h1", { text: title }),
      waits,
      wrong,
      place,
      h(
        "form",
        { class: "new", onsubmit: take },
        h("label", { for: "pasted", text: came ? "Another link" : "Link" }),
        pasted,
        h("button", { class: "key" }, "Open the link"),
      ),
    ),
  };
}
