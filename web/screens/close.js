/* Hand-over: before and after, the teeth turned at each end, odds promised and height reached, follow-up checks to tick,
   and the entry that closes the job. A plain page that prints. */

import { cautions } from "../parts/cautions.js";
import { h } from "../parts/dom.js";
import { angle, inHundred, plain, teeth } from "../work/numbers.js";
import { length } from "../work/units.js";
import { shortDate } from "../work/dates.js";
import { SIDES } from "../work/readings.js";
import { aimWords, withinWords } from "../work/wish.js";
import { CHECKS } from "../work/checks.js";

const SAFE = [
  "Alignment and brakes are checked by someone qualified before the car goes on the road; local rules on altered ride height apply.",
  "The figures are an aid. Where the car and this page disagree, believe the car and measure again.",
];

const none = "not read";
const turns = (count) => (count ? teeth(count) : "none turned");
const height = (value) => (value == null ? none : length(value, 0));
const degrees = (value) => (value == null ? none : angle(value));

/** Teeth turned at one end over all teardowns. */
const total = (sheet, side, end) => sheet.moves.reduce((sum, move) => sum + (move[side]?.[end] ?? 0), 0);

function table(caption, head, rows) {
  return h(
    "div",
    { class: head.length > 2 ? "table many" : "table" },
    // Roles are named because on a narrow screen the rows stand under each other, and then browsers forget them.
    h(
      "table",
      { role: "table" },
      h("caption", { text: caption }),
      h(
        "thead",
        { role: "rowgroup" },
        h(
          "tr",
          { role: "row" },
          h("td", { role: "cell" }),
          head.map((text) => h("th", { scope: "col", role: "columnheader", text })),
        ),
      ),
      h(
        "tbody",
        { role: "rowgroup" },
        rows.map(([name, ...cells]) =>
          h(
            "tr",
            { role: "row" },
            h("th", { scope: "row", role: "rowheader", text: name }),
            cells.map((text, i) => h("td", { role: "cell", "data-name": head[i], text })),
          ),
        ),
      ),
    ),
  );
}

/** Whether a stage is of hand-over day, not of a reading made when the car came back. */
const ofTheDay = ({ after_km: km }) => (km ?? null) === null;

function heights({ stages }) {
  const first = stages[0];
  const last = stages.findLast(ofTheDay);
  const later = stages.findLast((stage) => !ofTheDay(stage));
  const shown = [first, last, ...(later ? [later] : [])];
  const row = (name, get, words) => [name, ...shown.map((stage) => words(get(stage)))];
  const head = [
    "As found",
    last.teardown ? `After teardown ${last.teardown}` : "Now",
    ...(later ? [`After ${plain(later.after_km, 0)} km`] : []),
  ];
  return table("Before and after", head, [
    ...SIDES.map((side) => row(`Body height, ${side}`, (s) => s.reached[`${side}_mm`], height)),
    row("Lean, left less right", (s) => s.reached.lean_mm, height),
    ...SIDES.map((side) => row(`Hanging angle, ${side}`, (s) => s.hanging_deg[side], degrees)),
    ...SIDES.map((side) => row(`Riding angle, ${side}`, (s) => s.riding_deg[side], degrees)),
  ]); // prettier-ignore
}

const turned = ({ sheet }) =>
  table(
    "Teeth turned, all teardowns together",
    ["Inner end", "Outer end"],
    SIDES.map((side) => [side, turns(total(sheet, side, "inner")), turns(total(sheet, side, "outer"))]),
  );

/** One line per teardown: what was promised and what came. */
function promises({ stages }) {
  const rows = stages
    .filter((stage) => stage.teardown > 0 && ofTheDay(stage))
    .map((stage) => {
      const { promised, reached, hit, followed } = stage;
      const odds = promised
        ? `${inHundred(promised.odds)}${followed === false ? ", other teeth turned" : ""}`
        : "no plan kept";
      const of = (side) =>
        promised[`${side}_mm`] == null
          ? none
          : `${plain(promised[`${side}_mm`], 0)} ± ${plain(promised[`${side}_sd_mm`], 0)}`;
      const wanted = promised ? `${SIDES.map(of).join(" / ")} mm` : "";
      const came =
        reached.left_mm == null || reached.right_mm == null
          ? none
          : `${plain(reached.left_mm, 0)} / ${plain(reached.right_mm, 0)} mm`;
      return [
        `Teardown ${stage.teardown}`,
        odds,
        wanted,
        came,
        hit == null ? "" : hit ? "within what was agreed" : "off by more than agreed",
      ];
    });
  return rows.length
    ? table("Promised and reached, left / right", ["Odds", "Heights promised", "Heights reached", "Verdict"], rows)
    : null;
}

function checks(ctx) {
  const done = (name) => ctx.sheet.steps.some(({ step, done: ticked }) => step === name && ticked !== false);
  const tick = ([name, text]) => {
    const box = h("input", { id: name, type: "checkbox", checked: done(name), onchange: async () => {
      if (await ctx.save([["step", { step: name, done: box.checked }]], { said: text })) ctx.redraw();
      else box.checked = !box.checked;
    } }); // prettier-ignore
    return h("li", null, h("label", { class: "key wide followup" }, box, h("span", { text })));
  };
  return h("section", null, h("h2", { text: "Follow-up checks" }), h("ul", null, CHECKS.map(tick)));
}

/** The car's constants as they stand, for its next visit; nothing where no plan can be made. */
async function learned(ctx) {
  try {
    const { answer } = await ctx.model.askForPlan(ctx.request.request);
    return { posterior: answer.posterior, learned: answer.learned };
  } catch {
    return {};
  }
}

function closing(ctx) {
  const { closed } = ctx.sheet;
  if (closed) {
    const again = async () => {
      if (await ctx.save([["strike", { entry: closed.id }]], { said: "opening the job again" })) ctx.redraw();
    };
    return h(
      "section",
      { class: "closed" },
      h(
        "p",
        null,
        h("strong", { text: `Handed over on ${shortDate(closed.at)}.` }),
        closed.text ? ` ${closed.text}` : "",
      ),
      h("button", { type: "button", class: "key", onclick: again }, "Open the job again"),
    );
  }
  const note = h("input", {
    id: "close-note",
    type: "text",
    maxlength: 2000,
    autocomplete: "off",
    placeholder: "Rides level; owner drove it",
  });
  const key = h("button", { class: "key main wide" }, "Hand over and close");
  const close = async (event) => {
    event.preventDefault();
    key.disabled = true;
    const text = note.value.trim();
    const kept = await ctx.save([["close", { ...(text ? { text } : {}), ...(await learned(ctx)) }]], {
      said: "the hand-over",
    });
    key.disabled = false;
    if (kept) ctx.redraw();
  };
  ctx.unsaved(() => note.value.trim() !== "");
  return h(
    "form",
    { class: "new closing", onsubmit: close },
    h("label", { for: "close-note", text: "A word for the record" }),
    note,
    key,
  );
}

/** The screen. */
export function close(ctx) {
  const { sheet, stages } = ctx;
  const about = [sheet.car_name || sheet.title, sheet.owner].filter(Boolean).join(", ");
  const aim = aimWords({ ...stages[0]?.target, ...sheet.target });
  const agreed = aim ? `Agreed: ${aim}, each ${withinWords(sheet.target)}.` : "";
  return {
    title: "Hand-over",
    node: h(
      "div",
      { class: "start handover" },
      h("h1", { text: "Hand-over" }),
      h("p", null, h("strong", { text: about }), sheet.wish ? `: ${sheet.wish}` : ""),
      agreed ? h("p", { text: agreed }) : null,
      stages.length ? heights(ctx) : h("p", { text: "Nothing has been read yet." }),
      turned(ctx),
      promises(ctx),
      checks(ctx),
      cautions("Before the road", SAFE),
      closing(ctx),
      h(
        "div",
        { class: "keys" },
        h("button", { type: "button", class: "key", onclick: () => print() }, "Print"),
        h("a", { class: "key", href: ctx.href({ words: ["sheet"] }) }, "Hand-over sheet on paper"),
        h("a", { class: "key", href: ctx.href({ words: ["share"] }) }, "Send this job"),
      ),
    ),
  };
}
