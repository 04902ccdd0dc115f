/* A teardown: the teeth turned at each end on each side, tail down or tail up, with the arrows of that very side.

   Starts from the plan's teeth when the plan sent us here; writes one entry, or one that corrects the old one. */

import { said, strikeOf } from "../work/sheet.js";
import { dial } from "../parts/dial.js";
import { h, say } from "../parts/dom.js";
import { teeth } from "../work/numbers.js";
import { after } from "../work/guide.js";

const SIDES = ["left", "right"];
const ENDS = ["inner", "outer"];
const MOST = 60;

/** Teeth to start from: a draft, the entry being changed, the plan, or none. */
function start(ctx, entry, key) {
  const typed = ctx.drafts.draft(ctx.job, key);
  if (typed) return typed;
  const { li = 0, lo = 0, ri = 0, ro = 0 } = ctx.query;
  return {
    left: { inner: Number(li), outer: Number(lo), ...entry?.left },
    right: { inner: Number(ri), outer: Number(ro), ...entry?.right },
  };
}

/** The screen. */
export function move(ctx) {
  const entry = ctx.query.entry ? ctx.sheet.moves.find((m) => m.id === ctx.query.entry) : null;
  const teardown = entry?.teardown ?? ctx.sheet.teardowns + 1;
  const key = ["move", entry?.id ?? teardown, ctx.query.li, ctx.query.lo, ctx.query.ri, ctx.query.ro].join("/");
  const turned = start(ctx, entry, key);
  const bar = ctx.sheet.car.bar ?? {};

  function end(side, name) {
    const place = h("div", { class: "dial-place" });
    const draw = () =>
      place.replaceChildren(dial({ side, end: name, teeth: turned[side][name], of: bar[`${name}_teeth`] }));
    const step = (by) => {
      turned[side][name] = Math.max(-MOST, Math.min(MOST, turned[side][name] + by));
      ctx.kept(() => ctx.drafts.keep(ctx.job, key, turned));
      draw();
      say(`${side}, ${name} end: ${teeth(turned[side][name])}`);
    };
    draw();
    const spoken = (words) => `${side}, ${name} end: one tooth ${words}`;
    return h(
      "div",
      { class: "stepper" },
      place,
      h(
        "button",
        { type: "button", class: "key points up", "aria-label": spoken("tail up"), onclick: () => step(-1) },
        "tail up",
      ),
      h(
        "button",
        { type: "button", class: "key points down", "aria-label": spoken("tail down"), onclick: () => step(1) },
        "tail down",
      ),
    );
  }
  const save = async () => {
    const same =
      entry && SIDES.every((side) => ENDS.every((name) => (entry[side]?.[name] ?? 0) === turned[side][name]));
    const body = { ...(entry ? said(entry) : {}), teardown, ...turned };
    if (entry) body.corrects = entry.id;
    if (!same && !(await ctx.save([["move", body]], { said: `teeth of teardown ${teardown}` }))) return;
    ctx.drafts.drop(ctx.job, key);
    ctx.solved(entry?.id);
    ctx.go(entry ? { words: [ctx.query.from ?? "list"] } : after(ctx.sheet, []));
  };
  ctx.unsaved(() => ctx.drafts.draft(ctx.job, key) !== null);
  const refused = entry && ctx.problemAt(entry.id);
  return {
    title: `Teardown ${teardown}`,
    fresh() {},
    node: h(
      "div",
      { class: "moves" },
      h("h1", { text: `Teeth turned, teardown ${teardown}` }),
      h("p", { class: "where", text: "Count what was really turned, at each end. Tail down raises the car. Arrows as seen kneeling at that wheel." }),
      refused ? h("p", { class: "error", role: "alert", text: refused.detail }) : null,
      h(
        "div",
        { class: "corners" },
        SIDES.map((side) => h("section", { class: `corner ${side}` }, h("h2", null, h("span", { class: `side-name ${side}`, text: side }), " side"), ENDS.map((name) => end(side, name)))),
      ),
      h("button", { type: "button", class: "key main wide", onclick: save }, "These teeth were turned"),
      entry && entry.teardown === ctx.sheet.teardowns
        ? h("button", { type: "button", class: "key wide danger", onclick: async () => {
            if (await ctx.save([strikeOf(entry)])) ctx.go({ words: ["list"] });
          } }, "Strike this teardown")
        : null,
    ),
  }; // prettier-ignore
}
