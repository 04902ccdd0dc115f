/* What was learned of a car, by what it still costs the chance of a plan: a usual next visit is planned once with the
   constants as they are known and once with each of them known exactly. The model works that out; this makes the
   questions and sorts the answers. */

import { NINETY, plain } from "../numbers.js";
import { estimateIn, spans, stiffnesses, turningRates } from "../units.js";

/** @import { Constant, ConstantsBody, SolveRequest } from "../../types/wire.d.ts" */
/** @import { Unit } from "../units.js" */
/** @import { CarFound } from "./car-local.js" */

/** How far a usual next visit raises the car, mm: about three fine steps (common practice, no source). */
export const NEXT_RISE_MM = 25;
/** What stays of a variance where a constant counts as known: none would leave the model's matrix without an
 * inverse. */
const LEFT_OVER = 1e-4;

/** Of a share. @returns {Unit} */
const percent = () => ({ figure: (share) => 100 * share, unit: "%", metric: "%" });

/**
 * Name, unit as it is chosen, decimals of the metric figure, and what the posterior calls it.
 * @type {Record<string, { name: string, unit: () => Unit, places: number, of: string }>}
 */
export const CONSTANTS = {
  bar_nm_per_deg: { name: "Bar", unit: turningRates, places: 1, of: "ln_rate" },
  arm_mm: { name: "Arm", unit: spans, places: 1, of: "arm" },
  roll_support_n_per_mm: { name: "Roll stiffness, rest of car", unit: stiffnesses, places: 1, of: "ln_roll" },
  bush_ratio: { name: "Bush, share of the bar’s rate", unit: percent, places: 1, of: "bush" },
  unevenness_mm: { name: "Front out of level, as lean at the rear", unit: spans, places: 1, of: "uneven" },
  tyre_n_per_mm: { name: "Tyre", unit: stiffnesses, places: 0, of: "ln_tyre" },
  settling_mm: { name: "Settling after hand-over, both sides", unit: spans, places: 1, of: "settling" },
};

/** A constant that this page has no name for: its bare figure. */
const NAMELESS = { unit: () => ({ figure: (/** @type {number} */ value) => value, unit: "", metric: "" }), places: 2 };

/**
 * A posterior in which one constant is known as good as exactly; the others follow it as far as they go together
 * (conditioning of a normal distribution).
 * @param {ConstantsBody} posterior mean: (n,), covariance: (n, n)
 * @param {string} name
 * @returns {ConstantsBody | null} null where it has none of that name
 */
export function knownExactly(posterior, name) {
  const at = posterior.names.indexOf(name);
  const own = posterior.covariance[at]?.[at] ?? 0;
  if (!(own > 0)) return null;
  const share = (1 - LEFT_OVER) / own;
  return {
    ...posterior,
    covariance: posterior.covariance.map((row) =>
      row.map((value, j) => value - share * row[at] * posterior.covariance[at][j]),
    ),
  };
}

/**
 * The question of a usual next visit: the heights as they were read last, level at the higher side and NEXT_RISE_MM
 * more; null where nothing was learned or no heights stand.
 * @param {Pick<CarFound, "again" | "visits">} found
 * @param {ConstantsBody} [posterior] in place of what is known
 * @returns {SolveRequest | null}
 */
export function nextVisit({ again, visits }, posterior) {
  const known = posterior ?? /** @type {ConstantsBody | undefined} */ (again.known?.posterior);
  const read = visits.find(({ left_mm: left, right_mm: right }) => left !== null && right !== null);
  if (!known || !read) return null;
  const height = (/** @type {"left" | "right"} */ side) => ({
    kind: "reading",
    what: "body-height",
    side,
    value: read[`${side}_mm`],
  });
  return /** @type {SolveRequest} */ ({
    car: { ...again.car, known },
    target: { as: "level", at: "higher", rise_mm: NEXT_RISE_MM },
    log: [height("left"), height("right")],
  });
}

/**
 * What not knowing each constant costs: the chance with it known less the chance as it is, in 0 to 1.
 * @param {Pick<CarFound, "again" | "visits" | "constants">} found
 * @param {(request: SolveRequest) => Promise<number | null>} chanceOf null where it has no answer
 * @returns {Promise<{ chance: number, costs: Record<string, number> } | null>} null where it cannot be told
 */
export async function costsOf(found, chanceOf) {
  const posterior = /** @type {ConstantsBody | undefined} */ (found.again.known?.posterior);
  const request = nextVisit(found);
  const chance = request && (await chanceOf(request));
  if (!posterior || chance === null) return null;
  /** @type {Record<string, number>} */
  const costs = {};
  for (const { name } of found.constants) {
    const exact = knownExactly(posterior, CONSTANTS[name]?.of ?? "");
    const asked = exact && nextVisit(found, exact);
    const then = asked && (await chanceOf(asked));
    if (then !== null) costs[name] = Math.max(0, then - chance);
  }
  return { chance, costs };
}

/**
 * What is learned and what is default, each with the costliest first; those without a cost keep their order.
 * @param {Constant[]} constants
 * @param {Record<string, number>} [costs]
 * @returns {{ learned: Constant[], defaults: Constant[] }}
 */
export function sortedByCost(constants, costs = {}) {
  const sorted = [...constants].sort((a, b) => (costs[b.name] ?? -1) - (costs[a.name] ?? -1));
  return {
    learned: sorted.filter(({ from_job: job }) => job !== null),
    defaults: sorted.filter(({ from_job: job }) => job === null),
  };
}

/** "under 1 in 100", "3 in 100"; "" where it is not known.
 * @param {number | undefined} cost */
export function costWords(cost) {
  if (cost === undefined) return "";
  return cost < 0.005 ? "under 1 in 100" : `${plain(cost * 100, 0)} in 100`;
}

/** "51.0 ± 1.9 N·m per degree" (± holds 90 in 100); of an unknown constant its own name.
 * @param {Constant} constant */
export function valueWords({ name, value, sd }) {
  const { unit, places } = CONSTANTS[name] ?? NAMELESS;
  return estimateIn({ value, sd }, unit(), places).trim();
}

/** "± 2.5 N·m per degree": what it was before any visit, "" where nobody knows.
 * @param {Constant} constant */
export function beforeWords({ name, assumed_sd: before }) {
  if (before === null) return "";
  const { unit, places } = CONSTANTS[name] ?? NAMELESS;
  const { figure, unit: said, finer = 0 } = unit();
  return `± ${plain(NINETY * figure(before), places + finer)} ${said}`.trim();
}
