/* Every drawing there is, for one side and one size: /gallery/?side=left&wide=358&high=255. */

import { ADJUSTER_VIEWS, adjusterPicture } from "/parts/draw/adjuster.js";
import { angleReading } from "/parts/draw/angle.js";
import { twentyCars } from "/parts/draw/cars.js";
import { dotplot } from "/parts/draw/dots.js";
import { endPicture } from "/parts/draw/ends.js";
import { lengthReading } from "/parts/draw/height.js";
import { rearSign, rearView } from "/parts/draw/rear.js";
import { targetSign } from "/parts/draw/signs.js";
import { stageStrip } from "/parts/draw/stages.js";
import { barPicture, BARS } from "/parts/draw/bar.js";
import { stepPicture, STEPS } from "/parts/draw/steps.js";
import { turnPicture } from "/parts/draw/turn.js";
import { twenty } from "/work/twenty.js";

const asked = new URLSearchParams(location.search);
const side = asked.get("side") ?? "left";
const wide = Number(asked.get("wide") ?? 358);
const high = Number(asked.get("high") ?? 255);
const main = document.body.appendChild(document.createElement("main"));

function show(name, view, w = wide, tall = high) {
  const figure = main.appendChild(document.createElement("figure"));
  const box = figure.appendChild(document.createElement("div"));
  box.className = "draw";
  box.dataset.name = name;
  box.style.width = `${w}px`;
  box.style.height = `${tall}px`;
  box.append(view);
  figure.appendChild(document.createElement("figcaption")).textContent = name;
}

const target = { left: 250, right: 250, tolerance: 5 };
const figures = { left: "250", right: "252", leftSpread: "± 3", rightSpread: "± 3" };
const REARS = {
  plan: {
    found: { left: 214, right: 222 },
    now: { left: 250, right: 252 },
    target,
    foundFigures: { left: "214", right: "222" },
    nowFigures: figures,
  },
  ground: {
    found: { left: 214, right: 222 },
    now: { left: 251, right: 249 },
    target,
    foundFigures: { left: "214", right: "222" },
    nowFigures: { left: "251", right: "249" },
  },
  lowered: {
    found: { left: 290, right: 284 },
    now: { left: 250, right: 252 },
    target,
    foundFigures: { left: "290", right: "284" },
    nowFigures: figures,
  },
  "off target, found in the gate": {
    found: { left: 250, right: 247 },
    now: { left: 262, right: 240 },
    target,
    foundFigures: { left: "250", right: "247" },
    nowFigures: { left: "262", right: "240" },
  },
  "as found": { found: { left: 214, right: 222 }, foundFigures: { left: "214", right: "222" } },
  "one side read": {
    found: { left: 214 },
    now: { right: 249 },
    target,
    foundFigures: { left: "214" },
    nowFigures: { right: "249" },
  },
  nothing: {},
  inches: {
    found: { left: 214, right: 222 },
    now: { left: 250.8, right: 252.4 },
    target,
    tick: 25.4 / 4,
    foundFigures: { left: "8 7⁄16", right: "8 3⁄4" },
    nowFigures: { left: "9 7⁄8", right: "9 15⁄16", leftSpread: "± 1⁄8", rightSpread: "± 1⁄8" },
  },
};
for (const [name, about] of Object.entries(REARS))
  show(`rear: ${name}`, rearView({ ...about, label: `From behind: ${name}` }));

/** How each kind of axle is seen, and what its drawings are called here beside a rear one's. */
const SEEN = { rear: "", front: ", front", across: ", across" };
for (const [seen, kind] of Object.entries(SEEN)) {
  for (const what of ["height", "board", "ballast", "hub", "load", "lever"]) {
    const view = lengthReading({
      side,
      seen,
      what,
      weight: what === "ballast" ? "40 kg" : undefined,
      label: `${what} ${side}`,
    });
    show(`length: ${what}${kind}`, view);
  }
  const hanging = lengthReading({ side, seen, what: "hub", hanging: true, label: "Hub to body, hanging" });
  hanging.move(-40);
  show(`length: hub hanging${kind}`, hanging);
  show(`angle: nothing typed${kind}`, angleReading({ side, seen, pose: "riding", label: "Angle" }));
  show(`angle: body${kind}`, angleReading({ side, seen, on: "body", pose: "riding", label: "Zero" }));
  for (const of of BARS) show(`bar: ${of}${kind}`, barPicture({ side, seen, of, label: of }));
  for (const step of STEPS) show(`step: ${step}${kind}`, stepPicture({ side, seen, step, label: step }));
  for (const of of ADJUSTER_VIEWS) show(`adjuster: ${of}${kind}`, adjusterPicture({ side, seen, of, label: of }));
}
for (const seen of Object.keys(SEEN))
  for (const pose of ["riding", "hanging", "droop"])
    for (const deg of [-9.6, 24])
    show(
      `angle: ${pose} ${deg}${SEEN[seen]}`,
      angleReading({
        side,
        seen,
        pose,
        deg,
        figure: `${Math.abs(deg)}°`,
        way: deg < 0 ? "arm up" : "arm down",
        zeroedOn: deg < 0 ? "zeroed on the sill" : undefined,
        label: "Angle",
      }),
    );

for (const end of ["inner", "outer"])
  for (const way of ["up", "down"])
    for (const [teeth, deg] of [
      [1, end === "inner" ? 9 : 8.18],
      [3, 27],
      [8, 72],
      [undefined, 14],
    ])
      show(
        `turn: ${end} ${way} ${teeth ?? "no"} teeth`,
        turnPicture({ side, end, way, teeth, deg, wayWords: `arm ${way}`, label: `Turn ${end} ${way}` }),
      );
show(
  "turn: across",
  turnPicture({ side, end: "inner", way: "up", teeth: 2, deg: 18, wayWords: "arm up", seen: "across", label: "Turn" }),
);

for (const end of ["inner", "outer", "arm"])
  for (const way of ["up", "down", undefined])
    show(`end: ${end} ${way}`, endPicture({ side, end, way, deg: 27, label: `${end} ${way}` }), 150, 92);
for (const chance of [36, 78]) {
  const outlook = {
    chance,
    mean: { left: 0, right: 2 },
    sd: { left: 4, right: 5 },
    correlation: 0.1,
    tolerance: 5,
    lean: 5,
  };
  const { cars, legend } = twenty(outlook);
  show(legend, twentyCars(cars, legend), wide, 72);
}
show(
  "dots",
  dotplot({
    mean: 16.5,
    sd: 0.4,
    ticks: [
      { at: 15.7, text: "one tooth outer" },
      { at: 18.3, text: "one tooth inner" },
    ],
    marks: [
      { at: 16, text: "16°" },
      { at: 18, text: "18°" },
    ],
    read: { at: 16.9, text: "16.9°" },
    label: "Hanging angle",
  }),
  wide,
  Math.min(high, 146),
);
for (const kind of ["raise", "lower", "level", "higher", "mean", "lower-side", "height", "angle"])
  show(kind, targetSign(kind), 76, 44);
for (const [name, about] of Object.entries(REARS)) show(`sign: ${name}`, rearSign({ ...about, label: name }), 76, 44);
show(
  "stages",
  stageStrip(["read", "plan", "left", "right", "check", "done"], 2, "Left side, third of six stages"),
  wide,
  40,
);
document.body.dataset.ready = "";
