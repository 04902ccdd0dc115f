/* Changes that the shop refused, each with its reason: kept here, exported, or tried again. Also contents that differ
   from another's under the same id: both are shown, nothing is thrown away; which holds is chosen at the desk. */

import { h } from "../parts/dom.js";

const content = (entry) =>
  h("pre", { class: "raw", tabindex: 0, "aria-label": "The record" }, JSON.stringify(entry.body, null, 1));

const choose = (job) => h("a", { class: "key", href: `#/desk?job=${job}` }, "Choose which to use");

function row({ entry, why, others }) {
  const where = why?.path && why.path !== "$" ? ` (${why.path})` : "";
  return h(
    "li",
    { class: "kind" },
    h("h2", { text: `${entry.kind}, ${entry.at.slice(0, 16).replace("T", " ")}` }),
    h(
      "p",
      null,
      h("strong", { text: `${why?.detail || "No reason given"}${where}` }),
      why?.code ? ` [${why.code}]` : "",
    ),
    content(entry),
    others.map((other) => [h("p", { text: "At the shop:" }), content(other)]),
    others.length ? choose(entry.job) : null,
  );
}

const KEPT =
  "These changes are saved on this phone and still count here. Correct the figure, or export them and ask at the shop.";

/** The screen. */
export function refused(ctx) {
  const place = h("div", { class: "mine" });
  let rows = [];
  async function draw() {
    const [found, other] = await Promise.all([ctx.log.refused(), ctx.files.openDisputes()]);
    rows = found;
    const differing = other.filter(({ id }) => !found.some(({ entry }) => entry.id === id));
    place.replaceChildren(
      ...(found.length ? [h("ul", null, found.map(row))] : [h("p", { text: "No change was refused." })]),
      ...(differing.length
        ? [
            h(
              "section",
              null,
              h("h2", { text: "Devices saved different values" }),
              h(
                "ul",
                null,
                differing.map(({ mine, others }) =>
                  h(
                    "li",
                    { class: "kind" },
                    h("p", { text: "Here:" }),
                    content(mine),
                    others.map(({ entry, came, at }) => [
                      h("p", { text: `From a ${came}, ${at.slice(0, 10)}:` }),
                      content(entry),
                    ]),
                    choose(mine.job),
                  ),
                ),
              ),
            ),
          ]
        : []),
    );
  }
  const out = () => {
    const made = ctx.log.stamp();
    const text = JSON.stringify(
      {
        format: "bothends-log",
        version: 1,
        made,
        device: rows[0]?.entry.device ?? "",
        entries: rows.map(({ entry }) => entry),
        refused: rows.map(({ entry, why }) => ({ id: entry.id, ...why })),
      },
      null,
      1,
    );
    ctx.files.download({ name: `bothends-refused-${made.slice(0, 10)}.json`, text });
  };
  const again = async () => {
    await ctx.log.tryAgain();
    await ctx.shop.syncNow();
  };
  draw();
  ctx.whileShown(ctx.log.listen((message) => ["entries", "marks"].includes(message.what) && draw()));
  return {
    title: "Refused by the shop",
    fresh() {},
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: "Refused by the shop" }),
      h("p", {
        class: "where",
        text: KEPT,
      }),
      h(
        "div",
        { class: "keys" },
        h("button", { type: "button", class: "key", onclick: out }, "Export"),
        h("button", { type: "button", class: "key", onclick: again }, "Try again"),
      ),
      place,
    ),
  };
}
