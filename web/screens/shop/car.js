/* A car's page: its visits, heights and angles over time, predicted against measured, what is known of it and which
   visit taught it, and a new job that begins with what is known.

   The shop knows every visit; without it the page shows those on this device. */

import { h } from "../../parts/dom.js";
import { NINETY, angle, inHundred, plain } from "../../work/numbers.js";
import { useStyle } from "../../parts/style.js";
import { inches, length, toInches } from "../../work/units.js";
import { shortDate } from "../../work/dates.js";
import { plot, valueTable } from "../../parts/shop/plot.js";
import { lackNote } from "../../parts/shop/lack.js";
import { STATE_WORDS, carKey, rowOf } from "../../work/pc/job-order.js";
import { pathOf } from "../../work/pc/path-of.js";
import { stageRow } from "../../work/pc/stage-row.js";

const SIDES = ["left", "right"];
const CONSTANTS = {
  bar_nm_per_deg: ["Bar", "N·m per degree", 1],
  arm_mm: ["Arm", "mm", 1],
  roll_support_n_per_mm: ["Roll stiffness, rest of car", "N/mm", 1],
  bush_ratio: ["Bush, share of the bar’s rate", "%", 1, 100],
  unevenness_mm: ["Front out of level, as lean at the rear", "mm", 1],
  tyre_n_per_mm: ["Tyre", "N/mm", 0],
  settling_mm: ["Settling after hand-over, both sides", "mm", 1],
};
const unit = () => (inches() ? "in" : "mm");
const inUnit = (mm) => (mm === null || mm === undefined ? null : inches() ? toInches(mm) : mm);
const read = (mm) => (mm == null ? "not measured" : length(mm));
const later = ({ after_km: km }) => (km == null ? "" : `, ${plain(km, 0)} km on`);
const after = (row) => (row.teardown ? `after teardown ${row.teardown}` : "as found") + later(row);

/** The car from this device's own log, in the shape of the shop's answer; null where no job is of it. */
async function fromDevice(ctx, key) {
  const all = await ctx.log.jobs();
  await ctx.log.lookAll(all, () => {});
  const mine = all.map(ctx.log.peek).filter((found) => found && carKey({ ...found.sheet }) === key);
  if (!mine.length) return null;
  const visits = mine
    .map((found) => ({
      ...rowOf(found),
      began_from: found.sheet.known?.job ?? null,
      taught: Boolean(found.sheet.closed?.posterior),
    }))
    .sort((a, b) => (a.first_at < b.first_at ? 1 : -1));
  const teardowns = mine
    .flatMap(({ sheet, stages }) =>
      stages.filter(({ at }) => at).map((stage) => ({ job: sheet.job, title: sheet.title, ...stageRow(stage) })),
    )
    .sort(
      (a, b) => Date.parse(a.at) - Date.parse(b.at) || a.teardown - b.teardown || (a.after_km ?? 0) - (b.after_km ?? 0),
    );
  const { sheet } = ctx.log.peek(visits[0].job);
  const { bar, axle } = visits.map(({ job }) => ctx.log.peek(job).sheet.car).find((card) => card.bar) ?? sheet.car;
  const closed = mine
    .map((found) => found.sheet)
    .find((found) => found.job === visits.find(({ taught }) => taught)?.job)?.closed;
  const known = closed
    ? { use: true, job: visits.find(({ taught }) => taught).job, posterior: closed.posterior, learned: closed.learned }
    : null;
  const again = {
    job: { car: sheet.car_name, owner: sheet.owner, ...(sheet.about.car_id ? { car_id: sheet.about.car_id } : {}) },
    car: { ...(bar ? { bar } : {}), ...(axle ? { axle } : {}) },
    known,
  };
  return {
    car_key: key,
    car: sheet.car_name,
    owner: sheet.owner,
    visits,
    visit_count: visits.length,
    teardowns,
    constants: [],
    again,
  };
}

/** Steps along the plots: rows in order of time, with an empty one between two visits, so that no line joins them. */
function stepsOf(rows) {
  const steps = [];
  rows.forEach((row, i) => {
    if (i && rows[i - 1].job !== row.job) steps.push(null);
    steps.push(row);
  });
  return steps;
}

const range = (values, least) => {
  const there = values.filter((value) => value !== null);
  const [low, high] = [Math.min(...there), Math.max(...there)];
  const room = Math.max(least, (high - low) * 0.12);
  return there.length ? [low - room, high + room] : [0, 1];
};

/** The axis of steps: how far the work was under each, the day under the first of a visit. */
function stepAxis(steps) {
  return {
    label: "Visits and teardowns, in order of time",
    range: () => [-0.6, steps.length - 0.4],
    splits: () => steps.map((_, i) => i).filter((i) => steps[i]),
    values: (_, places) => {
      const rare = Math.ceil(places.length / Math.max(2, Math.floor(innerWidth / 130)));
      return places.map((i, n) => {
        const row = steps[i];
        const first = !i || !steps[i - 1];
        return n % rare
          ? ""
          : `${row.teardown ? `T${row.teardown}` : "found"}${row.after_km == null ? "" : " +"}\n${first || rare > 1 ? shortDate(row.at) : ""}`;
      });
    },
    space: 1,
    size: 58,
  };
}

const value = (steps, name, convert = (v) => v) =>
  steps.map((row) => (row && row[name] != null ? convert(row[name]) : null));
const stepName = (row) => `${shortDate(row.at)}, ${after(row)}`;

function heights(ctx, steps) {
  const series = SIDES.flatMap((side) => {
    const promised = value(steps, `promised_${side}_mm`, inUnit);
    const sd = value(steps, `promised_${side}_sd_mm`, inUnit);
    return [
      {
        name: `${side}, measured`,
        values: value(steps, `body_height_${side}_mm`, inUnit),
        mark: side === "left" ? "circle" : "square",
        ink: side,
        line: side === "left" ? "solid" : "dashed",
      },
      {
        name: `${side}, predicted ±`,
        values: promised,
        mark: side === "left" ? "ring" : "diamond",
        ink: side,
        low: promised.map((v, i) => (v === null ? null : v - NINETY * (sd[i] ?? 0))),
        high: promised.map((v, i) => (v === null ? null : v + NINETY * (sd[i] ?? 0))),
        aside: side === "left" ? -9 : 9,
      },
    ];
  });
  const rows = steps.filter(Boolean);
  const promise = (row, side) =>
    row[`promised_${side}_mm`] == null
      ? ""
      : `${plain(row[`promised_${side}_mm`], 1)} ± ${plain(NINETY * row[`promised_${side}_sd_mm`], 1)}`;
  return plot(ctx, {
    name: "Ride heights over time",
    says: `${rows.length} ${rows.length === 1 ? "state" : "states"} of the car, from ${shortDate(rows[0].at)} to ${shortDate(rows.at(-1).at)}. Filled marks were measured; open marks with a whisker were predicted; ± holds 90 in 100.`,
    x: steps.map((_, i) => i),
    series,
    xAxis: stepAxis(steps),
    yAxis: {
      label: `Ride height, ${unit()}`,
      range: () =>
        range(
          series.flatMap((s) => [...s.values, ...(s.low ?? []), ...(s.high ?? [])]),
          inches() ? 0.2 : 5,
        ),
    },
    table: {
      head: [
        "When",
        "Left, mm",
        "Right, mm",
        "Left predicted, mm",
        "Right predicted, mm",
        "Left target, mm",
        "Right target, mm",
      ],
      rows: rows.map((row) => [
        stepName(row),
        ...SIDES.map((side) => (row[`body_height_${side}_mm`] == null ? "" : plain(row[`body_height_${side}_mm`], 1))),
        ...SIDES.map((side) => promise(row, side)),
        ...SIDES.map((side) => (row[`target_${side}_mm`] == null ? "" : plain(row[`target_${side}_mm`], 0))),
      ]),
    },
  });
}

function angles(ctx, steps) {
  const series = ["hanging", "riding"].flatMap((what) =>
    SIDES.map((side) => ({
      name: `${what}, ${side}`,
      values: value(steps, `${what}_angle_${side}_deg`),
      mark: what === "hanging" ? (side === "left" ? "circle" : "square") : side === "left" ? "ring" : "diamond",
      ink: side,
      line: what === "hanging" ? (side === "left" ? "solid" : "dashed") : "dotted",
    })),
  );
  if (!series.some(({ values }) => values.some((v) => v !== null))) return null;
  const rows = steps.filter(Boolean);
  return plot(ctx, {
    name: "Arm angles over time",
    says:
      "Hanging: arm free, bar unloaded; turning teeth sets it. Riding: on its wheels. Positive is arm down, the " +
      "wheel below the bar.",
    x: steps.map((_, i) => i),
    series,
    xAxis: stepAxis(steps),
    yAxis: {
      label: "Arm angle, ° arm down",
      range: () =>
        range(
          series.flatMap(({ values }) => values),
          1,
        ),
    },
    table: {
      head: ["When", "Hanging left", "Hanging right", "Riding left", "Riding right"],
      rows: rows.map((row) => [
        stepName(row),
        ...["hanging", "riding"].flatMap((what) =>
          SIDES.map((side) =>
            row[`${what}_angle_${side}_deg`] == null ? "" : angle(row[`${what}_angle_${side}_deg`]),
          ),
        ),
      ]),
    },
  });
}

function promises(ctx, rows) {
  const torn = rows.filter(({ teardown, after_km: km }) => teardown > 0 && km == null);
  if (!torn.length) return null;
  const verdict = ({ hit }) => (hit === null || hit === undefined ? "not known" : hit ? "on target" : "off target");
  return h(
    "section",
    null,
    h("h2", { text: "Predicted and measured" }),
    valueTable({
      stacks: true,
      caption: "Predicted and measured, per teardown",
      head: ["Teardown", "Chance", "Left predicted", "Left measured", "Right predicted", "Right measured", "Result"],
      rows: torn.map((row) => [
        h("a", { href: ctx.href({ words: ["close"] }, row.job) }, `${shortDate(row.at)}, teardown ${row.teardown}`),
        row.odds == null ? "no plan" : `${inHundred(row.odds)}${row.followed === false ? ", other teeth turned" : ""}`,
        ...SIDES.flatMap((side) => [
          row[`promised_${side}_mm`] == null
            ? ""
            : `${plain(row[`promised_${side}_mm`], 0)} ± ${plain(NINETY * row[`promised_${side}_sd_mm`], 0)} mm`,
          read(row[`body_height_${side}_mm`]),
        ]),
        verdict(row),
      ]),
    }),
  );
}

function constants(ctx, found, local) {
  const section = (...inside) =>
    h("section", { class: "constants" }, h("h2", { text: "Learned about this car" }), ...inside);
  if (local) return section(h("p", { class: "where", text: "Shown when the shop answers." }));
  if (!found.constants.length)
    return section(h("p", { class: "where", text: "Nothing learned yet. Handing a job over saves what it learned." }));
  const many = new Set(found.visits.map(({ title }) => title)).size < found.visits.length;
  return section(
    valueTable({
      stacks: true,
      caption: "Constants with ± and the visit they come from",
      head: ["Constant", "Value", "Default ±", "Learned from"],
      rows: found.constants.map(
        ({ name, value: mean, sd, assumed_sd: before, from_job: job, from_title: title, from_at: at }) => {
          const [text, of, places, times = 1] = CONSTANTS[name] ?? [name, "", 2];
          const source = job
            ? h(
                "a",
                { href: ctx.href({ words: ["list"] }, job) },
                `the visit of ${shortDate(at)}${many || !title ? "" : `, ${title}`}`,
              )
            : "Default, not measured";
          return [
            text,
            h("strong", { text: `${plain(mean * times, places)} ± ${plain(NINETY * sd * times, places)} ${of}` }),
            before == null ? "" : `± ${plain(NINETY * before * times, places)} ${of}`,
            source,
          ];
        },
      ),
    }),
    h("p", { class: "where", text: "The visit that narrowed the value most. ± holds 90 in 100." }),
  );
}

function visits(ctx, { visits: list, visit_count: count }) {
  return h(
    "section",
    null,
    h("h2", { text: `Visits: ${count}` }),
    valueTable({
      stacks: true,
      caption: "Visits, the last first",
      head: ["Started", "Request", "Status", "Teardowns", "Predicted chance", "Last heights", "Started from"],
      rows: list.map((row) => [
        h("a", { href: ctx.href({ words: ["list"] }, row.job) }, row.first_at ? shortDate(row.first_at) : "no date"),
        row.wish || row.title,
        [STATE_WORDS[row.state] ?? row.state, row.conflicts ? `, ${row.conflicts} to resolve` : ""].join(""),
        plain(row.teardowns, 0),
        row.odds == null ? "" : inHundred(row.odds),
        row.left_mm == null || row.right_mm == null
          ? "not measured"
          : `${plain(row.left_mm, 0)} / ${plain(row.right_mm, 0)} mm`,
        row.began_from === null || row.began_from === undefined ? "defaults" : "an earlier visit",
      ]),
    }),
  );
}

/** A new job for this car, with what is known. */
function anew(ctx, { car, owner, again }) {
  const wish = h("input", {
    id: "again-wish",
    type: "text",
    maxlength: 400,
    autocomplete: "off",
    placeholder: "Level it, 250 mm both sides",
  });
  const use = again.known ? h("input", { id: "again-known", type: "checkbox", checked: true }) : null;
  const begin = async (event) => {
    event.preventDefault();
    const title = [car, owner].filter(Boolean).join(", ");
    const items = [["job", { title, ...again.job, ...(wish.value.trim() ? { wish: wish.value.trim() } : {}) }]];
    if (Object.keys(again.car).length) items.push(["car", again.car]);
    if (again.known) items.push(["known", use.checked ? again.known : { use: false, job: again.known.job }]);
    const job = await ctx.begin(items);
    if (job) ctx.go({ words: ["target"] }, { job });
  };
  ctx.unsaved(() => wish.value.trim() !== "");
  return h(
    "details",
    { class: "again" },
    h("summary", { text: "New job for this car" }),
    h(
      "form",
      { class: "new", onsubmit: begin },
      h("label", { for: "again-wish", text: "Customer’s request" }),
      wish,
      use
        ? h(
            "label",
            { class: "key wide followup" },
            use,
            h("span", { text: "Start from its earlier visits. Untick if bars, arms or bushes were changed." }),
          )
        : h("p", {
            class: "where",
            text: again.car.bar ? "Bar and arm are copied; nothing was learned." : "Only its name is known.",
          }),
      h("button", { class: "key main wide" }, "Start job"),
    ),
  );
}

/** The screen. */
export function car(ctx) {
  useStyle("car");
  const { key = "" } = ctx.query;
  const heading = h("h1", { text: "A car" });
  const rest = h("div", { class: "car-rest" }, h("p", { class: "working", role: "status", text: "Loading…" }));
  let gone = false;
  ctx.whileShown(() => (gone = true));

  async function look() {
    const { body, problem, lack } = await ctx.pc.askShop(pathOf("/api/cars/page", { key }));
    const found = body ?? (await fromDevice(ctx, key).catch(() => null));
    if (gone) return;
    const note = lack
      ? lackNote(lack, found ? "Below: the visits on this device." : "No visits of this car on this device.", look)
      : null;
    if (!found) {
      rest.replaceChildren(
        ...[
          note ??
            h("p", {
              class: "refused",
              role: "alert",
              text: problem?.code === "not-found" ? "Car not found." : (problem?.detail ?? "No answer from the shop."),
            }),
          h("a", { class: "key", href: "#/table" }, "All jobs"),
        ].filter(Boolean),
      );
      return;
    }
    heading.textContent = [found.car || "Car without a name", found.owner].filter(Boolean).join(", ");
    document.title = heading.textContent;
    const steps = stepsOf(found.teardowns);
    const some = steps.some(Boolean);
    rest.replaceChildren(
      ...[
        note,
        anew(ctx, found),
        h(
          "div",
          { class: "plots" },
          some ? heights(ctx, steps) : h("p", { text: "No height or angle read yet." }),
          some ? angles(ctx, steps) : null,
        ),
        promises(ctx, found.teardowns),
        constants(ctx, found, !body),
        visits(ctx, found),
        h(
          "div",
          { class: "keys" },
          h("a", { class: "key", href: pathOf("#/table", { car: found.car }) }, "Jobs of this car"),
          h("a", { class: "key", href: "#/shop" }, "Shop statistics"),
        ),
      ].filter(Boolean),
    );
  }
  look();
  return { title: "A car", fresh() {}, node: h("div", { class: "car-page" }, heading, rest) };
}
