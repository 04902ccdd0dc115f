/* The readings of a teardown: the arm as it hangs when it is found, and again after its teeth were turned, with the
   verdict: on target, or what is wrong and what to do. The key that goes on stays in its place: "Read again" where it
   is wrong. */

import { dotplot } from "../parts/draw/dots.js";
import { h, say } from "../parts/dom.js";
import { plate } from "../parts/plate.js";
import { speak } from "../parts/speak.js";
import { hangingOf } from "../parts/teardown-step.js";
import { angle, plain } from "../work/numbers.js";
import { valueOf } from "../work/readings.js";
import { readRoute } from "../work/guide.js";
import { foundOf } from "../work/teardown-steps.js";
import { strikeRead } from "../work/teardown-work.js";
import { expected, expectedWords, readIn, verdict } from "../work/teardown-verdict.js";

/** @import { End, PlanRow, ReadingRow, Side } from "../types/sheet.d.ts" */
/** @import { BarBody } from "../types/wire.d.ts" */
/** @import { Verdict } from "../work/teardown-verdict.js" */

/** @typedef {import("./propped.js").Given} Given */
/** @typedef {import("./propped.js").Part} Part */

const SAID = {
  read: "Enter reading",
  again: "Read again",
  next: "Next",
  done: "Done",
  skip: "Skip this reading",
  skipped: "The plan goes on with what is known.",
  unjudged: "A tooth too many or too few is then not noticed.",
  checking: "Checking the reading…",
  on: "Continue anyway",
  onText: "The reading stays as it is.",
};
/** @type {End[]} */
const ENDS = ["inner", "outer"];
/** Where a verdict asks for something to be put right. */
const WRONG = ["tooth", "slip", "off"];

/**
 * The way to a reading and back; a reading that is there is removed first.
 * @param {Given} given
 * @param {boolean} found
 */
async function readNow({ ctx, plan, step, from }, found) {
  const teardown = plan.teardown - (found ? 1 : 0);
  const side = /** @type {import("../work/teardown-order.js").Side} */ (step.side);
  const rows = found ? foundOf(ctx.sheet, plan.teardown, side) : readIn(ctx.sheet, plan, side);
  if (rows.length && !(await strikeRead(ctx, plan, side, { found }))) return;
  const route = readRoute({ what: "hanging-angle", side, teardown });
  ctx.go({ ...route, query: { ...route.query, from } });
}

/** What readings say, the arm to the body. @param {ReadingRow[]} rows */
const said = (rows) => h("p", { class: "then", text: `Reads ${rows.map(valueOf).join("; ")}, arm to body.` });
const net = (/** @type {ReadingRow} */ row) => row.value - (row.datum ?? 0);

/** The arm as found. @param {Given} given @returns {Part} */
export function foundPart(given) {
  const { ctx, plan, step, done, next, finish } = given;
  const rows = foundOf(ctx.sheet, plan.teardown, /** @type {Side} */ (step.side));
  const now = () => readNow(given, true);
  const last = rows.at(-1);
  const picture = hangingOf(
    step,
    ctx.sheet.car,
    last ? { deg: net(last), figure: `${plain(Math.abs(net(last)), 1)}°` } : null,
  );
  if (!done) {
    const skip = { value: "skip", label: SAID.skip, text: SAID.skipped, act: finish };
    return { picture, main: { words: SAID.read, ontap: now }, more: [skip] };
  }
  const again = { value: "again", label: SAID.again, text: step.name, act: now };
  return {
    picture,
    how: "",
    body: rows.length ? [said(rows)] : [],
    main: { words: SAID.next, ontap: next },
    more: [again],
  };
}

/** Where the arm should hang after its teeth were turned, and where it would with one tooth more at either end.
 * @param {PlanRow} plan @param {Side} which @param {BarBody | null} [bar] */
function outlook(plan, which, bar) {
  const side = plan[which];
  const { arm, sd } = expected(plan, which);
  const words = `Expect ${expectedWords({ arm, sd })}, arm to body`;
  const ticks = ENDS.flatMap((end) => {
    const [turned, teeth] = [side[end], bar?.[`${end}_teeth`]];
    return turned && teeth ? [{ at: arm + (Math.sign(turned) * 360) / teeth, text: `one tooth more, ${end}` }] : [];
  });
  return { words, picture: dotplot({ mean: arm, sd, ticks, marks: [{ at: arm, text: angle(arm) }], label: words }) };
}

/** The keys of a verdict that is wrong. @param {Verdict} found @param {() => unknown} take */
const takeKey = (found, take) =>
  found.fix && found.take ? h("button", { type: "button", class: "key", onclick: take }, found.take) : null;

/** The arm read again, and its verdict. @param {Given} given @returns {Part} */
export function readPart(given) {
  const { ctx, plan, step, done, next, finish, show, again } = given;
  const side = /** @type {Side} */ (step.side);
  const rows = readIn(ctx.sheet, plan, side);
  const now = () => readNow(given, false);
  const { words, picture } = outlook(plan, side, ctx.sheet.car.bar);
  const on = { words: done ? SAID.next : SAID.done, ontap: done ? next : finish };
  if (!rows.length) {
    const expect = h("p", { class: "then expect", text: `${words}.` });
    if (done)
      return {
        picture,
        body: [expect],
        main: on,
        more: [{ value: "again", label: SAID.read, text: step.name, act: now }],
      };
    const skip = { value: "skip", label: SAID.skip, text: SAID.unjudged, act: finish };
    return { picture, body: [expect], main: { words: SAID.read, ontap: now }, more: [skip] };
  }
  const room = h("div", { class: "verdict-room", role: "status" }, h("p", { class: "then", text: SAID.checking }));
  const rowsMore = [
    { value: "again", label: SAID.again, text: rows.map(valueOf).join("; "), act: now },
    ...(done ? [] : [{ value: "on", label: SAID.on, text: SAID.onText, act: finish }]),
  ];
  const judge = async () => {
    const found = await verdict(ctx, plan, side);
    if (!room.isConnected) return;
    const wrong = WRONG.includes(found.state);
    const take = async () => (await ctx.save(found.fix ?? [], { said: "what was found" })) && again();
    room.dataset.state = found.state;
    room.replaceChildren(
      plate({
        good: !wrong,
        title: found.title ?? "",
        text: [found.text ?? null, ...(found.remedy ? [found.remedy] : []), wrong ? takeKey(found, take) : null],
      }),
    );
    show(wrong && !done ? { words: SAID.again, ontap: now } : on);
    const heard = [`${found.title}.`, found.text, found.remedy ?? ""].join(" ");
    say(heard);
    speak(heard);
  };
  queueMicrotask(judge);
  const last = net(rows[rows.length - 1]);
  const arm = hangingOf(step, ctx.sheet.car, { deg: last, figure: `${plain(Math.abs(last), 1)}°` });
  return { picture: arm, how: "", body: [room], main: { words: SAID.checking, off: true }, more: rowsMore };
}
