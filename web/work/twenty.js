/* Twenty cars as they may come out of a planned turn: fixed points of the joint normal of both heights, so that the
   same plan always shows the same twenty. How many are on target is the plan's own chance, to the nearest five in a
   hundred; the points give where they stand and which fault the others have. No random numbers, nothing drawn. */

/** Cars shown: each stands for 5 in 100. */
export const CARS = 20;

/** @typedef {"" | "high-left" | "high-right" | "high-both" | "low-left" | "low-right" | "low-both" | "lean-left"
 *   | "lean-right"} Fault */
/** @typedef {{left: number, right: number, fault: Fault}} Car deviations from target, up positive */
/** @typedef {{left: number, right: number}} Pair */
/** What is predicted. Lengths in one unit, all from the target: `mean` the expected deviation, `sd` one standard
 * deviation of each, `correlation` of the two, -1 to 1; `tolerance` the half width for each height and `lean` that
 * for left minus right. `chance` in 100.
 * @typedef {{chance: number, mean: Pair, sd: Pair, correlation: number, tolerance: number, lean: number}} Outlook */

/** In the order in which they are grouped and told: [fault, words after the count, words after a count of the same
 * kind].
 * @type {[Fault, string, string][]} */
const FAULTS = [
  ["high-left", "high on the left", "on the left"],
  ["high-right", "high on the right", "on the right"],
  ["high-both", "high on both sides", "on both sides"],
  ["low-left", "low on the left", "on the left"],
  ["low-right", "low on the right", "on the right"],
  ["low-both", "low on both sides", "on both sides"],
  ["lean-left", "leaning left", "left"],
  ["lean-right", "leaning right", "right"],
];

/* The plastic number: its powers spread points evenly over a square (the R2 sequence; common practice, no source). */
const PLASTIC = 1.324717957244746;
const POINTS = 100 * CARS;
/* A car shown as off target is at least so far past the limit that it is, and one on target is not. */
const PAST = 1.02;

/** @param {string} field @param {number} value @param {number} least @param {number} most */
function within(field, value, least, most) {
  if (!(value >= least && value <= most))
    throw new RangeError(`${field} is ${value}: give a number from ${least} to ${most}`);
}

/** @param {Outlook} outlook */
function checked({ chance, mean, sd, correlation, tolerance, lean }) {
  within("chance", chance, 0, 100);
  within("correlation", correlation, -1, 1);
  for (const side of /** @type {const} */ (["left", "right"])) {
    within(`mean.${side}`, mean[side], -Number.MAX_VALUE, Number.MAX_VALUE);
    within(`sd.${side}`, sd[side], 0, Number.MAX_VALUE);
  }
  within("tolerance", tolerance, Number.MIN_VALUE, Number.MAX_VALUE);
  within("lean", lean, Number.MIN_VALUE, Number.MAX_VALUE);
}

/** The correlation of both heights from the spread of each and of left minus right, as a plan gives them; 0 where a
 * side has no spread.
 * @param {number} left one standard deviation @param {number} right the same @param {number} lean the same
 * @returns {number} -1 to 1 */
export function correlationOf(left, right, lean) {
  if (!(left > 0 && right > 0)) return 0;
  return Math.min(1, Math.max(-1, (left * left + right * right - lean * lean) / (2 * left * right)));
}

/** How far out a car is: 1 where the first limit is reached.
 * @param {Pair} car @param {Outlook} outlook @returns {number} */
const excess = ({ left, right }, { tolerance, lean }) =>
  Math.max(Math.abs(left) / tolerance, Math.abs(right) / tolerance, Math.abs(left - right) / lean);

/** The fixed points, each with how far out it is, nearest first.
 * @param {Outlook} outlook @returns {(Pair & {out: number})[]} */
function points(outlook) {
  const { mean, sd, correlation } = outlook;
  const rest = Math.sqrt(Math.max(0, 1 - correlation * correlation));
  const found = [];
  for (let i = 1; i <= POINTS; i++) {
    const u = (0.5 + i / PLASTIC) % 1;
    const v = (0.5 + i / (PLASTIC * PLASTIC)) % 1;
    // Box and Muller's two normal values; u never is 0 for any of these points.
    const radius = Math.sqrt(-2 * Math.log(u));
    const a = radius * Math.cos(2 * Math.PI * v);
    const b = radius * Math.sin(2 * Math.PI * v);
    const car = { left: mean.left + sd.left * a, right: mean.right + sd.right * (correlation * a + rest * b) };
    found.push({ ...car, out: excess(car, outlook) });
  }
  return found.sort((p, q) => p.out - q.out || p.left - q.left || p.right - q.right);
}

/** @param {Pair} car @param {Outlook} outlook @returns {Fault} */
function faultOf({ left, right }, { tolerance }) {
  const l = Math.abs(left) > tolerance;
  const r = Math.abs(right) > tolerance;
  if (l && r && left > 0 === right > 0) return left > 0 ? "high-both" : "low-both";
  if (l === r) return left < right ? "lean-left" : "lean-right";
  if (l) return left > 0 ? "high-left" : "low-left";
  return right > 0 ? "high-right" : "low-right";
}

/** So many that stand for all: the middle one of each equal part, in order of lean, then of height.
 * @template {Pair} T @param {T[]} cars @param {number} count @returns {T[]} */
function standing(cars, count) {
  const ordered = [...cars].sort((p, q) => p.left - p.right - (q.left - q.right) || p.left - q.left);
  const chosen = [];
  for (let i = 0; i < count; i++) {
    const part = ordered.slice(
      Math.floor((i * ordered.length) / count),
      Math.max(Math.floor((i * ordered.length) / count) + 1, Math.floor(((i + 1) * ordered.length) / count)),
    );
    part.sort((p, q) => p.left + p.right - (q.left + q.right));
    // Heights in turn from low, high and middle of the part: no height belongs to one lean.
    chosen.push(part[Math.floor(part.length * [0.2, 0.8, 0.5][i % 3])]);
  }
  return chosen;
}

/** How many of `count` fall to each fault: whole shares, the largest remainders rounded up.
 * @param {Map<Fault, Pair[]>} groups @param {number} all @param {number} count @returns {Map<Fault, number>} */
function shares(groups, all, count) {
  const parts = FAULTS.map(([fault], order) => {
    const exact = (count * (groups.get(fault)?.length ?? 0)) / Math.max(1, all);
    return { fault, order, whole: Math.floor(exact), left: exact - Math.floor(exact) };
  });
  let missing = count - parts.reduce((sum, part) => sum + part.whole, 0);
  for (const part of [...parts].sort((p, q) => q.left - p.left || p.order - q.order)) {
    if (missing <= 0) break;
    part.whole += 1;
    missing -= 1;
  }
  return new Map(parts.map((part) => [part.fault, part.whole]));
}

/** The sentence below the twenty cars.
 * @param {Car[]} cars @returns {string} */
function told(cars) {
  const on = cars.filter((car) => car.fault === "").length;
  const parts = [`${on === 0 ? "none" : on} on target`];
  let kind = "";
  for (const [fault, whole, short] of FAULTS) {
    const count = cars.filter((car) => car.fault === fault).length;
    if (!count) continue;
    const same = fault.split("-")[0] === kind;
    parts.push(`${count} ${same ? short : whole}`);
    kind = fault.split("-")[0];
  }
  return `${cars.length} such cars: ${parts.join(", ")}.`;
}

/** The twenty cars, those on target first, the others grouped by their fault; how many are on target, and the
 * sentence that says so.
 *
 * @param {Outlook} outlook what is predicted
 * @returns {{cars: Car[], on: number, legend: string}}
 * @throws {RangeError} naming the figure that is out of bounds, and the bounds */
export function twenty(outlook) {
  checked(outlook);
  const on = Math.round((outlook.chance * CARS) / 100);
  const all = points(outlook);
  // The chance was computed more finely than these points can: it says how many are on target, they say where.
  const cut = Math.round((all.length * on) / CARS);
  /** @type {(car: Pair & {out: number}, out: number) => Pair} */
  const moved = (car, out) => ({ left: (car.left * out) / car.out, right: (car.right * out) / car.out });
  const good = all.slice(0, cut).map((car) => (car.out > 1 ? moved(car, 1) : car));
  const bad = all.slice(cut).map((car) => (car.out < PAST ? moved(car, PAST) : car));

  /** @type {Map<Fault, Pair[]>} */
  const groups = new Map();
  for (const car of bad) {
    const fault = faultOf(car, outlook);
    groups.set(fault, [...(groups.get(fault) ?? []), car]);
  }
  /** @type {Car[]} */
  const cars = standing(good, on).map(({ left, right }) => ({ left, right, fault: "" }));
  const counts = shares(groups, bad.length, CARS - on);
  for (const [fault] of FAULTS)
    for (const { left, right } of standing(groups.get(fault) ?? [], counts.get(fault) ?? 0))
      cars.push({ left, right, fault });
  return { cars, on, legend: told(cars) };
}
