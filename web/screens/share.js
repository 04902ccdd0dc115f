/* Send a job: as a link that carries all its entries, or as a file. Readings come back the same way and merge. */

import { h } from "../parts/dom.js";

/** The screen. */
export function share(ctx) {
  const told = h("p", { role: "status" });
  const near = h("p", { role: "status" });
  const wrong = h("p", { class: "error", role: "alert" });
  const field = h("textarea", {
    id: "job-link",
    class: "link",
    readonly: true,
    rows: 4,
    "aria-label": "The link",
    onfocus: () => field.select(),
  });
  const title = ctx.sheet.title || "Car without a name";
  let link = "";
  try {
    link = ctx.files.linkOf(ctx.entries());
    field.value = link;
  } catch (error) {
    if (error.name !== "LinkError") throw error;
    wrong.textContent = error.message;
  }
  // A link to this machine's own address would lead others nowhere.
  ctx.need("pc").then(
    async () => {
      const base = await ctx.pc.forOthers();
      if (link && base) field.value = link = ctx.files.linkOf(ctx.entries(), base);
      else if (link)
        near.textContent = "This link has this PC’s own address. Whoever gets it pastes it into their copy of the app.";
    },
    () => {},
  );
  const send = async () => {
    try {
      await navigator.share({ title: `Bothends: ${title}`, url: link });
      told.textContent = "Passed to the app you chose.";
    } catch (error) {
      // Closing the sheet is no failure; anything else leaves copying.
      if (error.name !== "AbortError") wrong.textContent = "Sharing failed. Copy the link, or export the file.";
    }
  };
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link);
      told.textContent = "Link copied. Paste it into a message.";
    } catch {
      field.focus();
      field.select();
      told.textContent = "Copying is blocked by the browser. The link is selected: copy it by hand.";
    }
  };
  const file = async () => {
    const made = await ctx.files.exported(ctx.job);
    ctx.files.download(made);
    told.textContent = `${made.entries} records written to ${made.name}.`;
  };
  // Only with a shop, and fetched only then: what sends a job without one must stay small.
  const short = h("div", { class: "mine" });
  ctx.device
    .access()
    .then(
      (held) => held && Promise.all([import("../parts/shop/short-link.js"), ctx.need("pc")]),
      () => null,
    )
    .then(
      (found) => found && short.append(found[0].shortLinks(ctx)),
      () => {},
    );
  const key = (label, onclick, cls = "") => h("button", { type: "button", class: `key ${cls}`, onclick }, label);
  return {
    title: "Send this job",
    fresh() {},
    node: h(
      "div",
      { class: "start share" },
      h("h1", { text: "Send this job" }),
      h("p", {
        class: "where",
        text:
          "The link carries the whole job. Whoever opens it can read it and add readings, offline and without an " +
          "account. No server sees it.",
      }),
      link
        ? h(
            "div",
            { class: "keys" },
            navigator.share ? key("Send the link", send, "main") : null,
            key("Copy the link", copy, navigator.share ? "" : "main"),
          )
        : null,
      near,
      told,
      wrong,
      link ? field : null,
      short,
      h(
        "section",
        null,
        h("h2", { text: "As a file" }),
        h("p", { text: "For a job too large for a link." }),
        h("div", { class: "keys" }, key("Export this job", file)),
      ),
      h(
        "section",
        null,
        h("h2", { text: "A link sent back" }),
        h("p", { text: "Open or paste it: its new readings are added to this job." }),
        h("div", { class: "keys" }, h("a", { class: "key", href: "#/open" }, "Paste a link")),
      ),
    ),
  };
}
