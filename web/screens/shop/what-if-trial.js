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

const DRAFT = "whatif";
/** Trials side by side, beside the car as it is. */
export const MOST = 3;
export const NAMES = ["A", "B", "C"];

const MM = " mm";
const PATHS = { bar: "car", load_kg: "change" };

/**
 * A field of the change; `fact` is its path in the model's table: of the car, of the target, or of the change
 * itself.
 */
function row(key, title, rest) {
  const path = key.split(".");
  const fact = rest?.car ? `car.${rest.car.join(".")}` : PATHS[path[0]] ? `${PATHS[path[0]]}.${key}` : key;
  const { unit, whole, default: assumed } = FACTS[fact];
  return {
    key,
    fact,
    title,
    unit,
    whole,
    assumed: path[0] === "target" ? undefined : assumed,
    path,
    nudge: 1,
    ...rest,
  };
}

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
    assumed: "not given",
  }),
  row("load_kg.left", "More load, left spring", { nudge: 5, ways: ["more", "less"] }),
  row("load_kg.right", "More load, right spring", { nudge: 5, ways: ["more", "less"] }),
  row("target.left_mm", "Target height, left"),
  row("target.right_mm", "Target height, right"),
];

/** The car's present value of a field, or what is assumed; a number, a word or undefined. */
export function present(sheet, { path, car, assumed }) {
  if (path[0] === "load_kg") return 0;
  const value = car ? at(sheet.car, car) : path[0] === "target" ? at(sheet.target, [path[1]]) : at(sheet.car, path);
  return value ?? assumed;
}

/** The present value in words. */
export function presentWords(sheet, one) {
  const value = present(sheet, one);
  if (typeof value === "string" || value === undefined) return value ?? "–";
  return one.unit === MM ? length(value, Number.isInteger(value) ? 0 : 1) : `${short(value)}${one.unit}`;
}

/** The trials typed so far: a list of {key: state of the field}; one empty trial to begin with. */
export function trials(ctx) {
  const kept = ctx.drafts.draft(ctx.job, DRAFT);
  return Array.isArray(kept) && kept.length ? kept.slice(0, MOST) : [{}];
}

/** Keep them; throws NotKept where there is no room. */
export const keepTrials = (ctx, list) => ctx.drafts.keep(ctx.job, DRAFT, list);

/** The state of a length's field that shows a value in millimetres. */
const lengthState = (mm) => (inches() ? { text: inchText(mm), sign: 1, unit: "in" } : stateOf(Math.round(mm)));

/**
 * The fields of one trial: {cells, change(), tell(path, text)}. `typed` is kept up to date; `onchange()` after
 * every key.
 * `cells` holds one node per field, in the order of FIELDS.
 */
export function trialFields({ sheet, name, typed, onchange }) {
  const made = FIELDS.map((one) => {
    const start = typed[one.key] ?? (one.ways ? { text: "", sign: 1 } : undefined);
    const input = field({
      label: `${one.title}, trial ${name}`,
      unit: one.unit,
      whole: one.whole,
      ways: one.ways,
      nudge: one.nudge,
      state: start,
      onchange: (state) => {
        if (state.text === "") delete typed[one.key];
        else typed[one.key] = state;
        turn?.replaceChildren(turnText());
        onchange();
      },
    });
    // No pad here: the phone's own keyboard, with a stroke where inches have fractions.
    input.input.inputMode = one.whole ? "numeric" : one.unit === MM && inches() ? "text" : "decimal";
    const value = present(sheet, one);
    input.input.placeholder =
      typeof value === "number" ? (one.unit === MM && inches() ? inchText(value) : short(value)) : "–";
    const turnText = () => (input.state().sign < 0 ? "less" : "more");
    const turn = one.ways
      ? h(
          "button",
          {
            type: "button",
            class: "key small turn",
            "aria-label": `${one.title}, trial ${name}: more or less`,
            onclick: () => input.turn(-input.state().sign),
          },
          turnText(),
        )
      : null;
    return { one, input, node: h("div", { class: turn ? "tried signed" : "tried" }, input.node, turn) };
  });

  /** The change as the model takes it, or null where a figure is out of bounds (which is said at its field). */
  function change() {
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
  /** Say what the model refused at its field; false where it is about no field here. */
  function tell(path, text) {
    const at =
      made.find(({ one }) => `$.change.${one.key}` === path) ??
      (path === "$.change.load_kg" ? made.find(({ one }) => one.key === "load_kg.left") : null);
    at?.input.tell(text);
    return Boolean(at);
  }
  /** Write values in millimetres into fields, as if typed. */
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
