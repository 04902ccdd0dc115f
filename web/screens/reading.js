/* One reading: gauge on the datum, gauge on the arm, tape or scale; typed with the arm moving on the drawing.

   Writes a new reading, or one that corrects the old one. The pose, the test it belongs to and the entry it
   replaces come with the route. Every key is kept at once as a draft. */

import { readingsOf, said } from "../work/sheet.js";
import { outside } from "../work/bounds.js";
import { pickOne } from "../parts/dialog.js";
import { h, say } from "../parts/dom.js";
import { field, stateOf } from "../parts/field.js";
import { keyPad } from "../parts/keypad.js";
import { signKeys } from "../parts/signs.js";
import { obstacle } from "../parts/tilt.js";
import { sideView } from "../parts/side-view.js";
import { wordsIn } from "../work/units.js";
import { after, afterInSeries, poseOf, readRoute } from "../work/guide.js";
import { nudges } from "../work/nudges.js";
import { plannedHanging } from "../work/promise.js";
import { ahead } from "./reading-ahead.js";
import { draftKey, readingBody, sameFigures } from "../work/reading-draft.js";
import { pictureOf } from "./reading-picture.js";
import { queried } from "./reading-query.js";
import { before } from "../parts/repeats.js";
import { TAIL } from "../work/questions.js";
import { READINGS, nameOf, poseWords, teardownWords, titleOf, whereOf } from "../work/readings.js";
import { shouldRead } from "../work/reading-query.js";

const HOW = [
  {
    value: "datum",
    label: "Datum first",
    text: "Read the gauge on the datum (the sill's edge), then on the arm, the same way round.",
  },
  {
    value: "body",
    label: "Zeroed on it",
    text: "The gauge was set to zero on the datum, so the arm's reading stands alone.",
  },
  {
    value: "gravity",
    label: "No datum",
    text: "Only the difference between the sides will count: the body's own slope stays unknown.",
  },
];

/** How the gauge was used, from an entry or from the last angle read. */
function howBefore(sheet, entry) {
  const last = entry ?? sheet.readings.filter((r) => READINGS[r.what].signed).at(-1);
  if (!last) return "datum";
  return last.datum !== undefined ? "datum" : (last.reference ?? "body");
}

/** Screens of a teardown, which judge a reading themselves. */
const STEPS = ["teardown", "propped"];

/** The way to the phone as gauge, where this may be a phone. */
function byPhone(ctx, what, side) {
  if (!matchMedia("(pointer: coarse)").matches || obstacle() === "missing") return null;
  return h(
    "a",
    { class: "key small phone-key", href: ctx.href({ words: ["gauge", what, side], query: ctx.query }) },
    "By phone",
  );
}

/** The screen of one reading. */
export function reading(ctx) {
  const [, what, side] = ctx.words;
  const kind = READINGS[what];
  if (!kind || !["left", "right"].includes(side)) return null;
  const entry = ctx.query.entry ? ctx.sheet.readings.find((r) => r.id === ctx.query.entry) : null;
  const pose = entry ? entry.pose : poseOf(ctx.query);
  const teardown = entry ? (entry.teardown ?? 0) : Number(ctx.query.after ?? ctx.sheet.teardowns);
  const key = draftKey({ what, side, entry: entry?.id, pose, teardown });
  const typed = ctx.drafts.draft(ctx.job, key) ?? {};
  let how = typed.how ?? (kind.signed ? howBefore(ctx.sheet, entry) : "body");
  let active = "arm";

  const change = () => {
    ctx.kept(() => ctx.drafts.keep(ctx.job, key, { how, arm: arm.state(), datum: datum?.state(), phone: typed.phone }));
    follow();
    foreseen.soon();
  };
  const make = (name, label, first) =>
    field({
      label,
      unit: kind.unit,
      nudge: kind.nudge,
      ways: kind.signed ? TAIL : undefined,
      state: first,
      onchange: change,
      onnext: () => next(),
      onactive: () => activate(name),
    });
  const datum = kind.signed ? make("datum", "Datum", typed.datum ?? stateOf(entry?.datum, true)) : null;
  const arm = make(
    "arm",
    kind.signed ? "Arm" : nameOf({ what, side, pose }),
    typed.arm ?? stateOf(entry?.value, kind.signed),
  );
  const now = () => (active === "datum" ? datum : arm);

  const checking = h("p", { class: "checking", role: "status" });
  const should = h("p", { class: "should" });
  const planned = what === "hanging-angle" && teardown > 0 && !entry ? plannedHanging(ctx.sheet, side, teardown) : null;
  const view = sideView(pictureOf({ ctx, what, side, pose, how: "body", active, arm, datum }));
  const signs = kind.signed ? signKeys({ ways: TAIL, side, sign: null, onturn: (sign) => now().turn(sign) }) : null;
  const hows = kind.signed ? h("button", { type: "button", class: "key small how-key", onclick: ask }) : null;
  async function ask() {
    how = (await pickOne({ title: "How is the gauge used?", options: HOW, chosen: how })) ?? how;
    change();
    (how === "datum" && datum.value() === null ? datum : arm).input.focus();
  }

  function activate(name) {
    active = name;
    follow();
  }
  function follow() {
    signs?.show(now().state().sign);
    datum?.node.classList.toggle("away", how !== "datum");
    for (const [name, each] of Object.entries({ datum, arm }))
      each?.node.classList.toggle("active", name === active && how === "datum");
    view.show(pictureOf({ ctx, what, side, pose, how, active, arm, datum }));
    should.textContent = how === "gravity" ? "" : shouldRead(planned, how === "datum" ? datum.value() : 0);
    hows?.replaceChildren(
      h("span", { class: "unseen", text: "Gauge: " }),
      HOW.find((each) => each.value === how).label,
    );
    pad.querySelector('[data-press="second"]')?.replaceChildren(arm.size() === null && optional ? "Skip" : "Again");
  }

  const given = () => (how === "datum" ? [datum, arm] : [arm]);
  /** Whether everything is typed and within bounds; tells what is not. */
  function complete() {
    for (const each of given()) {
      if (each.value() === null) {
        each.input.focus();
        each.tell(
          each.size() === null
            ? "Type what it reads first."
            : `Tail down or tail up? Look at the ${each === datum ? "gauge" : "arm"}, then choose.`,
        );
        return false;
      }
      const wrong = outside(`log.value.${what}`, each.value(), wordsIn(kind.unit));
      if (wrong) {
        each.input.focus();
        each.tell(wrong);
        return false;
      }
    }
    return true;
  }
  const written = () =>
    readingBody({
      what, side, pose, teardown, entry, how, typed, resettled: ctx.query.resettled,
      arm: { value: arm.value(), state: arm.state() },
      datum: datum && { value: datum.value(), state: datum.state() },
    }); // prettier-ignore
  async function save() {
    if (!complete()) return false;
    foreseen.stop();
    const body = written();
    const same = entry && sameFigures(entry, body);
    const had = new Set(ctx.entries().map((each) => each.id));
    if (!same && !(await ctx.save([["reading", body]], { said: nameOf(body) }))) return false;
    ctx.drafts.drop(ctx.job, key);
    ctx.solved(entry?.id);
    say(`${nameOf(body)}: entered`);
    // The teardown's own step judges what hangs free; everything else is asked about here.
    if (same || STEPS.includes(ctx.query.from?.split("/")[0])) return "on";
    const kept = ctx
      .entries()
      .filter((each) => each.kind === "reading" && !had.has(each.id))
      .at(-1);
    return kept ? queried(ctx, kept.id, () => (checking.textContent = "Kept. Checking it against the rest")) : "on";
  }
  const onward = () => {
    if (ctx.query.from) return ctx.go({ words: ctx.query.from.split("/") });
    if (ctx.query.series) return ctx.go(afterInSeries(ctx.sheet, ctx.query.series, { what, side, pose }));
    return ctx.go(after(ctx.sheet, ctx.words));
  };
  const anew = () => {
    const route = readRoute({ what, side, pose, series: ctx.query.series, teardown, resettled: ctx.query.resettled });
    ctx.go(
      { ...route, query: { ...route.query, ...(ctx.query.from ? { from: ctx.query.from } : {}) } },
      { replace: true },
    );
  };
  async function next() {
    if (how === "datum" && active === "datum" && arm.value() === null && datum.value() !== null)
      return arm.input.focus();
    const done = await save();
    // Who has gone elsewhere meanwhile is not fetched back.
    if (!done || !view.isConnected) return undefined;
    return done === "again" ? anew() : onward();
  }
  async function second() {
    if (arm.size() === null && optional) return onward();
    return (await save()) && view.isConnected ? anew() : undefined;
  }

  const foreseen = ahead(ctx, written);
  const optional = what === "riding-angle" || Boolean(ctx.query.series) || teardown > 0;
  const labels = { ...nudges(kind), second: entry ? null : "Again" };
  const pad = keyPad(labels, (press) => {
    if (press === "next") return next();
    if (press === "second") return second();
    now().press(press);
    return say(now().spoken());
  });
  const shown = (state) => (state?.text ? `${state.sign} ${state.text}` : "");
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, key) !== null
    && (shown(arm.state()) !== shown(stateOf(entry?.value, kind.signed)) || shown(datum?.state()) !== shown(stateOf(entry?.datum, true)))); // prettier-ignore
  const refused = entry && ctx.problemAt(entry.id);
  if (refused) (refused.path.endsWith(".datum") ? datum : arm)?.tell(refused.detail);
  const first = how === "datum" && datum?.value() === null ? datum : arm;
  activate(first === datum ? "datum" : "arm");

  const stance = [poseWords(pose, what), teardown || ctx.sheet.teardowns ? teardownWords(teardown) : ""]
    .filter(Boolean)
    .join("; ");
  const earlier = before(ctx, readingsOf(ctx.sheet, { what, side, pose: pose ?? {}, teardown }), entry);
  const phone = kind.signed ? byPhone(ctx, what, side) : null;
  return {
    title: nameOf({ what, side, pose }),
    focus: first.input,
    fresh() {},
    node: h(
      "div",
      { class: `ask ${side}` },
      h(
        "div",
        { class: "lead" },
        h(
          "div",
          { class: "asked" },
          h("h1", null, titleOf({ what, pose }), ", ", h("b", { class: `side-name ${side}`, text: side })),
          stance ? h("p", { class: "stance", text: stance }) : null,
          h("p", { class: "where", text: whereOf({ what, pose }) }),
        ),
        hows && h("div", { class: "hows" }, hows, earlier ? null : phone),
        should,
        earlier && h("div", { class: "earlier" }, earlier, phone),
      ),
      h("div", { class: "drawing" }, view, checking),
      h("div", { class: "typing" }, h("div", { class: "fields" }, datum?.node, arm.node), signs?.node, pad),
    ),
  };
}
