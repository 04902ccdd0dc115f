/* The job's card: car, owner, request. For a new job where its address says so, and for one that has begun; only what
   changed is written. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";

const SAID = {
  title: "Car, owner, request",
  how: "Everything here is optional.",
  begun: "New job",
  begin: "Start job",
  save: "Save",
  cancel: "Not now",
  card: "car, owner and request",
  car: (/** @type {string} */ day) => `Car of ${day}`,
};
const FIELDS = [
  { name: "car", label: "Car", place: "Gannet", longest: 80 },
  { name: "owner", label: "Owner’s first name", place: "Maren", longest: 80 },
  { name: "wish", label: "Customer’s request", place: "Level it, 250 mm both sides", longest: 400 },
];

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @typedef {{ [name: string]: string }} Said What stands in each field. */

/** What the job is called: "Gannet, Maren"; the day where nobody said anything. @param {Said} said */
const titleOf = ({ car, owner }) =>
  [car, owner].filter(Boolean).join(", ") || SAID.car(new Date().toLocaleDateString());

/**
 * Write what was said: into the job, or as the first entry of a new one; the route after it, or null.
 * @param {JobContext} ctx
 * @param {Said} said
 * @param {Said} given what stood there before
 */
async function write(ctx, said, given) {
  if (!ctx.job) {
    const full = Object.fromEntries(Object.entries(said).filter(([, text]) => text));
    const job = await ctx.begin([["job", { title: titleOf(said), ...full }]]);
    return job ? { route: { words: ["target"] }, job } : null;
  }
  /** @type {{ [name: string]: string | null }} */
  const body = Object.fromEntries(
    Object.entries(said)
      .filter(([name, text]) => text !== given[name])
      .map(([name, text]) => [name, text || null]),
  );
  if (body.car !== undefined || body.owner !== undefined) body.title = titleOf(said);
  if (Object.keys(body).length && !(await ctx.save([["job", body]], { said: SAID.card }))) return null;
  return { route: { words: ["list"] }, job: ctx.job };
}

/**
 * The screen: route words ["new"] without a job, ["about"] of one.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function about(ctx) {
  const [place, key] = [ctx.job || "new", "about"];
  /** @type {Said} */
  const given = { car: ctx.sheet?.car_name ?? "", owner: ctx.sheet?.owner ?? "", wish: ctx.sheet?.wish ?? "" };
  const typed = { ...given, ...ctx.drafts.draft(place, key) };
  const changed = () => FIELDS.some(({ name }) => typed[name].trim() !== given[name]);
  const field = (/** @type {typeof FIELDS[number]} */ { name, label, place: example, longest }) => {
    const input = h("input", {
      id: `about-${name}`,
      type: "text",
      maxlength: longest,
      autocomplete: "off",
      placeholder: example,
      value: typed[name],
      oninput: () => {
        typed[name] = input.value;
        ctx.kept(() => ctx.drafts.keep(place, key, typed));
      },
    });
    return h("div", { class: "text-field" }, h("label", { for: `about-${name}`, text: label }), input);
  };
  const save = async () => {
    const said = Object.fromEntries(FIELDS.map(({ name }) => [name, typed[name].trim()]));
    const done = await write(ctx, said, given);
    if (!done) return;
    ctx.drafts.drop(place, key);
    ctx.go(done.route, { job: done.job });
  };
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    save();
  };
  ctx.unsaved(changed);
  const title = ctx.job ? SAID.title : SAID.begun;
  const form = h(
    "form",
    { class: "new", onsubmit: submit },
    FIELDS.map(field),
    h("button", { class: "unseen", tabindex: "-1", "aria-hidden": "true" }, SAID.save),
  );
  const screen = shell({
    title,
    how: SAID.how,
    body: [form],
    quiet: { words: SAID.cancel, href: ctx.job ? ctx.href({ words: ["list"] }) : "#/" },
    main: { words: ctx.job ? SAID.save : SAID.begin, ontap: save },
  });
  return { title, fresh() {}, node: screen.node };
}
