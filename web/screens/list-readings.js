/* The readings in the Log: a card for each kind in each pose; every reading a key that opens it, with who wrote it and
   when, and a key that removes it. And the teeth turned of each teardown. */

import { h, say, unseen } from "../parts/dom.js";
import { icon } from "../parts/icons.js";
import { spreadOf } from "../parts/repeats.js";
import { deviceName } from "../parts/writers.js";
import { adjusterOf, sprungOf, workName } from "../work/adjuster.js";
import { moment, moveWords } from "../work/conflicts.js";
import { readRoute } from "../work/guide.js";
import { stageName, stageWork } from "../work/promise.js";
import { KINDS, SIDES, howOf, nameOf, poseWords, titleOf, valueOf } from "../work/readings.js";
import { titled } from "../work/sentence.js";
import { poseKey, readingsOf, strikeOf } from "../work/sheet.js";
import { past } from "../work/still.js";
import { inside } from "../work/there.js";
import { ofBoth } from "../work/weighing.js";

/** @import { JobContext, Route } from "../types/context.d.ts" */
/** @import { Chained, MoveRow, ReadingRow, Side, What } from "../types/sheet.d.ts" */
/** @import { PoseBody } from "../types/wire.d.ts" */

const ALWAYS = ["riding-angle", "body-height"];

const SAID = {
  found: "As found",
  after: (/** @type {string} */ stage) => `After ${stage}`,
  turned: {
    teardown: (/** @type {string} */ stage) => `Teeth turned, ${stage}`,
    adjustment: titled,
  },
  remove: (/** @type {string} */ what) => `Remove: ${what}`,
  removed: (/** @type {string} */ what) => `${what} removed`,
  again: "Read again",
  read: "Read",
  enter: "Add from notes",
};

/**
 * A route that comes back to the Log.
 * @param {Route} route
 */
export const fromList = (route) => ({ ...route, query: { ...route.query, from: "list" } });

/**
 * Who wrote a row and when; the device's name comes later (`nameWriters`).
 * @param {{at: string, device: string, writer: string | null}} row
 * @returns {HTMLElement}
 */
export const written = (row) => h("span", { class: "who" }, moment(row), deviceName(row));

/** The key that removes a row; the note after saving takes it back. */
export function removeKey(/** @type {JobContext} */ ctx, /** @type {Chained} */ row, /** @type {string} */ name) {
  const remove = async () => {
    if (!(await ctx.save([strikeOf(row)], { said: SAID.removed(name) }))) return;
    say(SAID.removed(name));
    ctx.redraw();
  };
  return h(
    "button",
    { type: "button", class: "key remove", "aria-label": SAID.remove(name), onclick: remove },
    icon("delete"),
  );
}

/** Where a reading of either axle is opened. @param {JobContext} ctx @param {ReadingRow} reading */
export function openingOf(ctx, reading) {
  const route = fromList(readRoute({ ...reading, entry: reading.id }));
  const below = isOther(ctx, reading) && reading.what !== "wheel-load";
  return ctx.href(below ? inside(route) : route);
}

function readingRow(/** @type {JobContext} */ ctx, /** @type {ReadingRow} */ reading) {
  const how = howOf(reading);
  const name = `${nameOf(reading)}, ${valueOf(reading)}`;
  const href = openingOf(ctx, reading);
  return h(
    "div",
    { class: "log-row", "data-entry": reading.id },
    h(
      "a",
      { class: "key entry", href },
      h("span", { class: `side-name ${reading.side}`, text: reading.side }),
      h("strong", { text: valueOf(reading) }),
      how ? h("span", { class: "how", text: how }) : null,
      written(reading),
    ),
    removeKey(ctx, reading, name),
  );
}

/** One kind in one pose: left, then right, repeats under each other, their spread, and keys to read again. */
function kindCard(
  /** @type {JobContext} */ ctx,
  /** @type {What} */ what,
  /** @type {PoseBody} */ pose,
  /** @type {number} */ teardown,
) {
  const side = (/** @type {Side} */ name) => {
    const readings = readingsOf(ctx.sheet, { what, side: name, pose, teardown });
    // Of a state that is past only what was written down then can be entered.
    const gone = past(ctx.sheet, { what, side: name, pose, teardown });
    const words = gone ? SAID.enter : readings.length ? SAID.again : SAID.read;
    return h(
      "div",
      { class: `half ${name}` },
      readings.map((reading) => readingRow(ctx, reading)),
      readings.length > 1 ? h("span", { class: "spread", text: spreadOf(readings) }) : null,
      h(
        "a",
        { class: "key read-again", href: ctx.href(fromList(readRoute({ what, side: name, pose, teardown }))) },
        `${words}: ${name}`,
        unseen(`, ${titleOf({ what, pose })}`),
      ),
    );
  };
  const stance = poseWords(pose, what);
  const axle = ofBoth(ctx.sheet) ? sprungOf(ctx.sheet.car) : undefined;
  const title = titleOf({ what, pose, axle });
  return h(
    "li",
    { class: "kind" },
    h("h3", { text: stance ? `${title}, ${stance}` : title }),
    h("div", { class: "halves" }, SIDES.map(side)),
  );
}

/** Whether a reading is of the axle that the job is not of. @param {JobContext} ctx @param {ReadingRow} reading */
const isOther = ({ sheet }, { axle }) => Boolean(axle) && axle !== sprungOf(sheet.car);

/** Readings of one kind of the other axle's wheels, as they came. @param {JobContext} ctx @param {ReadingRow[]} rows */
const otherCard = (ctx, rows) =>
  h(
    "li",
    { class: "kind" },
    h("h3", { text: titleOf(rows[0]) }),
    h(
      "div",
      { class: "halves" },
      SIDES.map((side) =>
        h(
          "div",
          { class: `half ${side}` },
          rows.filter((row) => row.side === side).map((row) => readingRow(ctx, row)),
        ),
      ),
    ),
  );

/** What was turned, as a key that opens it; of the other axle as well.
 * @param {JobContext} ctx @param {MoveRow} move @param {boolean} [other] */
function moveRow(ctx, move, other = false) {
  const name = other
    ? titled(`${workName(move)} ${move.teardown}`)
    : SAID.turned[stageWork(ctx.sheet, move.teardown)](stageName(ctx.sheet, move.teardown));
  const car = /** @type {any} */ (ctx.sheet.car);
  return h(
    "div",
    { class: "log-row", "data-entry": move.id },
    h(
      "a",
      {
        class: "key entry turned",
        href: ctx.href({ words: other ? ["axle", "move"] : ["move"], query: { entry: move.id } }),
      },
      h("span", { text: name }),
      h("strong", { text: moveWords(move, adjusterOf(other ? car.other : car)?.kind) }),
      written(move),
    ),
    removeKey(ctx, move, name),
  );
}

/** Everything read after a teardown, and what was turned in it. */
function round(/** @type {JobContext} */ ctx, /** @type {number} */ teardown) {
  const apart = ctx.sheet.other;
  const all = [...ctx.sheet.readings, ...apart.readings].filter((r) => (r.teardown ?? 0) === teardown);
  const mine = all.filter((r) => !isOther(ctx, r));
  const other = all.filter((r) => isOther(ctx, r));
  const cards = KINDS.flatMap((what) => {
    const poses = new Map(mine.filter((r) => r.what === what).map((r) => [poseKey(r.pose), r.pose ?? {}]));
    if (!poses.size && ALWAYS.includes(what)) poses.set(poseKey({}), {});
    return [...poses.values()].map((pose) => kindCard(ctx, what, pose, teardown));
  });
  const move = ctx.sheet.moves.find((m) => m.teardown === teardown);
  const elsewhere = apart.moves.find((m) => m.teardown === teardown);
  const stage = elsewhere && !move ? `${workName(elsewhere)} ${teardown}` : stageName(ctx.sheet, teardown);
  const others = KINDS.map((what) => other.filter((r) => r.what === what)).filter((rows) => rows.length);
  return h(
    "section",
    { class: "round" },
    h("h2", { text: teardown ? SAID.after(stage) : SAID.found }),
    move ? moveRow(ctx, move) : null,
    elsewhere ? moveRow(ctx, elsewhere, true) : null,
    h(
      "ul",
      { class: "kinds" },
      cards,
      others.map((rows) => otherCard(ctx, rows)),
    ),
  );
}

/** All rounds, the latest first. */
export function rounds(/** @type {JobContext} */ ctx) {
  const out = [];
  for (let n = ctx.sheet.teardowns; n >= 0; n -= 1) out.push(round(ctx, n));
  return out;
}
