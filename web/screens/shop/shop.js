/* The shop's page: whether the predictions are reliable, how often the first teardown is enough, how many a job
   takes, how far heights are off, and whether extra tests help.

   Every figure says how many it rests on, and shares have their 95 % interval: a season is small. */

import { h } from "../../parts/dom.js";
import { plate } from "../../parts/plate.js";
import { plain } from "../../work/numbers.js";
import { useStyle } from "../../parts/style.js";
import { plot, valueTable } from "../../parts/shop/plot.js";
import { lackNote } from "../../parts/shop/lack.js";

const TESTS = {
  boards: "a board test",
  ballast: "a ballast test",
  hang: "a droop test",
  scales: "wheel loads on scales",
  "heights twice": "both ride heights read twice or more",
  known: "constants from an earlier visit",
};
/** Fewer than this on either side is said to tell nothing yet. */
const FEW = 5;
const hundredths = (share) => plain(share * 100, 0);
const count = (n, one, many = `${one}s`) => `${plain(n, 0)} ${n === 1 ? one : many}`;
const inHundreds = ({ share, share_low: low, share_high: high }) =>
  share === null ? "nothing counted yet" : `${hundredths(share)} in 100 (${hundredths(low)} to ${hundredths(high)})`;
const ofMany = ({ landed, count: n }) => `${plain(landed, 0)} of ${plain(n, 0)}`;

function figure(name, big, text) {
  return h(
    "section",
    { class: "head-figure" },
    h("h2", { text: name }),
    h("strong", { text: big }),
    h("p", { class: "where", text }),
  );
}

function heads({ first_teardown: first, all, height_error: error, teardowns_per_job: per }) {
  const closed = per.reduce((sum, row) => sum + row.handed_over, 0);
  const teardowns = per.reduce((sum, row) => sum + row.handed_over * row.teardowns, 0);
  const between = ({ share_low: low, share_high: high }) => `95 % interval ${hundredths(low)} to ${hundredths(high)}`;
  return h(
    "div",
    { class: "head-figures" },
    figure(
      "On target first time",
      first.share === null ? "none yet" : `${hundredths(first.share)} in 100`,
      first.count
        ? `${ofMany(first)} jobs whose first teardown was read; ${between(first)}.`
        : "No job has been read after its first teardown.",
    ),
    figure(
      "Teardowns for a job",
      closed ? plain(teardowns / closed, 2) : "none yet",
      closed ? `Mean of ${count(closed, "job")} handed over.` : "No job has been handed over.",
    ),
    figure(
      "Predicted and actual",
      all.share === null ? "none yet" : `${hundredths(all.promised)} → ${hundredths(all.share)}`,
      all.count
        ? `Of 100: predicted on average, and on target (${between(all)}), over ${count(all.count, "teardown")} done as ` +
            `planned. Brier score ${plain(all.brier, 2)}; 0 is best.`
        : "No plan has been followed and measured yet.",
    ),
    figure(
      "Predicted and measured heights",
      error.rms_mm === null ? "none yet" : `${plain(error.rms_mm, 1)} mm`,
      error.count
        ? `Root mean square of ${count(error.count, "height")}; mean ${plain(error.mean_mm, 1)} mm. ` +
            `That is ${plain(error.rms_sd, 2)} predicted standard deviations; 1 is as predicted.`
        : "No height has been measured after a plan.",
    ),
  );
}

/** How far the predictions can be relied on: {good, title, text}; good is null where too little was done to tell. */
function reliability({ all }) {
  const { count: n, promised, share, share_low: low, share_high: high } = all;
  if (share === null || n < FEW)
    return {
      good: null,
      title: `Too few to tell: ${count(n, "teardown")}`,
      text: `Known from ${FEW} teardowns done as planned and measured.`,
    };
  const good = promised >= low && promised <= high;
  const verdict = good ? "no sign of error" : promised > high ? "too optimistic" : "too cautious";
  return {
    good,
    title: `Predicted ${hundredths(promised)} in 100, actual ${hundredths(share)}: ${verdict}`,
    text: `${ofMany(all)} teardowns done as planned were on target. 95 % interval: ${hundredths(low)} to ${hundredths(high)} in 100.`,
  };
}

/** The question that comes first, and its answer. */
function verdict(found) {
  const { good, title, text } = reliability(found);
  return h(
    "section",
    { class: "reliable" },
    h("h2", { text: "Are the predictions reliable?" }),
    good === null
      ? h("div", { class: "verdict-plate plain" }, h("h3", { text: title }), h("p", { class: "says", text }))
      : plate({ good, title, text, level: "h3" }),
  );
}

/**
 * Predicted chances against what came of them: a mark per tenth with its 95 % interval, and the line where they
 * would be equal.
 */
function calibration(ctx, { bins, all }) {
  const some = bins.filter((bin) => bin.count);
  if (!some.length) return null;
  const times = (name) => some.map((bin) => bin[name] * 100);
  const under = (u, canvas, px, colour) => {
    canvas.save();
    canvas.strokeStyle = colour("line");
    canvas.lineWidth = 2 * px;
    canvas.setLineDash([8 * px, 6 * px]);
    canvas.beginPath();
    canvas.moveTo(u.valToPos(0, "x", true), u.valToPos(0, "y", true));
    canvas.lineTo(u.valToPos(100, "x", true), u.valToPos(100, "y", true));
    canvas.stroke();
    canvas.restore();
  };
  const outside = some.filter((bin) => bin.promised < bin.share_low || bin.promised > bin.share_high);
  return plot(ctx, {
    name: "Predicted and actual chance",
    says: `${count(all.count, "teardown")} done as planned. Each mark is a tenth of the chances: how many of 100 were on target, with the 95 % interval (binomial) and the number of teardowns. On the dashed line predicted equals actual; ${outside.length ? `${count(outside.length, "interval")} of ${some.length} ${outside.length === 1 ? "does" : "do"} not reach it` : "every interval reaches it"}.`,
    x: times("promised"),
    series: [
      {
        name: "on target",
        values: times("share"),
        low: times("share_low"),
        high: times("share_high"),
        mark: "circle",
        ink: "left",
        notes: some.map((bin) => `${bin.count}`),
      },
    ],
    xAxis: { label: "Predicted, in 100", range: () => [0, 104] },
    yAxis: { label: "On target, in 100", range: () => [-2, 104] },
    under,
    table: {
      head: ["Predicted from, to", "Predicted on average", "On target", "On target, in 100", "95 % interval, in 100"],
      rows: bins.map((bin) => [
        `${hundredths(bin.low)} to ${hundredths(bin.high)}`,
        bin.promised === null ? "" : plain(bin.promised * 100, 1),
        ofMany(bin),
        bin.share === null ? "" : plain(bin.share * 100, 1),
        bin.count ? `${hundredths(bin.share_low)} to ${hundredths(bin.share_high)}` : "",
      ]),
    },
  });
}

const wholes = (values) => {
  const most = Math.max(1, ...values);
  const step = Math.max(1, Math.ceil(most / 6));
  return {
    range: () => [0, most * 1.15 + 0.5],
    splits: () => Array.from({ length: Math.floor((most * 1.15 + 0.5) / step) + 1 }, (_, i) => i * step),
  };
};

function perJob(ctx, { teardowns_per_job: per }) {
  const done = per.map((row) => row.handed_over);
  if (!done.some(Boolean)) return null;
  return plot(ctx, {
    name: "Teardowns a job took",
    says: `${count(
      done.reduce((a, b) => a + b, 0),
      "job",
    )} handed over. Open jobs may take more; they are in the table only.`,
    x: per.map((row) => row.teardowns),
    series: [
      {
        name: "jobs handed over",
        values: done,
        mark: "bar",
        ink: "good",
        notes: done.map((n) => (n ? String(n) : "")),
      },
    ],
    xAxis: { label: "Teardowns", range: () => [-0.6, per.length - 0.4], splits: () => per.map((row) => row.teardowns) },
    yAxis: { label: "Jobs", ...wholes(done) },
    table: {
      head: ["Teardowns", "Jobs handed over", "Open jobs"],
      rows: per.map((row) => [plain(row.teardowns, 0), plain(row.handed_over, 0), plain(row.in_hand, 0)]),
    },
  });
}

function misses(ctx, { height_error: error }) {
  if (!error.bins.length) return null;
  const counts = error.bins.map((bin) => bin.count);
  const middle = (bin) => (bin.low_mm + bin.high_mm) / 2;
  return plot(ctx, {
    name: "Measured less predicted height",
    says: `${count(error.count, "height")}, both sides, after teardowns done as planned; bins of 2 mm. Positive is higher than predicted.`,
    x: error.bins.map(middle),
    series: [
      { name: "heights", values: counts, mark: "bar", ink: "steel", notes: counts.map((n) => (n ? String(n) : "")) },
    ],
    xAxis: {
      label: "Off by, mm",
      range: () => [middle(error.bins[0]) - 1.5, middle(error.bins.at(-1)) + 1.5],
      splits: () => error.bins.map(middle).filter((_, i, all) => all.length < 9 || middle(error.bins[i]) % 4 === 0),
    },
    yAxis: { label: "Heights", ...wholes(counts) },
    table: {
      head: ["Off by, mm", "Heights"],
      rows: error.bins.map((bin) => [`${plain(bin.low_mm, 0)} to ${plain(bin.high_mm, 0)}`, plain(bin.count, 0)]),
    },
  });
}

/** What can be said of one test, and no more. */
function told({ with_it: one, without: other }) {
  if (one.count < FEW || other.count < FEW) return `too few: ${Math.min(one.count, other.count)} on one side`;
  if (one.share_low > other.share_high) return "more often on target with it; the intervals do not overlap";
  if (one.share_high < other.share_low) return "less often on target with it; the intervals do not overlap";
  return "no difference: the intervals overlap";
}

function helped({ helped: list }) {
  const cell = (part) =>
    part.count
      ? [h("strong", { text: inHundreds(part) }), ` ${ofMany(part)}, predicted ${hundredths(part.promised)}`]
      : "none";
  return h(
    "section",
    { class: "helped" },
    h("h2", { text: "Do extra tests help?" }),
    h("p", {
      class: "where",
      text:
        "First teardowns done as planned, with and without a test in the plan. In 100, with the 95 % interval. A " +
        "comparison, not a proof: tested cars may differ in other ways.",
    }),
    valueTable({
      stacks: true,
      caption: "First teardowns with and without a test",
      head: ["Planned with", "On target with it", "Without it", "Result"],
      rows: list.map((row) => [TESTS[row.test] ?? row.test, cell(row.with_it), cell(row.without), told(row)]),
    }),
  );
}

/** The screen. */
export function shop(ctx) {
  useStyle("car");
  const rest = h("div", { class: "car-rest" }, h("p", { class: "working", role: "status", text: "Loading…" }));
  let gone = false;
  ctx.whileShown(() => (gone = true));
  async function look() {
    const { body, problem, lack } = await ctx.pc.askShop("/api/history/calibration");
    if (gone) return;
    if (!body) {
      const said = lack ?? { code: "not-ours", text: problem?.detail ?? "The shop gave no answer." };
      rest.replaceChildren(lackNote(said, "These figures need all jobs, which only the shop has.", look));
      return;
    }
    const plots = [calibration(ctx, body), perJob(ctx, body), misses(ctx, body)].filter(Boolean);
    rest.replaceChildren(
      verdict(body),
      heads(body),
      plots.length
        ? h("div", { class: "plots" }, plots)
        : h("p", { text: "No plots until a plan was followed and its heights were measured." }),
      helped(body),
      h("div", { class: "keys" }, h("a", { class: "key", href: "#/table" }, "All jobs")),
    );
  }
  look();
  return {
    title: "Shop statistics",
    fresh() {},
    node: h("div", { class: "shop-page" }, h("h1", { text: "Shop statistics" }), rest),
  };
}
