// A car's page: how its visits went, what is known of it by what that costs, its rows in order of time.
import assert from "node:assert/strict";
import { test } from "node:test";
import { costWords, costsOf, knownExactly, nextVisit, sortedByCost } from "../../web/work/pc/car-constants.js";
import { carHere, carsHere } from "../../web/work/pc/car-local.js";
import { rangeOf, stepsOf, tickWords } from "../../web/work/pc/car-steps.js";
import { headline, visitsOf } from "../../web/work/pc/car-visits.js";
import { forMany } from "./draws.mjs";

const visit = (job, more = {}) => ({
  job,
  title: `visit ${job}`,
  wish: "",
  state: "closed",
  odds: null,
  first_at: "2026-03-01T10:00:00Z",
  began_from: null,
  conflicts: 0,
  left_mm: 250,
  right_mm: 251,
  ...more,
});
const row = (job, teardown, hit, more = {}) => ({
  job,
  teardown,
  hit,
  after_km: null,
  at: `2026-03-0${teardown + 1}T10:00:00Z`,
  odds: teardown ? 0.8 : null,
  body_height_left_mm: 210 + 40 * teardown,
  body_height_right_mm: 212 + 40 * teardown,
  hub_to_body_left_mm: null,
  hub_to_body_right_mm: null,
  target_left_mm: 250,
  target_right_mm: 250,
  tolerance_mm: 5,
  ...more,
});
const page = (visits, teardowns) => ({ visits, teardowns, visit_count: visits.length });
const said = (visits, teardowns) => headline(visitsOf(page(visits, teardowns)), visits.length);

test("one line says how the visits went: each, some, none measured yet", () => {
  const good = (job) => [row(job, 0, false), row(job, 1, true)];
  assert.equal(said([visit("a")], good("a")), "1 visit, on target first time");
  assert.equal(said([visit("a"), visit("b")], [...good("a"), ...good("b")]), "2 visits, each on target first time");
  assert.equal(
    said([visit("a"), visit("b"), visit("c")], [...good("a"), row("b", 1, false), row("b", 2, true)]),
    "3 visits, on target first time: 1 of 2",
  );
  assert.equal(said([visit("a")], [row("a", 0, false)]), "1 visit, nothing measured afterwards yet");
});

test("a visit shows the first and the last time that all four wheels were weighed", () => {
  const weighed = (percent) => ({ cross_percent: percent });
  const [none] = visitsOf(page([visit("a")], [row("a", 0, false), row("a", 1, true)]));
  assert.deepEqual(none.cross, []);
  const rows = [50, null, 49, 51].map((percent, i) => row("a", i, null, weighed(percent)));
  const [all] = visitsOf(page([visit("a")], rows));
  assert.deepEqual(
    all.cross.map((each) => each.cross_percent),
    [50, 51],
  );
  const [once] = visitsOf(page([visit("a")], rows.slice(0, 2)));
  assert.equal(once.cross.length, 1);
});

test("a visit is judged by its last teardown on hand-over day, and a recheck changes nothing", () => {
  const [first] = visitsOf(page([visit("a")], [row("a", 1, false), row("a", 2, true)]));
  assert.deepEqual([first.words, first.good, first.first], ["On target after teardown 2", true, false]);
  const late = row("a", 1, null, { after_km: 500, body_height_left_mm: 1, body_height_right_mm: 1 });
  const [kept] = visitsOf(page([visit("a")], [row("a", 0, false), row("a", 1, true), late]));
  assert.deepEqual([kept.words, kept.now.left], ["On target first time", 250]);
  const [off] = visitsOf(page([visit("a")], [row("a", 1, false)]));
  assert.deepEqual([off.words, off.good], ["Off target after teardown 1", false]);
  const [open] = visitsOf(page([visit("a", { state: "planned" })], [row("a", 0, false)]));
  assert.deepEqual([open.words, open.good], ["planned", null]);
});

test("a target of hub heights is drawn with hub heights", () => {
  const hub = { target_left_mm: 170, target_right_mm: 170, hub_to_body_left_mm: 150, hub_to_body_right_mm: 152 };
  const [drawn] = visitsOf(page([visit("a")], [row("a", 0, false, hub)]));
  assert.deepEqual(drawn.now, { left: 150, right: 152 });
});

test("a constant known exactly leaves what goes with it narrower and everything else as it was", () => {
  forMany(40, (draw) => {
    const n = 4;
    const half = Array.from({ length: n }, () => Array.from({ length: n }, () => draw.between(-1, 1)));
    const covariance = half.map((a) => half.map((b) => a.reduce((sum, value, k) => sum + value * b[k], 0)));
    const names = ["ln_rate", "arm", "bush", "uneven"];
    const exact = knownExactly({ names, mean: [0, 0, 0, 0], covariance }, "bush");
    assert.ok(Math.abs(exact.covariance[2][2] - 1e-4 * covariance[2][2]) < 1e-12 * covariance[2][2] + 1e-15);
    for (let i = 0; i < n; i += 1) {
      assert.ok(exact.covariance[i][i] <= covariance[i][i] + 1e-12);
      for (let j = 0; j < n; j += 1)
        assert.ok(Math.abs(exact.covariance[i][j] - exact.covariance[j][i]) < 1e-12, "it stays symmetric");
    }
  });
  assert.equal(knownExactly({ names: ["arm"], mean: [0], covariance: [[1]] }, "bush"), null);
});

const POSTERIOR = {
  names: ["arm", "bush"],
  mean: [0.4, 0.05],
  covariance: [
    [1, 0],
    [0, 4],
  ],
};
const CAR = {
  visits: [visit("a")],
  again: { job: {}, car: { axle: "trailing" }, known: { use: true, job: "a", posterior: POSTERIOR } },
  constants: [
    { name: "arm_mm", from_job: "a" },
    { name: "bush_ratio", from_job: null },
    { name: "tyre_n_per_mm", from_job: null },
  ],
};

test("what a constant costs is the chance with it known less the chance without", async () => {
  const asked = [];
  const told = await costsOf(CAR, async ({ car }) => {
    asked.push(car.known);
    return 1 - (car.known.covariance[0][0] + car.known.covariance[1][1]) / 10;
  });
  assert.equal(told.chance, 0.5);
  assert.ok(Math.abs(told.costs.arm_mm - 0.1) < 1e-4);
  assert.ok(Math.abs(told.costs.bush_ratio - 0.4) < 1e-4);
  assert.equal(told.costs.tyre_n_per_mm, undefined);
  assert.equal(asked.length, 3);
  const { learned, defaults } = sortedByCost(CAR.constants, told.costs);
  assert.deepEqual(
    learned.map(({ name }) => name),
    ["arm_mm"],
  );
  assert.deepEqual(
    defaults.map(({ name }) => name),
    ["bush_ratio", "tyre_n_per_mm"],
  );
  assert.deepEqual([0.001, 0.034, undefined].map(costWords), ["under 1 in 100", "3 in 100", ""]);
});

test("nothing is asked where nothing was learned or no height stands", async () => {
  assert.equal(nextVisit({ ...CAR, again: { ...CAR.again, known: null } }), null);
  assert.equal(nextVisit({ ...CAR, visits: [visit("a", { left_mm: null })] }), null);
  assert.equal(await costsOf({ ...CAR, visits: [] }, async () => 1), null);
  assert.equal(await costsOf(CAR, async () => null), null);
});

test("no line joins two visits, and values have room about them", () => {
  const steps = stepsOf([row("a", 0, null), row("a", 1, null), row("b", 0, null)]);
  assert.deepEqual(
    steps.map((step) => step?.teardown ?? null),
    [0, 1, null, 0],
  );
  assert.deepEqual(rangeOf([null, 100, 200], 5), [88, 212]);
  assert.deepEqual(rangeOf([null], 5), [0, 1]);
  assert.equal(tickWords(row("a", 1, null, { after_km: 400 }), false), "T1 +\n");
});

test("a car is found on this device by its key, the last visit first, and nothing else is", () => {
  const job = (id, owner, at, closed = null) => ({
    entries: [{ at }],
    which: { key: `gannet / ${owner.toLowerCase()}`, by: "name", chassis: "", plate: "" },
    stages: [],
    timeline: [],
    sheet: {
      job: id,
      title: id,
      owner,
      wish: "",
      car_name: "Gannet",
      about: {},
      car: { bar: { diameter_mm: 20 } },
      known: {},
      state: "closed",
      teardowns: 0,
      entries: 1,
      conflicts: [],
      puzzles: [],
      closed,
      plans: [],
      struck: [],
      writers: {},
    },
  });
  const posterior = { names: [], mean: [], covariance: [] };
  const all = [
    job("a", "Maren", "2026-01-01T10:00:00Z", { posterior, learned: {} }),
    job("b", "Maren", "2026-02-01T10:00:00Z"),
    job("c", "Tove", "2026-03-01T10:00:00Z"),
  ];
  const found = carHere(all, "gannet / maren");
  assert.deepEqual(
    found.visits.map(({ job: id }) => id),
    ["b", "a"],
  );
  assert.equal(found.again.known.job, "a");
  assert.equal(carHere(all, "gannet / nobody"), null);
});

test("a car here is asked about beside those of its name, but for one said to be another or of another plate", () => {
  const job = (id, plate, about = {}, entries = []) => ({
    entries: [{ id: `${id}0`, at: "2026-01-01T10:00:00Z", kind: "job", body: {} }, ...entries],
    which: { job: id, key: id, by: "own", chassis: "", plate },
    stages: [],
    sheet: {
      ...{ job: id, title: id, owner: "Maren", wish: "", car_name: "Gannet", about, car: {}, known: {} },
      ...{ state: "measuring", teardowns: 0, entries: 1, conflicts: [], puzzles: [], closed: null, plans: [] },
      ...{ struck: [], writers: { pc: "Anna" } },
    },
  });
  const no = { id: "d1", at: "2026-02-01T10:00:00Z", device: "pc", kind: "job", body: { other_than: ["a"] } };
  const all = [
    job("a", "sl1"),
    job("b", ""),
    job("c", "sl2"),
    job("d", "", no.body, [no]),
    job("e", "", { hidden: true }),
  ];
  const found = carHere(all, "a");
  assert.deepEqual(
    found.others.map(({ car_key: key, why }) => [key, why]),
    [["b", "name"]],
  );
  assert.deepEqual(
    found.apart.map(({ car_key: key, said }) => [key, said]),
    [["d", [{ job: "d", entry: "d1", at: no.at, device: "pc", writer: "Anna" }]]],
  );
  assert.deepEqual(
    carsHere(all, "gannet SL-1").map(({ car_key: key }) => key),
    ["a"],
  );
});
