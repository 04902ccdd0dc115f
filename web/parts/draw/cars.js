/* Twenty cars from behind, as work/twenty.js gives them: solid on target, dashed off it, each leaning as it would. */

import { group, path, Sheet } from "./pen.js";

/** @typedef {import("../../work/twenty.js").Car} Car */

const CELL = 30;
const COLUMNS = 10;
/* The lean and the height of the worst car, in units; the others to the same scale. */
const LEAN = 5;
const RISE = 2.5;
const TRACK = 24;

/** @param {Car[]} cars in groups, those on target first
 * @param {string} label one sentence, such as the legend
 * @returns {HTMLElement} */
export function twentyCars(cars, label) {
  const high = Math.ceil(cars.length / COLUMNS) * CELL;
  const sheet = new Sheet({ wide: COLUMNS * CELL, high, label, cls: "cars" });
  const worst = (/** @type {(car: Car) => number} */ of) => Math.max(1e-9, ...cars.map((car) => Math.abs(of(car))));
  const lean = LEAN / worst((car) => car.left - car.right);
  const rise = RISE / worst((car) => (car.left + car.right) / 2);
  cars.forEach((car, i) => {
    const x = (i % COLUMNS) * CELL + CELL / 2;
    const y = Math.floor(i / COLUMNS) * CELL + 12;
    // A higher left side turns the body clockwise: left is on the left.
    const deg = (Math.atan2((car.left - car.right) * lean, TRACK) * 180) / Math.PI;
    const up = ((car.left + car.right) / 2) * rise;
    const body = path(car.fault ? "car off" : "car on", "M-12 4 V0 Q-11 -7 -5 -8 H5 Q11 -7 12 0 V4 Z");
    body.setAttribute("transform", `translate(${x} ${(y - up).toFixed(1)}) rotate(${deg.toFixed(1)})`);
    sheet.add(
      group(
        "car-wheels",
        path("tyres", `M${x - 9} ${y + 6} v8 M${x + 9} ${y + 6} v8`),
        path("road", `M${x - 13} ${y + 15} h26`),
      ),
      body,
    );
  });
  return sheet.done();
}
