/* The job's card: car, owner, plate, request; only what changed is written. Where such a car was here, what is known
   of it is a tap away. */

import { h } from "../parts/dom.js";
import { keyRows } from "../parts/plate.js";
import { shell } from "../parts/shell.js";
import { lineWords, titleOf, wasHere } from "../work/again.js";
import { LONGEST } from "../work/car-said.js";

const SAID = {
  title: "Car, owner, request",
  how: "Everything here is optional.",
  save: "Save",
  cancel: "Not now",
  card: "car, owner and request",
  car: (/** @type {string} */ day) => `Car of ${day}`,
  known: (/** @type {string} */ line) => `${line}. See what is known`,
};
const FIELDS = [
  { name: "car", label: "Car", place: "Gannet", longest: 80 },
  { name: "owner", label: "Owner’s first name", place: "Maren", longest: 80 },
  { name: "plate", label: "Number plate", place: "SL 042", longest: LONGEST.plate },
  { name: "chassis", label: "Chassis number", place: "KIT 0077", longest: LONGEST.chassis },
  { name: "odometer", label: "Odometer, with its unit", place: "84 210 km", longest: 40 },
  { name: "wish", label: "Customer’s request", place: "Level it, 250 mm both sides", longest: 400 },
];
/** Cars that are offered at once, and how long after the last letter. */
const MOST = 2;
const PAUSE_MS = 300;

/** @import { JobContext, Shown } from "../types/context.d.ts" */
/** @typedef {{ [name: string]: string }} Said What stands in each field. */

/**
 * Write what changed; whether it was kept.
 * @param {JobContext} ctx
 * @param {Said} said
 * @param {Said} given what stood there before
 */
async function write(ctx, said, given) {
  /** @type {{ [name: string]: string | null }} */
  const body = Object.fromEntries(
    Object.entries(said)
      .filter(([name, text]) => text !== given[name])
      .map(([name, text]) => [name, text || null]),
  );
  if (body.car !== undefined || body.owner !== undefined)
    body.title = titleOf(said) || SAID.car(new Date().toLocaleDateString());
  return !Object.keys(body).length || (await ctx.save([["job", body]], { said: SAID.card }));
}

/**
 * Cars that were here and fit what is typed, each a key to what is known of it; none once the job has begun with one.
 * @param {JobContext} ctx
 */
function cameBefore(ctx) {
  const node = h("div", { class: "came-before" });
  let turn = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  ctx.whileShown(() => clearTimeout(timer));
  const look = async (/** @type {Said} */ { car, owner, plate }) => {
    const mine = ++turn;
    await ctx.need("pc");
    const like = async (/** @type {string} */ words) =>
      words ? ctx.pc.carsLike(words, { without: ctx.job }) : Promise.resolve([]);
    const [named, plated] = await Promise.all([like(`${car} ${owner}`.trim()), like(plate.trim())]);
    if (mine !== turn || !node.isConnected) return;
    const lines = [...new Map([...plated, ...named].map((line) => [line.car_key, line])).values()].slice(0, MOST);
    const rows = lines.map((line) => ({
      words: wasHere(line.last_at),
      small: SAID.known(lineWords(line)),
      href: ctx.href({ words: ["known"], query: { key: line.car_key } }),
    }));
    node.replaceChildren(...(rows.length ? [keyRows(rows)] : []));
  };
  return {
    node,
    /** @param {Said} typed @param {number} [pause_ms] */
    follow(typed, pause_ms = PAUSE_MS) {
      clearTimeout(timer);
      if (ctx.sheet.known.job) return;
      timer = setTimeout(() => look(typed).catch(() => {}), pause_ms);
    },
  };
}

/**
 * The screen.
 * @param {JobContext} ctx
 * @returns {Shown}
 */
export function about(ctx) {
  const key = "about";
  /** @type {Said} */
  const given = {
    car: ctx.sheet.car_name,
    owner: ctx.sheet.owner,
    plate: ctx.sheet.about.plate ?? "",
    odometer: ctx.sheet.about.odometer ?? "",
    chassis: ctx.sheet.about.chassis ?? "",
    wish: ctx.sheet.wish,
  };
  const typed = { ...given, ...ctx.drafts.draft(ctx.job, key) };
  const before = cameBefore(ctx);
  const field = (/** @type {typeof FIELDS[number]} */ { name, label, place, longest }) => {
    const input = h("input", {
      id: `about-${name}`,
      type: "text",
      maxlength: longest,
      autocomplete: "off",
      placeholder: place,
      value: typed[name],
      oninput: () => {
        typed[name] = input.value;
        ctx.kept(() => ctx.drafts.keep(ctx.job, key, typed));
        if (name !== "wish" && name !== "odometer") before.follow(typed);
      },
    });
    return h("div", { class: "text-field" }, h("label", { for: `about-${name}`, text: label }), input);
  };
  const save = async () => {
    const said = Object.fromEntries(FIELDS.map(({ name }) => [name, typed[name].trim()]));
    if (!(await write(ctx, said, given))) return;
    ctx.drafts.drop(ctx.job, key);
    ctx.go({ words: ["list"] });
  };
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    save();
  };
  ctx.unsaved(() => FIELDS.some(({ name }) => typed[name].trim() !== given[name]));
  const form = h(
    "form",
    { class: "new", onsubmit: submit },
    FIELDS.map(field),
    h("button", { class: "unseen", tabindex: "-1", "aria-hidden": "true" }, SAID.save),
  );
  const screen = shell({
    title: SAID.title,
    how: SAID.how,
    body: [form, before.node],
    quiet: { words: SAID.cancel, href: ctx.href({ words: ["list"] }) },
    main: { words: SAID.save, ontap: save },
  });
  before.follow(typed, 0);
  return { title: SAID.title, fresh() {}, node: screen.node };
}
