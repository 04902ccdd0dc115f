/* The job's card: car, owner, wish. For a new job and for one that has begun; only what changed is written. */

import { h } from "../parts/dom.js";

const WISHES = ["Raise", "Lower", "Level it", "Fit other bars", "Carry another load"];
const FIELDS = [
  { name: "car", label: "Car", place: "Gannet", longest: 80 },
  { name: "owner", label: "Owner’s first name", place: "Maren", longest: 80 },
  { name: "wish", label: "What is wanted", place: "Level it, 250 mm both sides", longest: 400 },
];

/** What the job is called: "Gannet, Maren"; the day where nobody said anything. */
const titleOf = ({ car, owner }) =>
  [car, owner].filter(Boolean).join(", ") || `Car of ${new Date().toLocaleDateString()}`;

/** The screen: route words ["new"] without a job, ["about"] of one. */
export function about(ctx) {
  const key = "about";
  const given = { car: ctx.sheet?.car_name ?? "", owner: ctx.sheet?.owner ?? "", wish: ctx.sheet?.wish ?? "" };
  const typed = { ...given, ...ctx.drafts.draft(ctx.job || "new", key) };
  const inputs = {};
  const changed = () => FIELDS.some(({ name }) => typed[name].trim() !== given[name]);
  const change = () => {
    for (const { name } of FIELDS) typed[name] = inputs[name].value;
    ctx.kept(() => ctx.drafts.keep(ctx.job || "new", key, typed));
  };
  const field = ({ name, label, place, longest }) => {
    inputs[name] = h("input", {
      id: `about-${name}`,
      type: "text",
      maxlength: longest,
      autocomplete: "off",
      placeholder: place,
      value: typed[name],
      oninput: change,
    });
    return [h("label", { for: `about-${name}`, text: label }), inputs[name]];
  };
  const wish = (text) => h("button", { type: "button", class: "key", onclick: () => {
    inputs.wish.value = text;
    change();
    inputs.wish.focus();
  } }, text); // prettier-ignore
  const save = async () => {
    const said = Object.fromEntries(FIELDS.map(({ name }) => [name, typed[name].trim()]));
    if (ctx.job) {
      const body = Object.fromEntries(
        Object.entries(said)
          .filter(([name, text]) => text !== given[name])
          .map(([name, text]) => [name, text || null]),
      );
      if (body.car !== undefined || body.owner !== undefined) body.title = titleOf(said);
      if (changed() && !(await ctx.save([["job", body]], { said: "the job's card" }))) return;
      ctx.drafts.drop(ctx.job, key);
      ctx.go({ words: ["list"] });
      return;
    }
    const job = await ctx.begin([
      ["job", { title: titleOf(said), ...Object.fromEntries(Object.entries(said).filter(([, text]) => text)) }],
    ]);
    if (!job) return;
    ctx.drafts.drop("new", key);
    ctx.go({ words: ["ask", "car.bar.diameter_mm"] }, { job });
  };
  ctx.unsaved(changed);
  const title = ctx.job ? "Car, owner, wish" : "New job";
  return {
    title,
    fresh() {},
    node: h(
      "div",
      { class: "start" },
      h("h1", { text: title }),
      h("p", { class: "where", text: "All of it can stay empty. What the plan needs is asked next." }),
      h(
        "form",
        { class: "new", onsubmit: (event) => { event.preventDefault(); save(); } },
        FIELDS.map(field),
        h("div", { class: "keys" }, WISHES.map(wish)),
        h("button", { class: "key main wide" }, ctx.job ? "Save" : "Begin"),
      ),
    ),
  }; // prettier-ignore
}
