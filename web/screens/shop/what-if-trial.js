/* One trial as it is typed: its fields, their text kept as a draft, and the change it stands for. Empty means "as it
   is".

   Owns what can be tried and its names; unit and bounds are the model's own. Works nothing out: the change goes to
   the model as typed. */

import { at } from "../../work/sheet.js";
import { FACTS, outside } from "../../work/bounds.js";
import { h } from "../../parts/dom.js";
import { field, stateOf } from "../../parts/field.js";
import { short } from "../../work/numbers.js";
import { inchText, inches, length, wordsIn } from "../../work/units.js";

/** @import { State } from "../../parts/field.js" */
/** @import { JobContext } from "../../types/context.d.ts" */
/** @import { Sheet } from "../../types/sheet.d.ts" */

/** What is typed into a trial: the state of each field by its key. @typedef {{ [key: string]: State }} Typed */
/** A change as the model takes it: groups of figures.
 * @typedef {{ [group: string]: { [name: string]: number } }} Change */
/** What is special about a field. @typedef {{ nudge?: number, ways?: string[], car?: string[],
 *   assumed?: string | number }} More */

const DRAFT = "whatif";
/** Trials side by side, beside the car as it is. */
export const MOST = 3;
export const NAMES = ["A", "B", "C"];

const MM = " mm";
/** @type {{ [group: string]: string }} */
const PATHS = { bar: "car", load_kg: "change" };
const SAID = {
  notGiven: "not given",
  more: "more",
  less: "less",
  label: (/** @type {string} */ title, /** @type {string} */ name) => `${title}, trial ${name}`,
  turn: (/** @type {string} */ title, /** @type {string} */ name) => `${title}, trial ${name}: more or less`,
};

/**
 * A field of the change; `fact` is its path in the model's table: of the car, of the target, or of the change
 * itself.
 * @param {string} key
 * @param {string} title
 * @param {More} [rest]
 */
function row(key, title, rest) {
  const path = key.split(".");
  const fact = rest?.car ? `car.${rest.car.join(".")}` : PATHS[path[0]] ? `${PATHS[path[0]]}.${key}` : key;
  const { unit, whole, default: assumed } = /** @type {any} */ (FACTS[fact]);
  return {
    key,
    fact,
    title,
    unit: /** @type {string} */ (unit),
    whole: Boolean(whole),
    path,
    nudge: rest?.nudge ?? 1,
    ways: rest?.ways,
    car: rest?.car,
    assumed: /** @type {string | number | null | undefined} */ (
      rest?.assumed ?? (path[0] === "target" ? undefined : assumed)
    ),
  };
}
/** @typedef {ReturnType<typeof row>} Row */

/** What can be tried. `car` says where the present value is, `assumed` what stands there until it is given. */
export const FIELDS = [
  row("bar.diameter_mm", "Bar diameter", { nudge: 0.5 }),
  row("bar.bore_mm", "Bore, 0 if solid", { nudge: 0.5 }),
  row("bar.length_mm", "Bar length"),
  row("bar.inner_teeth", "Teeth, inner end"),
  row("bar.outer_teeth", "Teeth, outer end"),
  row("bar.permissible_stress_mpa", "Permissible stress", {
    nudge: 10,
    car: ["limits", "permissible_stress_mpa"],
    assumed: SAID.notGiven,
  }),
  row("load_kg.left", "More load, left spring", { nudge: 5, ways: [SAID.more, SAID.less] }),
  row("load_kg.right", "More load, right spring", { nudge: 5, ways: [SAID.more, SAID.less] }),
  row("target.left_mm", "Target height, left"),
  row("target.right_mm", "Target height, right"),
];

/** The car's present value of a field, or what is assumed; a number, a word, or nothing.
 * @param {Sheet} sheet @param {Row} one */
function present(sheet, { path, car, assumed }) {
  if (path[0] === "load_kg") return 0;
  const value = car ? at(sheet.car, car) : path[0] === "target" ? at(sheet.target, [path[1]]) : at(sheet.car, path);
  return /** @type {number | string | null | undefined} */ (value ?? assumed);
}

/** The present value in words.
 * @param {Sheet} sheet @param {Row} one */
export function presentWords(sheet, one) {
  const value = present(sheet, one);
  if (typeof value !== "number") return value ?? "–";
  return one.unit === MM ? length(value, Number.isInteger(value) ? 0 : 1) : `${short(value)}${one.unit}`;
}

/** The trials typed so far; one empty trial to begin with.
 * @param {JobContext} ctx @returns {Typed[]} */
export function trials(ctx) {
  const kept = /** @type {unknown} */ (ctx.drafts.draft(ctx.job, DRAFT));
  return Array.isArray(kept) && kept.length ? kept.slice(0, MOST) : [{}];
}

/** Keep them; throws NotKept where there is no room.
 * @param {JobContext} ctx @param {Typed[]} list */
export const keepTrials = (ctx, list) => ctx.drafts.keep(ctx.job, DRAFT, /** @type {any} */ (list));

/** The state of a length's field that shows a value in millimetres.
 * @param {number} mm @returns {State} */
const lengthState = (mm) =>
  /** @type {State} */ (inches() ? { text: inchText(mm), sign: 1, unit: "in" } : stateOf(Math.round(mm)));

/** A field of a trial with the key that turns its sign, where it has one.
 * @param {Row} one
 * @param {{ sheet: Sheet, name: string, typed: Typed, onchange: () => void }} trial */
function trialField(one, { sheet, name, typed, onchange }) {
  /** @type {HTMLButtonElement | null} */
  let turn = null;
  const turnText = () => ((input.state().sign ?? 1) < 0 ? SAID.less : SAID.more);
  /** @type {ReturnType<typeof field>} */
  const input = field({
    label: SAID.label(one.title, name),
    unit: one.unit,
    whole: one.whole,
    ways: one.ways,
    nudge: one.nudge,
    state: typed[one.key] ?? (one.ways ? { text: "", sign: 1 } : undefined),
    onchange: (state) => {
      if (state.text === "") delete typed[one.key];
      else typed[one.key] = state;
      turn?.replaceChildren(turnText());
      onchange();
    },
  });
  // No pad here: the phone's own keyboard, with a stroke where inches have fractions.
  const fractions = one.unit === MM && inches();
  input.input.inputMode = one.whole ? "numeric" : fractions ? "text" : "decimal";
  const value = present(sheet, one);
  input.input.placeholder = typeof value !== "number" ? "–" : fractions ? inchText(value) : short(value);
  if (one.ways)
    turn = h(
      "button",
      {
        type: "button",
        class: "key small turn",
        "aria-label": SAID.turn(one.title, name),
        onclick: () => input.turn(-(input.state().sign ?? 1)),
      },
      turnText(),
    );
  return { one, input, node: h("div", { class: turn ? "tried signed" : "tried" }, input.node, turn) };
}

/**
 * The fields of one trial. `typed` is kept up to date; `onchange()` after every key. `cells` holds one node per field,
 * in the order of FIELDS.
 * @param {{ sheet: Sheet, name: string, typed: Typed, onchange: () => void }} trial
 */
export function trialFields(trial) {
  const { typed, onchange } = trial;
  const made = FIELDS.map((one) => trialField(one, trial));

  /** The change as the model takes it, or null where a figure is out of bounds (which is said at its field).
   * @returns {Change | null} */
  function change() {
    /** @type {Change} */
    const out = {};
    let sound = true;
    for (const { one, input } of made) {
      const value = input.value();
      const wrong = value === null ? "" : outside(one.fact, value, wordsIn(one.unit));
      input.tell(wrong);
      if (wrong) sound = false;
      else if (value !== null) (out[one.path[0]] ??= {})[one.path[1]] = value;
    }
    return sound ? out : null;
  }
  /** Say what the model refused at its field; false where it is about no field here.
   * @param {string} path @param {string} text */
  function tell(path, text) {
    const found =
      made.find(({ one }) => `$.change.${one.key}` === path) ??
      (path === "$.change.load_kg" ? made.find(({ one }) => one.key === "load_kg.left") : null);
    found?.input.tell(text);
    return Boolean(found);
  }
  /** Write values in millimetres into fields, as if typed.
   * @param {{ [key: string]: number }} values */
  function put(values) {
    for (const { one, input } of made) {
      if (!(one.key in values)) continue;
      const state = lengthState(values[one.key]);
      typed[one.key] = state;
      input.put(state);
    }
    onchange();
  }
  return { cells: made.map(({ node }) => node), change, tell, put };
}
