// Screens drawn from the parts alone, for tests: the address's hash names one. Served by the test, never by the app.
import { carBar } from "/parts/car-bar.js";
import { choice } from "/parts/choice.js";
import { h, s } from "/parts/dom.js";
import { field } from "/parts/field.js";
import { showHand } from "/parts/hand.js";
import { pad } from "/parts/pad.js";
import * as plates from "/parts/plate.js";
import { rack } from "/parts/rack.js";
import { runningLine } from "/parts/running-line.js";
import { shell } from "/parts/shell.js";
import { setLengths } from "/book/lengths.js";
import { warning } from "/parts/warning.js";

const WAYS = ["arm down", "arm up"];
const drawing = (cls = "") =>
  s("svg", { class: cls, viewBox: "0 0 388 226", "aria-hidden": "true" },
    s("path", { d: "M10 200H378", stroke: "var(--ink)", "stroke-width": 2.5 }),
    s("rect", { x: 60, y: 90, width: 200, height: 28, rx: 14, fill: "var(--left)", stroke: "var(--ink)", "stroke-width": 2.5 }));
const rear = () =>
  s("svg", { class: "mini", viewBox: "0 0 120 60", width: 84, height: 42, "aria-hidden": "true" },
    s("path", { d: "M10 50H110M20 20H100", stroke: "currentColor", "stroke-width": 4 }));
const log = [];
globalThis.gallery = { log };
const done = (what) => () => log.push(what);

function ask({ side, title, how, fields, run = true }) {
  const made = fields.map((one) => field({ shown: true, onchange: (state) => log.push(state), onnext: () => page.deck.tap(), ...one }));
  globalThis.gallery.fields = made;
  const page = shell({
    side, title, how, picture: drawing(), facing: true,
    run: run ? runningLine({ chance: 0.36, with: 0.58, href: "#plan" }).node : null,
    typed: pad({ fields: made, side }).node,
    quiet: { words: "Not now", ontap: done("quiet") },
    main: { words: "Next", small: "then right", ontap: done("next") },
  });
  return { page, focus: made[0].input };
}

const STEP = "Arm loaded: 700 to 1700 N, assumed. If it slips it breaks bones. Ease it off, lower it slowly with the tool, never by hand. Everyone out of its path. If the body lifts, stop.";
const step = (text, run = null) => ({ page: shell({
  kind: "step", side: "left", title: "Ease the arm off its stop", warning: warning({ text }), picture: drawing(), facing: true, run,
  quiet: { words: "Back", small: "undo, more", ontap: done("back") },
  main: { words: "Done", huge: true, ontap: done("done") },
}) });

const rows = (good) => plates.rowPlates([
  { good, name: "Left", figure: "251 mm", note: "1 above target" },
  { good: true, name: "Right", figure: "249 mm", note: "1 below target" },
  { good: true, name: "Lean", figure: "2 mm", note: "target: within 5" },
]);
const verdict = (good) => ({ page: shell({
  title: "Verdict", picture: good ? drawing() : null,
  verdict: plates.plate({ good, level: "h1", title: good ? "On target" : "Left 9 mm low", text: good ? null : "Turn the left bar again, or keep it." }),
  body: [rows(good), h("p", { class: "foot-note", text: "Solid: read just now. Dashed: as found. Hatched: target, 250 within 5 mm." }),
    plates.fold({ title: "Readings", more: "6 done" }, h("p", { text: "Folded text." }))],
  quiet: { words: "Read again", ontap: done("again") },
  main: good ? { words: "Hand over", href: "#over" } : { words: "Plan again", href: "#plan" },
}) });

const SCREENS = {
  height: () => ask({ side: "left", title: "Ride height", how: "Settle the car. Measure floor (at this tyre) to mark.",
    fields: [{ label: "Ride height", unit: " mm", state: { text: "214", sign: 1, prefilled: true } }] }),
  angle: () => ask({ side: "right", title: "Riding angle", how: "Zero the gauge on the sill. Then lay it on the arm’s top edge.",
    fields: [{ label: "Arm", unit: "°", nudge: 0.1, ways: WAYS, state: { text: "9.6", sign: -1 } }] }),
  inches: () => {
    setLengths("in");
    return ask({ side: "left", title: "Ride height", how: "Floor to mark.", fields: [{ label: "Ride height", unit: " mm" }] });
  },
  two: () => ask({ side: "left", title: "Weights", how: "Read both scales.",
    fields: [{ label: "Left", unit: " kg", whole: true }, { label: "Right", unit: " kg", whole: true }] }),
  step: () => step(STEP),
  long: () => step([STEP, STEP, STEP]),
  good: () => verdict(true),
  wrong: () => verdict(false),
  target: () => ({ page: shell({ title: "What is the target?", body: [choice({ name: "aim", legend: "Target", cls: "rows", chosen: "level",
    onchoose: done("aim"), options: ["raise", "lower", "level", "height", "angle"].map((value) => ({ value, label: plates.rowLabel({ picture: rear(), words: value, small: "both, or one side" }) })) }),
    choice({ name: "to", legend: "Level to", chosen: "higher", onchoose: done("to"), options: ["higher", "mean", "lower"].map((value) => ({ value, label: value })) })],
    quiet: { words: "Not now", ontap: done("quiet") }, main: { words: "Next", small: "heights first", ontap: done("next") } }) }),
  home: () => ({ page: shell({ title: "Open", body: ["in-work", "", ""].map((form, i) => plates.card({ href: `#${i}`, form },
    h("strong", { text: "Gannet roadster, Maren" }), h("span", { text: "Level at 250 mm" }),
    plates.stages(["read", "plan", "left", "right", "check", "done"].map((words, at) => ({ words, is: at < 2 ? "done" : at === 2 ? "now" : "later" }))),
    h("b", { text: "Left side, step 7 of 25: inner end, 3 teeth arm up" }))),
    quiet: { words: "New job", href: "#new" }, main: { words: "Go on", small: "Gannet, left side", href: "#go" } }) }),
  assumed: () => ({ page: shell({ title: "What is assumed",
    foot: plates.assumedLine({ text: "Droop travel 90 ± 41 mm is assumed; the plan needs 102.", words: "Measure", href: "#m" }),
    body: [h("ul", { class: "key-rows" },
      plates.keyCard({ name: "Droop travel, left", form: "dashed", lines: ["90 ± 41 mm; the plan needs 102"], key: { words: "Measure", small: "3 min", href: "#d" } }),
      plates.keyCard({ name: "Roll stiffness", lines: ["13 ± 12 N per mm", rack({ chance: 0.36, with: 0.58 }).node], key: { words: "Board test", small: "10 min", href: "#b" } })),
      plates.keyRows([{ picture: rear(), words: "Raise by", small: "both, or one side", href: "#r" }])],
    quiet: { words: "Plan", href: "#plan" }, main: { words: "Board test", small: "36 → 58 in 100", href: "#b" } }) }),
};

function draw() {
  setLengths("mm");
  log.length = 0;
  const { page, focus } = SCREENS[location.hash.slice(1).split("/")[0]]();
  showHand(location.hash.endsWith("/left-hand") ? "left" : "right");
  globalThis.gallery.page = page;
  document.getElementById("top").replaceChildren(carBar({ back: done("bar"), name: "Gannet, Maren", href: "#home", to: { words: "Log", href: "#log" } }));
  document.getElementById("main").replaceChildren(page.node);
  (focus ?? page.title).focus({ preventScroll: true });
  document.body.dataset.drawn = location.hash;
}
document.title = "Gallery";
addEventListener("hashchange", draw);
draw();
