/* The back of the hand-over sheet, for the next mechanic: what was turned, what was predicted and what came, what
   lifting takes, the car's constants, its bars, who entered what and when. */

import { dataTable } from "../../parts/data-table.js";
import { h } from "../../parts/dom.js";
import { NINETY, inHundred, plain, short, spread, teeth } from "../../work/numbers.js";
import { inches, onPaper, spreadOnPaper } from "../../work/units.js";
import { shortDate } from "../../work/dates.js";
import { liftWords } from "../../work/lift.js";
import { READINGS, SIDES, teardownWords, valueOf } from "../../work/readings.js";
import { STANDING } from "../../work/safety.js";
import { aimWords, withinWords } from "../../work/wish.js";

const ENDS = ["inner", "outer"];
const CONSTANTS = [
  ["bar_nm_per_deg", "Bar", (v) => spread(v, "N·m per degree", 1)],
  ["arm_mm", "Arm", (v) => spreadOnPaper(v)],
  ["mm_per_deg", "Height per degree", (v) => spread(v, "mm", 2)],
  ["roll_support_n_per_mm", "Roll stiffness, rest of car", (v) => spread(v, "N/mm", 1)],
  [
    "bush_ratio",
    "Bush, part of the bar’s rate",
    (v) => `${plain(100 * v.value, 1)} ± ${plain(100 * NINETY * v.sd, 1)} %`,
  ],
  ["tyre_n_per_mm", "Tyre", (v) => spread(v, "N/mm", 0)],
];
const degrees = (value) => (value == null ? "–" : `${plain(value, 1)}°`);
const pair = (get) => SIDES.map(get).join(" / ");
const said = (value, words) => (typeof value === "number" ? words(value) : null);

/** Heights of the table: millimetres, in inches as well where those are used. */
const mm = (value) => (inches() ? onPaper(value, 1) : plain(value, 1));
const predicted = (value, sd) =>
  value == null ? "–" : inches() ? spreadOnPaper({ value, sd }) : `${plain(value, 0)} ± ${plain(NINETY * sd, 0)}`;

/** "3 up, 4 down": teeth at the inner and the outer end, arm down positive. */
const turned = (side) =>
  ENDS.map((end) => (side?.[end] ? teeth(side[end]).replace(/ (tooth|teeth) arm/, "") : "0")).join(", ");

function work({ sheet, stages }, open) {
  const rows = stages.map((stage) => {
    const { teardown, reached, promised, followed, hit } = stage;
    const later = (stage.after_km ?? null) !== null;
    const move = later ? null : sheet.moves.find((each) => each.teardown === teardown);
    const disputed = (what, side) => open.readings.has(`${what} ${teardown} ${side}`);
    const height = (side) =>
      disputed("body-height", side) ? "in dispute" : reached[`${side}_mm`] == null ? "–" : mm(reached[`${side}_mm`]);
    const lean = SIDES.some((side) => disputed("body-height", side))
      ? "in dispute"
      : reached.lean_mm == null
        ? "–"
        : mm(reached.lean_mm);
    const angleOf = (what, values) => pair((side) => (disputed(what, side) ? "in dispute" : degrees(values[side])));
    const met = later ? stage.still_within : hit;
    const verdict = lean === "in dispute" ? "in dispute" : met == null ? "–" : met ? "within" : "off";
    return [
      later
        ? `After ${plain(stage.after_km, 0)} km`
        : teardown
          ? `${teardown}, ${move ? shortDate(move.at) : "not entered"}`
          : "As found",
      ...SIDES.map((side) =>
        !teardown || later ? "" : open.moves.has(teardown) ? "in dispute" : move ? turned(move[side]) : "–",
      ),
      angleOf("hanging-angle", stage.hanging_deg),
      angleOf("riding-angle", stage.riding_deg),
      promised
        ? pair((side) => predicted(promised[`${side}_mm`], promised[`${side}_sd_mm`]))
        : teardown && !later
          ? "no plan kept"
          : "",
      promised ? `${inHundred(promised.odds)}${followed === false ? ", other teeth turned" : ""}` : "",
      pair(height),
      lean,
      teardown || later ? verdict : "",
    ];
  });
  const how = `Teeth as inner, outer; down is arm down and raises the car. Angles against the body, wheel below the bar positive. Heights in ${inches() ? "inches and mm" : "mm"}, ± holds 90 in 100. Left / right.`;
  const head = [
    "Teardown",
    "Left teeth",
    "Right teeth",
    "Hanging angle",
    "Riding angle",
    "Predicted",
    "Chance",
    "Measured",
    "Lean",
    "Verdict",
  ];
  return h(
    "div",
    { class: "work-done" },
    h("h3", { text: "Work done" }),
    h("p", { text: how }),
    dataTable({ label: "Work done", head, rows }),
  );
}

/** What it took to let each arm down and to lift it onto its stop, by the plan each teardown was done by. */
function lifts({ sheet, stages }) {
  const figure = (lift) => {
    const words = liftWords(lift);
    return words ? `${words.torque.replace(" at the bar", "")}, ${words.force}, ${words.energy}` : "slack";
  };
  const rows = stages
    .filter(({ teardown, plan }) => teardown && plan)
    .flatMap(({ teardown, plan: id, followed }) => {
      const plan = sheet.plans.find((each) => each.id === id);
      return plan && SIDES.some((side) => plan[side]?.lift)
        ? [
            [
              `${teardown}${followed === false ? ", other teeth were turned" : ""}`,
              ...SIDES.map((side) => (plan[side].lift ? figure(plan[side].lift) : "–")),
            ],
          ]
        : [];
    });
  return rows.length
    ? dataTable({
        caption: "Lifting the arm onto its stop by the plan: torque at the bar, force at the wheel end, energy stored",
        head: ["Teardown", "Left", "Right"],
        rows,
      })
    : h("p", { text: "Lift figures: no plan kept that has them." });
}

function now(answer, target) {
  if (!answer) return null;
  const [leave] = answer.options.filter(({ ends_disturbed: ends }) => ends === 0);
  const read = SIDES.every((side) => answer.now[side].body_height_mm);
  const height = (side) =>
    answer.now[side].body_height_mm ? spreadOnPaper(answer.now[side].body_height_mm, 1) : "height not read";
  const aim = aimWords(target);
  return h(
    "p",
    null,
    h("strong", { text: "As it stands, by all readings: " }),
    `${SIDES.map((side) => `${side} ${height(side)}, carries ${spread(answer.now[side].load_kg, "kg")}`).join("; ")}${leave && read ? `; lean ${spreadOnPaper(leave.lean_mm, 1)}` : ""}. Target: ${aim && target.as && target.as !== "heights" ? `${aim}, ` : ""}each ${withinWords(target)}.`,
  );
}

function constants(learned, why) {
  const rows = CONSTANTS.filter(([name]) => learned?.[name]).map(([name, label, words]) => [
    label,
    words(learned[name]),
  ]);
  return rows.length
    ? dataTable({ caption: "Learned about this car", head: ["Constant", "Learned, ± holds 90 in 100"], rows })
    : h("p", { text: `Learned about this car: ${why}` });
}

function bars({ car }) {
  const { bar = {}, limits = {} } = car;
  const mm = (value) => said(value, (v) => `${short(v)} mm`);
  const rows = [
    [
      "Bar",
      [
        said(bar.diameter_mm, (v) => `${short(v)} mm thick`),
        bar.bore_mm ? `bore ${short(bar.bore_mm)} mm` : null,
        said(bar.length_mm, (v) => `${short(v)} mm long`),
      ],
    ],
    ["Teeth", [said(bar.inner_teeth, (v) => `inner ${v}`), said(bar.outer_teeth, (v) => `outer ${v}`)]],
    ["Arm", [mm(car.arm_mm), car.axle ? `${car.axle} axle` : null]],
    ["Stop", [said(limits.stop_deg, (v) => `${plain(v, 1)}°`)]],
    [
      "Travel as taken in",
      [said(limits.bump_mm, (v) => `${short(v)} mm to bump`), said(limits.droop_mm, (v) => `${short(v)} mm to droop`)],
    ],
    ["Permissible stress", [said(limits.permissible_stress_mpa, (v) => `${short(v)} MPa`)]],
  ]
    .map(([name, parts]) => [name, parts.filter(Boolean).join(", ")])
    .filter(([, text]) => text);
  return rows.length
    ? dataTable({ caption: "Bars and arms as entered", head: ["Part", "Figure"], rows })
    : h("p", { text: "No bars were entered." });
}

const KINDS = {
  car: "car",
  close: "hand-over",
  job: "job’s card",
  known: "known before",
  move: "teeth turned",
  note: "note",
  plan: "plan",
  reading: "reading",
  settle: "conflict resolved",
  step: "step",
  strike: "removal",
  target: "target",
};

/** One line for each device and day: "25 Nov 2026, this device: 6 readings, 2 plans". */
function written({ entries }, nameOf, most) {
  const groups = new Map();
  for (const { at, device, kind } of [...entries].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    const key = `${at.slice(0, 10)} ${device}`;
    if (!groups.has(key)) groups.set(key, { at, device, from: at.slice(11, 16), to: "", counts: new Map() });
    const group = groups.get(key);
    group.to = at.slice(11, 16);
    group.counts.set(kind, (group.counts.get(kind) ?? 0) + 1);
  }
  const lines = [...groups.values()].map(
    ({ at, device, from, to, counts }) =>
      `${shortDate(at)}, ${from}${to === from ? "" : ` to ${to}`}, ${nameOf(device)}: ${[...counts].map(([kind, n]) => `${KINDS[kind] ?? kind}${n > 1 ? ` × ${n}` : ""}`).join(", ")}`,
  );
  return shortened("Who entered what, and when", lines, most, "in the job’s log");
}

function shortened(heading, lines, most, where) {
  if (!lines.length) return null;
  const left = lines.length - most;
  return h(
    "div",
    null,
    h("h3", { text: heading }),
    h(
      "ul",
      null,
      lines.slice(0, most).map((text) => h("li", { text })),
      left > 0 ? h("li", { text: `And ${left} more, ${where}.` }) : null,
    ),
  );
}

/** Tests that were read beside the plain readings: "board, after teardown 1: ...". */
function others({ sheet }) {
  const list = sheet.readings.filter(
    ({ what, pose }) => what === "hub-to-body" || what === "wheel-load" || (pose && Object.values(pose).some(Boolean)),
  );
  if (!list.length) return null;
  const rounds = Map.groupBy(list, ({ teardown }) => teardown ?? 0);
  return h(
    "p",
    null,
    h("strong", { text: "Also read: " }),
    [...rounds]
      .map(
        ([teardown, rows]) =>
          `${teardownWords(teardown)} ${[...Map.groupBy(rows, ({ what }) => what)]
            .map(
              ([what, some]) =>
                `${READINGS[what].title.toLowerCase()} ${some
                  .slice(0, 6)
                  .map((row) => `${row.side[0].toUpperCase()} ${valueOf(row)}`)
                  .join(", ")}${some.length > 6 ? ` and ${some.length - 6} more` : ""}`,
            )
            .join("; ")}`,
      )
      .join(". "),
    ".",
  );
}

/**
 * The back. `answer` is the solver's or null and `why` says why not; `most` how many lines of each list;
 * `cut(text)` shortens.
 */
export function back(all, { answer, learned, why, open, nameOf, most, cut }) {
  const { sheet } = all;
  const notes = sheet.notes.map(
    (note) => `${shortDate(note.at)}, ${nameOf(note.device)}: ${cut(note.text, most > 6 ? 400 : 160)}`,
  );
  return h(
    "section",
    { class: "sheet-back", "aria-label": "Back, for the next mechanic" },
    h(
      "header",
      { class: "sheet-head" },
      h("h2", {
        text: `For the next mechanic: ${cut([sheet.car_name || sheet.title || "car without a name", sheet.owner].filter(Boolean).join(", "), 160)}`,
      }),
      h("p", { class: "sheet-date", text: `Job …${sheet.job.slice(-12)}` }),
    ),
    sheet.moves.length ? null : h("p", { text: "No teardown was entered." }),
    work(all, open),
    now(answer, sheet.target),
    open.lines.length
      ? h(
          "div",
          { class: "disputed" },
          open.lines.slice(0, most).map((text) => h("p", { text: cut(text, 240) })),
          open.lines.length > most ? h("p", { text: `And ${open.lines.length - most} more.` }) : null,
        )
      : null,
    lifts(all),
    h("div", { class: "two" }, h("div", null, constants(learned, why)), h("div", null, bars(sheet))),
    others(all),
    shortened("Notes", notes, most, "in the job’s log"),
    written(all, nameOf, most),
    h(
      "ul",
      { class: "sheet-cautions" },
      STANDING.map(({ word, text }) => h("li", null, h("strong", { text: `${word}. ` }), text)),
    ),
    h("p", { class: "sheet-mark", text: "Simulated season: this car, its owner and every figure are invented." }),
  );
}
