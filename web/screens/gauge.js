/* The phone as gauge: laid on the body, then on the arm, each turned end for end; the figures then go to the
   reading's own screen, where they are seen, changed or saved. Where there is no sensor it says so and leads back to
   the keys.

   Which edge the phone lies on is its holder's choice; it must be the same one both ways, or its zero error stays
   in. */

import { h, s, say } from "../parts/dom.js";
import { angleReading } from "../parts/draw/angle.js";
import { stateOf } from "../parts/field.js";
import { phoneView } from "../parts/phone-view.js";
import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { hold, mayAsk, obstacle, permitted, watchTilt } from "../parts/tilt.js";
import { LARGEST_ZERO_DEG, figures } from "../work/gauge-figures.js";
import { poseOf } from "../work/guide.js";
import { NINETY, angle, plain, way } from "../work/numbers.js";
import { afterStage } from "../work/promise.js";
import { draftKey } from "../work/reading-draft.js";
import { armsAcross, seenOf } from "../work/adjuster.js";
import { READINGS, SIDES, nameOf, poseWords, titleOf } from "../work/readings.js";
import { lie, longEdge } from "../work/tilt.js";
import { named } from "../work/this-device.js";

/** @typedef {"datum" | "arm"} On */
/** @typedef {"along" | "across"} Way */
/** @typedef {"tail" | "front"} Top */
/** @typedef {import("../work/tilt.js").Lying} Lying */
/** @typedef {import("../work/tilt.js").Hold & {tilt: Lying}} Held */
/** @typedef {Partial<Record<Top, Held>>} Holds */
/** @typedef {{node: HTMLElement, progress: (part: number) => void, angle: (value: number) => void}} Ring */
/** @typedef {Omit<Parameters<typeof shell>[0], "title" | "side">} Page */
/**
 * What is read, and how far it is: `show` draws a page of it.
 * @typedef {{ctx: any, what: import("../types/sheet.d.ts").What, side: "left" | "right", pose: any,
 *   teardown: number, back: any,
 *   show: (page: Page) => ReturnType<typeof shell>, holds: Record<On, Holds>, steps: [On, Top][], at: number,
 *   tilt: Lying | null, previous: Lying | null, live: ((found: Lying) => void) | null, stopHold: () => void,
 *   stopTilt: () => void, silence: ReturnType<typeof setTimeout> | undefined, asked: boolean}} Work
 */

const SILENCE_MS = 1500;
/** @type {[On, Top][]} */
const STEPS = [
  ["datum", "tail"],
  ["datum", "front"],
  ["arm", "tail"],
  ["arm", "front"],
];

/** @type {Record<string, string>} */
const WHY = {
  insecure:
    "The browser gives the tilt sensor to trusted addresses only, and this page came by a plain one. " +
    "Open it at the shop’s https address, or use a gauge.",
  missing: "This browser has no tilt sensor. Use a gauge, or another phone.",
  silent: "No tilt sensor answers here. Use a gauge, or another phone.",
  denied:
    "The tilt sensor was not allowed. Allow motion sensors for this page in the browser’s settings, or use a gauge.",
};
const SAID = {
  title: (/** @type {string} */ title) => `${title} by phone`,
  which: (/** @type {On} */ on, /** @type {boolean} */ turned, /** @type {number} */ n, /** @type {number} */ of) =>
    `${on === "datum" ? "Body" : "Arm"}, ${turned ? "turned" : "first way"}: ${n} of ${of}`,
  onBody: (/** @type {string} */ top, /** @type {string} */ edge) =>
    `Screen to you: hold the phone’s long edge up against the ${edge}, its top to the ${top}.`,
  onArm: (/** @type {string} */ top) => `Lay it on the arm, the same edge down as on the body, its top to the ${top}.`,
  onArmOnly: (/** @type {string} */ top) => `Screen to you: lay its long edge on the arm, its top to the ${top}.`,
  turn: "Turn it end for end, the same edge down: the screen then faces the car. The phone shakes when it has read.",
  type: ["Type it", "Type it instead"],
  still: ["It lies still", "read"],
  turning: ["I turn it now", "then let it lie"],
  hold: "Let it lie still",
  holdTurned: "Turn it, then let it lie still",
  skip: ["Skip the turns", "One way only: less sure."],
  edge: { along: "door sill", across: "cross member" },
  top: { along: { tail: "tail", front: "front" }, across: { tail: "wheel", front: "middle of the car" } },
  at: (/** @type {Way} */ axis, /** @type {string} */ side) =>
    axis === "across" ? "As seen from the front." : `As seen at the ${side} wheel.`,
  noBody: { along: "No sill within reach", across: "No cross member within reach" },
  noBodySmall: "Arm only: just the left–right difference is used.",
  otherEdge: (/** @type {string} */ was, /** @type {string} */ is) =>
    `It lay on its ${was} before and lies on its ${is} now. Keep the same one down, or its error stays in.`,
  notTurned: "Both ways read nearly the same, so it was hardly turned end for end. Turn it and read again.",
  asks: "{Here} asks before it shows its tilt sensor.",
  allow: "Allow the tilt sensor",
  waiting: "Waiting for the tilt sensor",
  againstBody: (/** @type {string} */ arm, /** @type {string} */ body) => `Arm to body: arm ${arm}, body ${body}.`,
  armOnly: "Arm only: just the left–right difference will count.",
  zeroGone: (/** @type {string} */ zero) => `Turned end for end. The phone’s own zero error, ${zero}, has dropped out.`,
  zeroDrops: "One way only. The zero error drops out, for body and arm were read the same way round.",
  zeroStays: "One way only, with the phone’s zero error in it.",
  use: "Use it",
  again: ["Read it all again", ""],
  heard: (/** @type {string} */ net, /** @type {string} */ spread) => `${net}, plus or minus ${spread} degrees`,
};
const RING = 2 * Math.PI * 54;

/** The ring that fills while the phone lies still, the angle in it. @returns {Ring} */
function ring() {
  const full = s("circle", {
    class: "full",
    cx: 64,
    cy: 64,
    r: 54,
    "stroke-dasharray": RING,
    "stroke-dashoffset": RING,
  });
  const text = h("p", { class: "angle" });
  const empty = s("circle", { class: "empty", cx: 64, cy: 64, r: 54 });
  const node = h(
    "div",
    { class: "hold-ring" },
    s("svg", { viewBox: "0 0 128 128", "aria-hidden": "true" }, empty, full),
    text,
  );
  return {
    node,
    progress: (part) => {
      full.setAttribute("stroke-dashoffset", String(RING * (1 - part)));
      node.dataset.progress = part.toFixed(2);
    },
    angle: (value) => (text.textContent = angle(value)),
  };
}

/** The way back to the keys, as the quiet key. @param {Work} work */
const typeIt = ({ ctx, back }) => ({ words: SAID.type[0], heard: SAID.type[1], href: ctx.href(back) });

/** Why there is no phone as gauge here. @param {Work} work @param {string} why */
function fallback(work, why) {
  work.stopTilt();
  work.show({
    body: [h("p", { class: "refused", role: "alert", text: WHY[why] })],
    main: { words: SAID.type[1], href: work.ctx.href(work.back) },
  });
}

/** Ask for the sensor by a tap. @param {Work} work */
function askFirst(work) {
  work.asked = true;
  const allow = async () => ((await permitted()) ? begin(work) : fallback(work, "denied"));
  work.show({
    body: [h("p", { text: named(SAID.asks) })],
    quiet: typeIt(work),
    main: { words: SAID.allow, ontap: allow },
  });
}

/** Listen to the sensor; the first laying is drawn once it answers. @param {Work} work */
function begin(work) {
  work.stopTilt();
  work.stopTilt = watchTilt((found) => {
    const first = work.tilt === null;
    work.tilt = found;
    if (first) {
      clearTimeout(work.silence);
      draw(work);
    }
    work.live?.(found);
  });
  work.silence = setTimeout(() => (mayAsk() && !work.asked ? askFirst(work) : fallback(work, "silent")), SILENCE_MS);
  work.show({ body: [h("p", { role: "status", text: SAID.waiting })], quiet: typeIt(work) });
}

/** The ways out of a laying: without turning, without the body.
 * @param {Work} work @param {On} on @param {boolean} turned */
function waysOut(work, on, turned) {
  const rows = [];
  if (turned) rows.push({ words: SAID.skip[0], small: SAID.skip[1], ontap: () => oneWay(work) });
  if (on === "datum" && !turned)
    rows.push({ words: SAID.noBody[wayOf(work)], small: SAID.noBodySmall, ontap: () => armOnly(work) });
  return rows.length ? keyRows(rows) : null;
}

/** Whether the arms go along the car or across it. @param {Work} work @returns {Way} */
const wayOf = ({ ctx }) => (armsAcross(ctx.sheet.car) ? "across" : "along");

/** One laying: words, drawing, the ring, and the key that starts the hold.
 * @param {Work} work @param {string} [problem] */
function draw(work, problem = "") {
  if (work.at >= work.steps.length) return result(work);
  const [on, top] = work.steps[work.at];
  const turned = top === "front";
  const round = ring();
  work.live = (found) => round.angle(longEdge(found) * (turned ? 1 : -1));
  if (work.tilt) work.live(work.tilt);
  round.progress(0);
  const status = h("p", { class: "working", role: "status" });
  const lay = on === "datum" ? SAID.onBody : work.holds.datum.tail ? SAID.onArm : SAID.onArmOnly;
  const axis = wayOf(work);
  const words = turned ? SAID.turn : lay(SAID.top[axis][top], SAID.edge[axis]);
  const start = () => {
    status.textContent = turned ? SAID.holdTurned : SAID.hold;
    page.deck.show({ main: { words: SAID.hold, off: true } });
    take(work, round, on, top);
  };
  const [key, small] = turned ? SAID.turning : SAID.still;
  const page = work.show({
    lead: [
      h("p", { class: "which", text: SAID.which(on, turned, work.at + 1, work.steps.length) }),
      h("p", { text: words }),
      problem ? h("p", { class: "error", role: "alert", text: problem }) : null,
    ],
    picture: phoneView({ side: work.side, on, top, words: `${words} ${SAID.at(axis, work.side)}` }),
    body: [round.node, status, waysOut(work, on, turned)],
    quiet: typeIt(work),
    main: { words: key, small, ontap: start },
  });
  page.deck.main()?.focus({ preventScroll: true });
  say(words);
  return undefined;
}

/** Hold, judge what was held, go on. @param {Work} work @param {Ring} round @param {On} on @param {Top} top */
async function take(work, round, on, top) {
  // The tap itself shakes the phone: what counts is the time it then lies still.
  const after = top === "front" ? work.previous : null;
  const one = hold(() => work.tilt, { after, onprogress: round.progress });
  work.stopHold = one.stop;
  const found = await one.done;
  navigator.vibrate?.(200);
  const { holds } = work;
  const other = holds[on].tail ?? holds.datum.tail;
  if (other && lie(other.tilt) !== lie(found.tilt)) return draw(work, SAID.otherEdge(lie(other.tilt), lie(found.tilt)));
  const { tail } = holds[on];
  if (top === "front" && tail && Math.abs(tail.mean + found.mean) / 2 > LARGEST_ZERO_DEG)
    return draw(work, SAID.notTurned);
  holds[on][top] = found;
  work.previous = found.tilt;
  work.at += 1;
  return draw(work);
}

/** On without turning it. @param {Work} work */
function oneWay(work) {
  work.stopHold();
  const { holds } = work;
  work.steps = STEPS.filter(([on, top]) => top === "tail" && (on === "arm" || holds.datum.tail));
  const next = work.steps.findIndex(([on, top]) => !holds[on][top]);
  work.at = next < 0 ? work.steps.length : next;
  for (const one of Object.values(holds)) delete one.front;
  draw(work);
}

/** On without the body. @param {Work} work */
function armOnly(work) {
  work.stopHold();
  work.steps = work.steps.filter(([on]) => on === "arm");
  work.at = 0;
  draw(work);
}

/** Keep the figures as the reading's draft, and on to its own screen.
 * @param {Work} work @param {any} found of figures() */
function use({ ctx, what, side, pose, teardown, back }, found) {
  const onBody = found.datum !== null;
  const how = onBody ? "datum" : "gravity";
  const arm = stateOf(found.arm, true);
  const datum = onBody ? stateOf(found.datum, true) : undefined;
  const phone = { how, arm, datum, sd: found.sd, reversed: found.reversed, zero: found.zero };
  const key = draftKey({ what, side, entry: ctx.query.entry, pose, teardown });
  if (ctx.kept(() => ctx.drafts.keep(ctx.job, key, { how, arm, datum, phone }))) ctx.go(back, { replace: true });
}

/** What came of it. @param {Work} work */
function result(work) {
  work.live = null;
  work.stopTilt();
  const onBody = Boolean(work.holds.datum.tail);
  const found = figures(/** @type {any} */ ({ arm: work.holds.arm, datum: onBody ? work.holds.datum : undefined }));
  const net = found.arm - (found.datum ?? 0);
  const spread = plain(NINETY * found.sd, 2);
  const again = () => {
    Object.assign(work, { holds: { datum: {}, arm: {} }, steps: STEPS, at: 0, tilt: null, previous: null });
    begin(work);
  };
  const zero = found.reversed
    ? SAID.zeroGone(`${plain(found.zero ?? 0, 1)}°`)
    : onBody
      ? SAID.zeroDrops
      : SAID.zeroStays;
  const page = work.show({
    picture: angleReading({
      side: work.side,
      seen: seenOf(work.ctx.sheet.car),
      pose: work.what === "riding-angle" ? "riding" : "hanging",
      label: angle(net),
      deg: net,
      figure: `${plain(Math.abs(net), 1)}°`,
      way: way(net),
    }),
    body: [
      h("p", { class: "net" }, h("strong", { text: angle(net) }), ` ± ${spread}°`),
      h("p", { text: onBody ? SAID.againstBody(angle(found.arm), angle(found.datum ?? 0)) : SAID.armOnly }),
      h("p", { class: "where", text: zero }),
      keyRows([{ words: SAID.again[0], ontap: again }]),
    ],
    quiet: typeIt(work),
    main: { words: SAID.use, ontap: () => use(work, found) },
  });
  page.deck.main()?.focus({ preventScroll: true });
  say(SAID.heard(angle(net), spread));
}

/**
 * The screen: route words ["gauge", what, side], query as for the reading.
 * @param {any} ctx
 */
export function gauge(ctx) {
  const [, what, side] = ctx.words;
  const kind = /** @type {Record<string, any>} */ (READINGS)[what];
  if (!kind?.signed || !SIDES.includes(side)) return null;
  const pose = poseOf(ctx.query);
  const teardown = Number(ctx.query.after ?? ctx.sheet.teardowns);
  const stance = [poseWords(pose, what), teardown ? afterStage(ctx.sheet, teardown) : ""].filter(Boolean).join("; ");
  const node = h("div", { class: "by-phone" });
  const title = SAID.title(titleOf({ what, pose }));
  const show = (/** @type {Page} */ page) => {
    const front = stance ? [h("p", { class: "stance", text: stance })] : [];
    const made = shell({ facing: false, kind: "page", ...page, front, side, title });
    node.replaceChildren(made.node);
    return made;
  };
  /** @type {Work} */
  const work = {
    ctx,
    what,
    side,
    pose,
    teardown,
    show,
    back: { words: ["read", what, side], query: ctx.query },
    holds: { datum: {}, arm: {} },
    steps: STEPS,
    at: 0,
    tilt: null,
    previous: null,
    live: null,
    stopHold: () => {},
    stopTilt: () => {},
    silence: undefined,
    asked: false,
  };
  ctx.whileShown?.(() => {
    clearTimeout(work.silence);
    work.stopHold();
    work.stopTilt();
  });
  const blocked = obstacle();
  if (blocked) fallback(work, blocked);
  else begin(work);
  return { title: SAID.title(nameOf({ what, side, pose })), fresh() {}, node };
}
