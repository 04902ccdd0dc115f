/* The job's card: car, owner, request. All of it is optional; only what changed is written. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { whereNow } from "../work/flow.js";

const WORDS = { title: "Car, owner, request", how: "Everything here is optional.", said: "the job's card" };
const WISHES = ["Raise", "Lower", "Level it", "Fit other bars", "Carry another load"];
const FIELDS = [
  { name: "car", label: "Car", place: "Gannet", longest: 80 },
  { name: "owner", label: "Owner’s first name", place: "Maren", longest: 80 },
  { name: "wish", label: "Customer’s request", place: "Level it, 250 mm both sides", longest: 400 },
];

/** What the job is called: "Gannet, Maren"; the day where nobody said anything. */
const titleOf = (/** @type {Record<string, string>} */ { car, owner }) =>
  [car, owner].filter(Boolean).join(", ") || `Car of ${new Date().toLocaleDateString()}`;

/**
 * The screen: route word ["about"].
 * @param {any} ctx
 */
export function about(ctx) {
  const key = "about";
  /** @type {Record<string, string>} */
  const given = { car: ctx.sheet.car_name ?? "", owner: ctx.sheet.owner ?? "", wish: ctx.sheet.wish ?? "" };
  /** @type {Record<string, string>} */
  const typed = { ...given, ...ctx.drafts.draft(ctx.job, key) };
  /** @type {Record<string, HTMLInputElement>} */
  const inputs = {};
  const changed = () => FIELDS.some(({ name }) => typed[name].trim() !== given[name]);
  const change = () => {
    for (const { name } of FIELDS) typed[name] = inputs[name].value;
    ctx.kept(() => ctx.drafts.keep(ctx.job, key, typed));
  };
  const field = (/** @type {typeof FIELDS[number]} */ { name, label, place, longest }) => {
    inputs[name] = /** @type {HTMLInputElement} */ (
      h("input", { id: `about-${name}`, type: "text", maxlength: longest, autocomplete: "off", placeholder: place, value: typed[name], oninput: change })
    ); // prettier-ignore
    return [h("label", { for: `about-${name}`, text: label }), inputs[name]];
  };
  const put = (/** @type {string} */ text) => {
    inputs.wish.value = text;
    change();
    inputs.wish.focus();
  };
  const wish = (/** @type {string} */ text) =>
    h("button", { type: "button", class: "key", onclick: () => put(text) }, text);
  const back = () =>
    ctx.query.from ? { words: [ctx.query.from] } : whereNow({ sheet: ctx.sheet, stages: ctx.stages });
  const save = async () => {
    const said = Object.fromEntries(FIELDS.map(({ name }) => [name, typed[name].trim()]));
    const news = Object.entries(said).filter(([name, text]) => text !== given[name]);
    /** @type {Record<string, string | null>} */
    const body = Object.fromEntries(news.map(([name, text]) => [name, text || null]));
    if (body.car !== undefined || body.owner !== undefined) body.title = titleOf(said);
    if (changed() && !(await ctx.save([["job", body]], { said: WORDS.said }))) return;
    ctx.drafts.drop(ctx.job, key);
    ctx.go(back());
  };
  ctx.unsaved(changed);
  const onsubmit = (/** @type {Event} */ event) => {
    event.preventDefault();
    save();
  };
  const page = shell({
    title: WORDS.title,
    how: WORDS.how,
    body: [
      h("form", { class: "new", onsubmit }, FIELDS.map(field), h("div", { class: "keys" }, WISHES.map(wish)), h("button", { class: "unseen", text: "Save", tabindex: "-1", "aria-hidden": "true" })), // prettier-ignore
    ],
    quiet: { words: "Jobs", href: "#/" },
    main: { words: "Save", ontap: save },
  });
  return { title: WORDS.title, fresh() {}, node: page.node };
}
