/* The phone as gauge: laid on the datum, then on the arm, each turned end for end; the figures then go to the reading's own
   screen, where they are seen, changed or entered. Where there is no sensor it says so and leads back to the keys.

   Which edge the phone lies on is its holder's choice; it must be the same one both ways, or its zero error stays in. */

import { h, s, say } from "../parts/dom.js";
import { stateOf } from "../parts/field.js";
import { NINETY, angle, plain } from "../work/numbers.js";
import { phoneView } from "../parts/phone-view.js";
import { hold, mayAsk, obstacle, permitted, watchTilt } from "../parts/tilt.js";
import { LARGEST_ZERO_DEG, figures } from "../work/gauge-figures.js";
import { poseOf } from "../work/guide.js";
import { draftKey } from "../work/reading-draft.js";
import { READINGS, nameOf, poseWords, teardownWords } from "../work/readings.js";
import { lie, longEdge } from "../work/tilt.js";

const SILENCE_MS = 1500;
const STEPS = [["datum", "tail"], ["datum", "front"], ["arm", "tail"], ["arm", "front"]]; // prettier-ignore
const WHY = {
  insecure:
    "The browser gives the tilt sensor to trusted addresses only, and this page came by a plain one. Open it at the shop's https address, or use a gauge.",
  missing: "This browser has no tilt sensor. Use a gauge, or a phone.",
  silent: "No tilt sensor answers here. Use a gauge, or another phone.",
  denied:
    "The tilt sensor was not allowed. Allow motion sensors for this page in the browser's settings, or use a gauge.",
};
const RING = 2 * Math.PI * 54;

/** The ring that fills while the phone lies still, the angle in it. */
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
  const svg = s(
    "svg",
    { viewBox: "0 0 128 128", "aria-hidden": "true" },
    s("circle", { class: "empty", cx: 64, cy: 64, r: 54 }),
    full,
  );
  const node = h("div", { class: "hold-ring" }, svg, text);
  return {
    node,
    progress: (part) => {
      full.setAttribute("stroke-dashoffset", RING * (1 - part));
      node.dataset.progress = part.toFixed(2);
    },
    angle: (value) => (text.textContent = value === null ? "–" : angle(value)),
  };
}

const whereWords = (on, top) =>
  on === "datum"
    ? `Screen to you: hold the phone's long edge against the datum, its top to the ${top}.`
    : `Lay it on the arm, the same edge down as on the datum, its top to the ${top}.`;
const TURNED =
  "Turn it end for end, the same edge down: the screen then faces the car. The phone shakes when it has read.";

/** The screen: route words ["gauge", what, side], query as for the reading. */
export function gauge(ctx) {
  const [, what, side] = ctx.words;
  const kind = READINGS[what];
  if (!kind?.signed || !["left", "right"].includes(side)) return null;
  const entry = ctx.query.entry;
  const pose = poseOf(ctx.query);
  const teardown = Number(ctx.query.after ?? ctx.sheet.teardowns);
  const back = { words: ["read", what, side], query: ctx.query };
  const title = nameOf({ what, side, pose });
  const place = h("div", { class: "gauge" });
  const stance = [poseWords(pose, what), teardown ? teardownWords(teardown) : ""].filter(Boolean).join("; ");
  const node = h(
    "div",
    { class: "work" },
    h("h1", null, `${title.split(",")[0]}, `, h("b", { class: `side-name ${side}`, text: side }), ", by phone"),
    stance ? h("p", { class: "stance", text: stance }) : null,
    place,
  );

  const holds = { datum: {}, arm: {} };
  let steps = STEPS;
  let at = 0;
  let tilt = null;
  let previous = null;
  let stopHold = () => {};
  let stopTilt = () => {};
  let silence = 0;
  let asked = false;
  ctx.whileShown?.(() => {
    clearTimeout(silence);
    stopHold();
    stopTilt();
  });
  const key = (label, onclick, cls = "key wide") => h("button", { type: "button", class: cls, onclick }, label);
  const typeIt = () => h("a", { class: "key wide", href: ctx.href(back) }, "Type it instead");

  function fallback(why) {
    stopTilt();
    place.replaceChildren(
      h("p", { class: "refused", role: "alert", text: WHY[why] }),
      h("a", { class: "key main wide", href: ctx.href(back) }, "Type it instead"),
    );
  }

  function askFirst() {
    asked = true;
    const allow = async () => ((await permitted()) ? begin() : fallback("denied"));
    place.replaceChildren(
      h("p", { text: "This phone asks before it shows its tilt sensor." }),
      key("Allow the tilt sensor", allow, "key main wide"),
      typeIt(),
    );
  }

  function begin() {
    stopTilt();
    stopTilt = watchTilt((found) => {
      const first = tilt === null;
      tilt = found;
      if (first) {
        clearTimeout(silence);
        draw();
      }
      live?.(found);
    });
    silence = setTimeout(() => (mayAsk() && !asked ? askFirst() : fallback("silent")), SILENCE_MS);
    place.replaceChildren(h("p", { role: "status", text: "Waiting for the tilt sensor" }));
  }

  let live = null;

  /** One laying: drawing, words, the ring, and the key that starts the hold. */
  function draw(problem = "") {
    if (at >= steps.length) return result();
    const [on, top] = steps[at];
    const turned = top === "front";
    const round = ring();
    const status = h("p", { class: "working", role: "status" });
    live = (found) => round.angle(longEdge(found) * (turned ? 1 : -1));
    live(tilt);
    round.progress(0);
    const start = key(turned ? "I turn it now" : "It lies still: read", () => {
      start.disabled = true;
      status.textContent = turned ? "Turn it, then let it lie still" : "Let it lie still";
      take(round, on, top);
    }, "key main wide"); // prettier-ignore
    const words = turned ? TURNED : whereWords(on, top);
    place.replaceChildren(
      h("p", {
        class: "which",
        text: `${on === "datum" ? "Datum" : "Arm"}, ${turned ? "turned" : "first way"}: ${at + 1} of ${steps.length}`,
      }),
      phoneView({ side, on, top, words: `${words} As seen at the ${side} wheel.` }),
      h("p", { text: words }),
      ...(problem ? [h("p", { class: "error", role: "alert", text: problem })] : []),
      round.node,
      status,
      start,
      ...(turned ? [key("Skip the turns: one way only", oneWay)] : []),
      ...(on === "datum" && !turned ? [key("No datum within reach", noDatum)] : []),
      typeIt(),
    );
    start.focus({ preventScroll: true });
    say(words);
    return undefined;
  }

  async function take(round, on, top) {
    // The tap itself shakes the phone: what counts is the time it then lies still.
    const one = hold(() => tilt, { after: top === "front" ? previous : null, onprogress: round.progress });
    stopHold = one.stop;
    const found = await one.done;
    navigator.vibrate?.(200);
    const other = holds[on].tail ?? holds.datum.tail;
    if (other && lie(other.tilt) !== lie(found.tilt)) {
      return draw(
        `It lay on its ${lie(other.tilt)} before and lies on its ${lie(found.tilt)} now. Keep the same one down, or its error stays in.`,
      );
    }
    if (top === "front" && Math.abs(holds[on].tail.mean + found.mean) / 2 > LARGEST_ZERO_DEG) {
      return draw("Both ways read nearly the same, so it was hardly turned end for end. Turn it and read again.");
    }
    holds[on][top] = found;
    previous = found.tilt;
    at += 1;
    return draw();
  }

  function oneWay() {
    stopHold();
    steps = STEPS.filter(([, top]) => top === "tail");
    if (!holds.datum.tail) steps = steps.filter(([on]) => on === "arm");
    at = steps.findIndex(([on, top]) => !holds[on][top]);
    if (at < 0) at = steps.length;
    for (const on of ["datum", "arm"]) delete holds[on].front;
    draw();
  }
  function noDatum() {
    stopHold();
    steps = steps.filter(([on]) => on === "arm");
    at = 0;
    draw();
  }

  /** What came of it, and on to the reading's own screen. */
  function result() {
    live = null;
    stopTilt();
    const datumRead = Boolean(holds.datum.tail);
    const found = figures({ arm: holds.arm, datum: datumRead ? holds.datum : null });
    const net = found.arm - (found.datum ?? 0);
    const use = () => {
      const how = datumRead ? "datum" : "gravity";
      const phone = {
        how,
        arm: stateOf(found.arm, true),
        datum: datumRead ? stateOf(found.datum, true) : undefined,
        sd: found.sd,
        reversed: found.reversed,
        zero: found.zero,
      };
      if (
        ctx.kept(() =>
          ctx.drafts.keep(ctx.job, draftKey({ what, side, entry, pose, teardown }), {
            how,
            arm: phone.arm,
            datum: phone.datum,
            phone,
          }),
        )
      )
        ctx.go(back, { replace: true });
    };
    const again = () => {
      Object.assign(holds, { datum: {}, arm: {} });
      steps = STEPS;
      at = 0;
      tilt = null;
      begin();
    };
    const first = key("Use it", use, "key main wide");
    place.replaceChildren(
      h("p", { class: "net" }, h("strong", { text: angle(net) }), ` ± ${plain(NINETY * found.sd, 2)}°`),
      h("p", {
        text: datumRead
          ? `Arm to body: arm ${angle(found.arm)}, datum ${angle(found.datum)}.`
          : "Against gravity, without a datum: only the difference between the sides will count.",
      }),
      h("p", {
        class: "where",
        text: found.reversed
          ? `Turned end for end. The phone's own zero error, ${plain(found.zero, 1)}°, has dropped out.`
          : datumRead
            ? "One way only. The zero error drops out, for datum and arm were read the same way round."
            : "One way only, with the phone's zero error in it.",
      }),
      first,
      key("Read it all again", again),
      typeIt(),
    );
    first.focus({ preventScroll: true });
    say(`${angle(net)}, plus or minus ${plain(found.sd, 2)} degrees`);
  }

  const blocked = obstacle();
  if (blocked) fallback(blocked);
  else begin();
  return { title: `${title}, by phone`, fresh() {}, node };
}
