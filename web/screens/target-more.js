/* What a target may say besides its amount: how near, how much lean, which mark, who will sit in it. Rows in a
   fold, each typed on a screen of its own; kept in the same draft as the amount. */

import { choice } from "../parts/choice.js";
import { field, stateOf } from "../parts/field.js";
import { pad } from "../parts/pad.js";
import { fold, keyRows, rowLabel } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { defaultOf, outside, unitOf } from "../work/bounds.js";
import { short } from "../work/numbers.js";
import { length, wordsIn } from "../work/units.js";

/** @import { Shown } from "../types/context.d.ts" */

/** @type {Record<string, any>} */
const WORDS = {
  fold: "More about the target",
  tolerance_mm: { title: "Height tolerance, within", how: "Each side, either way." },
  lean_mm: { title: "Lean, within", how: "Left height less right height, either way." },
  tolerance_deg: { title: "Angle tolerance, within", how: "Each side, either way." },
  tolerance_percent: { title: "Cross-weight, within", how: "Of the load on all four wheels, either way." },
  measured: { title: "Where is the mark?", how: "Heights of the target are read to it." },
  ballast: { title: "Who will sit in it?", how: "Weight in the car when it stands at its target, each side." },
  body: ["On the body", "floor to mark: ride height"],
  hub: ["At the wheel’s centre", "hub to body: the floor does not count"],
  within: (/** @type {string} */ value) => `within ${value}`,
  nobody: "as read: nobody",
};
const MARKS = [
  { value: "body-height", label: rowLabel({ words: WORDS.body[0], small: WORDS.body[1] }) },
  { value: "hub-to-body", label: rowLabel({ words: WORDS.hub[0], small: WORDS.hub[1] }) },
];
const LEFT = "ballast_left_kg";
const RIGHT = "ballast_right_kg";

/** @type {Record<string, string[]>} */
const OF = {
  cross: ["tolerance_percent", "tolerance_mm", "measured", "ballast"],
  angle: ["tolerance_deg", "ballast"],
  height: ["tolerance_mm", "lean_mm", "measured", "ballast"],
};
const ALL = ["tolerance_mm", "lean_mm", "measured", "ballast"];

/** What a row says now.
 * @param {string} name @param {Record<string, any>} extras @returns {string} */
function valueWords(name, extras) {
  if (name === "measured") return extras.measured === "hub-to-body" ? WORDS.hub[0] : WORDS.body[0];
  if (name === "ballast") {
    const [left, right] = [extras[LEFT] ?? 0, extras[RIGHT] ?? 0];
    return left || right ? `left ${short(left)} kg, right ${short(right)} kg` : WORDS.nobody;
  }
  const value = extras[name] ?? defaultOf(`target.${name}`);
  if (name === "tolerance_percent") return `${short(value)} %`;
  return name === "tolerance_deg" ? `${short(value)}°` : length(value);
}

/** The folded rows.
 * @param {any} ctx @param {Record<string, any>} extras @returns {HTMLElement} */
export function moreRows(ctx, extras) {
  const names = OF[ctx.query.as] ?? ALL;
  const rows = names.map((name) => ({
    words: WORDS[name].title,
    small: valueWords(name, extras),
    href: ctx.href({ words: ctx.words, query: { ...ctx.query, edit: name } }),
  }));
  return fold({ title: WORDS.fold, more: WORDS.within(valueWords(names[0], extras)) }, keyRows(rows));
}

/**
 * The screen of one of them.
 * @param {any} ctx
 * @param {{key: string, typed: any}} draft the amount's draft: its name, and what it says
 * @returns {Shown | null}
 */
export function more(ctx, { key, typed }) {
  const { edit, ...query } = ctx.query;
  const said = WORDS[edit];
  if (!said) return null;
  const back = { words: ctx.words, query };
  const put = (/** @type {Record<string, any>} */ change) => {
    const extras = { ...typed.extras, ...change };
    if (ctx.kept(() => ctx.drafts.keep(ctx.job || "new", key, { ...typed, extras }))) ctx.go(back, { replace: true });
  };
  if (edit === "measured") {
    let chosen = typed.extras.measured ?? "body-height";
    const rows = choice({
      name: "mark",
      legend: said.title,
      cls: "rows",
      chosen,
      options: MARKS,
      onchoose: (/** @type {string} */ value) => (chosen = value),
    });
    const page = shell({
      title: said.title,
      how: said.how,
      body: [rows],
      quiet: { words: "Back", href: ctx.href(back) },
      main: { words: "Use it", ontap: () => put({ measured: chosen === "body-height" ? null : chosen }) },
    });
    return { title: said.title, fresh() {}, node: page.node };
  }
  const names = edit === "ballast" ? [LEFT, RIGHT] : [edit];
  const unit = unitOf(`target.${names[0]}`);
  const fields = names.map((name, i) =>
    field({
      label: names.length > 1 ? (i ? "Right" : "Left") : said.title,
      unit,
      nudge: edit === "ballast" ? 5 : ["tolerance_deg", "tolerance_percent"].includes(edit) ? 0.1 : 1,
      shown: true,
      state: stateOf(typed.extras[name] ?? defaultOf(`target.${name}`)) && {
        ...stateOf(typed.extras[name] ?? defaultOf(`target.${name}`)),
        prefilled: true,
      },
      onnext: () => done(),
    }),
  );
  const done = () => {
    const change = /** @type {Record<string, any>} */ ({});
    for (const [i, name] of names.entries()) {
      const value = fields[i].value();
      const wrong = value === null ? "" : outside(`target.${name}`, value, wordsIn(unit));
      if (wrong) return fields[i].tell(wrong);
      change[name] = value === (defaultOf(`target.${name}`) ?? null) ? null : value;
    }
    return put(change);
  };
  const page = shell({
    title: said.title,
    how: said.how,
    typed: pad({ fields }).node,
    quiet: { words: "Back", href: ctx.href(back) },
    main: { words: "Use it", ontap: done },
  });
  return { title: said.title, focus: fields[0].input, fresh() {}, node: page.node };
}
