/* One side of a plan: which end to turn, how many teeth, which way; the arm now and then; what it will read and what
   it takes to lift it. */

import { h } from "../parts/dom.js";
import { dial } from "../parts/dial.js";
import { angle, plain, spread } from "../parts/numbers.js";
import { sideView } from "../parts/side-view.js";

const G = 9.80665;

const row = (name, ...value) => h("div", { class: "row" }, h("dt", { text: name }), h("dd", null, ...value));

/** What lifting the arm onto its stop takes. */
function liftRow({ torque_nm: torque, force_n: force, energy_j: energy }) {
  if (torque <= 0) return row("Lift to the stop", "none: the arm hangs at or above its stop");
  return row(
    "Lift to the stop",
    h("strong", { text: `${plain(force, 0)} N` }),
    ` at the wheel end, as much as ${plain(force / G, 0)} kg; ${plain(torque, 0)} N·m at the bar, ${plain(energy, 0)} J wound up`,
  );
}

/** The card of one side of an option. */
export function planSide({ side, option, now, bar }) {
  const then = option[side];
  const was = now[side];
  const still = !then.inner && !then.outer;
  return h(
    "section",
    { class: `corner ${side}`, "aria-labelledby": `corner-${side}` },
    h("h2", { id: `corner-${side}` }, h("span", { class: `side-name ${side}`, text: side }), " side"),
    h(
      "div",
      { class: "ends" },
      dial({ side, end: "inner", teeth: then.inner, of: bar.inner_teeth }),
      dial({ side, end: "outer", teeth: then.outer, of: bar.outer_teeth }),
    ),
    h("p", { class: "seen", text: still ? `Nothing to turn on the ${side}.` : `As seen kneeling at the ${side} wheel.` }),
    sideView({
      side,
      mode: "plan",
      angle: then.riding_deg,
      was: was.riding_deg.value,
      words: `The arm on the ${side}: riding at ${angle(was.riding_deg.value)} now, at ${angle(then.riding_deg)} then.`,
    }),
    h(
      "dl",
      { class: "facts" },
      row("Body height", `${plain(was.body_height_mm.value, 0)} → `, h("strong", { text: spread(then.body_height_mm, "mm") })),
      row("Hanging, gauge reads", h("strong", { text: angle(then.hanging_deg) }), ` (now ${angle(was.hanging_deg.value)})`),
      row("Riding", `${angle(then.riding_deg)} (now ${angle(was.riding_deg.value)})`),
      liftRow(then.lift),
      row("Travel left", `${plain(then.bump_left_mm, 0)} mm up, ${plain(then.droop_left_mm, 0)} mm down`),
      row("Bar at full bump", `${plain(then.stress_at_bump_mpa, 0)} MPa`),
      Math.abs(then.camber_change_deg) > 0.05 ? row("Camber changes by", `${plain(then.camber_change_deg, 1)}°`) : null,
    ),
  );
}
