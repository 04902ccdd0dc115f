/* What has been read: every reading, move and answer of a job, each a key that opens it. Also the rail on a PC. */

import { choice } from "../parts/choice.js";
import { h } from "../parts/dom.js";
import { conflicts } from "../parts/conflicts.js";
import { short } from "../work/numbers.js";
import { lengthsIn, wordsIn } from "../work/units.js";
import { readRoute } from "../work/guide.js";
import { CAR, TARGET } from "../work/questions.js";
import { KINDS, READINGS, SIDES, howOf, poseWords, teardownWords, titleOf, valueOf } from "../work/readings.js";
import { at, poseKey, readingsOf } from "../work/sheet.js";
import { spreadOf } from "../parts/repeats.js";
import { moveWords, wordsOf } from "../work/conflicts.js";

const AXLES = [
  { value: "trailing", label: "Trailing" },
  { value: "semi-trailing", label: "Semi-trailing" },
  { value: "swing", label: "Swing" },
];

const withFrom = (route) => ({ ...route, query: { ...route.query, from: "list" } });

function answerRow(ctx, question) {
  const value = at(ctx.sheet, question.path);
  const given = value === undefined ? (question.assumed ? `assumed ${lengthsIn(question.assumed)}` : "to be asked") : question.ways
    ? `${short(Math.abs(value))}${question.unit} ${value === 0 ? "" : question.ways[value > 0 ? 0 : 1]}`
    : wordsIn(question.unit)(value); // prettier-ignore
  return h(
    "li",
    null,
    h(
      "a",
      { class: "key wide entry", href: ctx.href(withFrom({ words: ["ask", question.key] })) },
      h("span", { text: question.title }),
      h("strong", { class: value === undefined ? "assumed" : "", text: given }),
    ),
  );
}

function readingKey(ctx, reading) {
  const route = withFrom(readRoute({ ...reading, entry: reading.id }));
  return h(
    "a",
    { class: "key entry", href: ctx.href(route), title: howOf(reading) },
    h("strong", { text: valueOf(reading) }),
    h("span", { class: "how", text: howOf(reading) }),
  );
}

/** One kind in one pose: left and right, repeats under each other, their spread, and a key to read again. */
function kindRow(ctx, what, pose, teardown) {
  const side = (name) => {
    const readings = readingsOf(ctx.sheet, { what, side: name, pose, teardown });
    return h(
      "div",
      { class: `half ${name}` },
      h("span", { class: `side-name ${name}`, text: name }),
      readings.map((reading) => readingKey(ctx, reading)),
      readings.length > 1 ? h("span", { class: "spread", text: spreadOf(readings) }) : null,
      h(
        "a",
        {
          class: "key small again",
          href: ctx.href(withFrom(readRoute({ what, side: name, pose, teardown }))),
          "aria-label": `${readings.length ? "read again" : "read"}: ${READINGS[what].title}, ${name}`,
        },
        readings.length ? "Again" : "Read",
      ),
    );
  };
  const stance = poseWords(pose, what);
  return h(
    "li",
    { class: "kind" },
    h("h3", { text: titleOf({ what, pose }) + (stance ? `, ${stance}` : "") }),
    h("div", { class: "halves" }, SIDES.map(side)),
  );
}

function round(ctx, teardown) {
  const mine = ctx.sheet.readings.filter((r) => (r.teardown ?? 0) === teardown);
  const rows = KINDS.flatMap((what) => {
    const poses = new Map(mine.filter((r) => r.what === what).map((r) => [poseKey(r.pose), r.pose ?? {}]));
    if (!poses.size && ["hanging-angle", "riding-angle", "body-height"].includes(what)) poses.set(poseKey({}), {});
    return [...poses.values()].map((pose) => kindRow(ctx, what, pose, teardown));
  });
  const move = ctx.sheet.moves.find((m) => m.teardown === teardown);
  return h(
    "section",
    { class: "round" },
    h("h2", { text: `Readings ${teardownWords(teardown)}` }),
    move
      ? h(
          "a",
          { class: "key wide entry", href: ctx.href({ words: ["move"], query: { entry: move.id } }) },
          h("span", { text: `Teeth turned, teardown ${teardown}` }),
          h("strong", { text: moveWords(move) }),
        )
      : null,
    h("ul", null, rows),
  );
}

function axle(ctx) {
  return h(
    "div",
    { class: "axle" },
    h("h3", { text: "Axle" }),
    choice({ name: "axle", legend: "Kind of axle", options: AXLES, chosen: ctx.sheet.car.axle ?? "trailing", onchoose: async (value) => {
      await ctx.save([["car", { axle: value }]], { said: "the kind of axle" });
      ctx.redraw();
    } }),
  ); // prettier-ignore
}

/** Readings and moves that no longer hold, struck or corrected; nothing is erased. */
function struck(ctx) {
  const { readings, moves, puzzles } = ctx.sheet;
  const shown = new Set([...readings, ...moves, ...puzzles].flatMap((row) => [row.id, ...(row.also ?? [])]));
  const gone = ctx.entries().filter(({ id, kind }) => (kind === "reading" || kind === "move") && !shown.has(id));
  if (!gone.length) return null;
  return h(
    "details",
    null,
    h("summary", { text: `Struck out: ${gone.length}` }),
    h(
      "ul",
      { class: "struck" },
      gone.map((entry) => h("li", null, h("s", { text: wordsOf(entry) }))),
    ),
  );
}

/** The whole list as one element. */
export function book(ctx) {
  const { sheet } = ctx;
  const kind = sheet.car.axle ?? "trailing";
  const asked = [...CAR, ...TARGET].filter((question) => question.needed);
  const assumed = [...TARGET, ...CAR].filter((q) => !q.needed && (!q.axles || q.axles.includes(kind)));
  const rounds = [];
  for (let n = sheet.teardowns; n >= 0; n -= 1) rounds.push(round(ctx, n));
  return [
    conflicts(ctx),
    ...rounds,
    h(
      "section",
      null,
      h("h2", { text: "Car and wish" }),
      h(
        "ul",
        null,
        asked.map((question) => answerRow(ctx, question)),
      ),
    ),
    h(
      "section",
      null,
      h("h2", { text: "Assumed until you know better" }),
      axle(ctx),
      h(
        "ul",
        null,
        assumed.map((question) => answerRow(ctx, question)),
      ),
    ),
    struck(ctx),
  ];
}

/** The screen. */
export function list(ctx) {
  const way = (label, to) => h("a", { class: "key", href: ctx.href({ words: [to] }) }, label);
  return {
    title: "What has been read",
    node: h(
      "div",
      { class: "list" },
      h("h1", { text: "What has been read" }),
      h(
        "div",
        { class: "keys" },
        h("a", { class: "key main", href: ctx.href({ words: ["plan"] }) }, "Plan"),
        h("a", { class: "key", href: ctx.href({ words: ["add"] }) }, "Read something else"),
        way("Hand over", "close"),
        way("Send this job", "share"),
        way("Car, owner, wish", "about"),
      ),
      ctx.sheet.puzzles.length
        ? h("p", {
            class: "refused",
            text: `Entries kept but not taken into account: ${ctx.sheet.puzzles.map(({ text }) => text).join("; ")}.`,
          })
        : null,
      ctx.sheet.clocks.length
        ? h("p", {
            class: "where",
            text: `A clock went back while this job was written (${ctx.sheet.clocks.length === 1 ? "one entry" : `${ctx.sheet.clocks.length} entries`}). The order of the entries is right all the same.`,
          })
        : null,
      book(ctx),
    ),
  };
}
