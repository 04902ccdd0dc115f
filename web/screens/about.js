/* The job's card: car, owner, plate, request; only what changed is written. Where such a car was here, what is known
   of it is a tap away. */

import { h } from "../parts/dom.js";
import { shell } from "../parts/shell.js";
import { titleOf, visitsOf } from "../work/again.js";
import { LONGEST } from "../work/car-said.js";
import { ANSWERS, question } from "../work/which-car.js";

const SAID = {
  title: "Car, owner, request",
  how: "Everything here is optional.",
  save: "Save",
  cancel: "Not now",
  card: "car, owner and request",
  car: (/** @type {string} */ day) => `Car of ${day}`,
  spoken: (/** @type {string} */ words, /** @type {string} */ asked) => `${words}: ${asked}`,
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
/** @import { Line } from "../work/pc/car-local.js" */
/** @typedef {{ [name: string]: string }} Said What stands in each field. */

/**
 * Write what changed; whether it was kept.
 * @param {JobContext} ctx
 * @param {Said} said
 * @param {Said} given what stood there before
 * @param {{ [name: string]: any }} [more] said with it
 */
async function write(ctx, said, given, more = {}) {
  /** @type {{ [name: string]: any }} */
  const body = Object.fromEntries(
    Object.entries(said)
      .filter(([name, text]) => text !== given[name])
      .map(([name, text]) => [name, text || null]),
  );
  Object.assign(body, more);
  if (body.car !== undefined || body.owner !== undefined)
    body.title = titleOf(said) || SAID.car(new Date().toLocaleDateString());
  return !Object.keys(body).length || (await ctx.save([["job", body]], { said: SAID.card }));
}

/**
 * Cars that were here and fit what is typed: is it the same? None once somebody has said which car it is, and none that
 * was said to be another.
 * @param {JobContext} ctx
 * @param {(more: { [name: string]: any }) => Promise<boolean>} keep what is typed, and that
 */
function cameBefore(ctx, keep) {
  const node = h("div", { class: "came-before" });
  /** @type {Set<string>} */
  const putOff = new Set(ctx.sheet.about.other_than ?? []);
  let turn = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  ctx.whileShown(() => clearTimeout(timer));
  /** @param {Line} line */
  const ask = (line) => {
    const words = question(line);
    const gone = () => {
      putOff.add(line.car_key);
      asked.remove();
    };
    const no = async () => {
      const { about } = ctx.sheet;
      if (await keep({ other_than: [...(about.other_than ?? []), line.car_key] })) gone();
    };
    const yes = async () => {
      if (!(await keep({ car_id: line.car_key }))) return;
      ctx.go({ words: ["known"], query: { key: line.car_key } });
    };
    const key = (/** @type {string} */ name, /** @type {() => void} */ ontap) =>
      h("button", { type: "button", class: "key", onclick: ontap, "aria-label": SAID.spoken(name, words) }, name);
    const asked = h(
      "section",
      { class: "same-car" },
      h("p", null, h("strong", { text: words }), ` ${visitsOf(line)}.`),
      h("div", { class: "keys" }, key(ANSWERS.yes, yes), key(ANSWERS.no, no), key(ANSWERS.later, gone)),
    );
    return asked;
  };
  const look = async (/** @type {Said} */ { car, owner, plate, chassis }) => {
    const mine = ++turn;
    await ctx.need("pc");
    const like = async (/** @type {string} */ words) =>
      words ? (await ctx.pc.carsLike(words, { without: ctx.job })).lines : [];
    const found = await Promise.all([chassis, plate, `${car} ${owner}`].map((words) => like(words.trim())));
    const lines = [...new Map(found.flat().map((line) => [line.car_key, line])).values()]
      .filter(({ car_key: key }) => !putOff.has(key))
      .slice(0, MOST);
    // Another device may have said on a job of the other car that they are two.
    const cars = await Promise.all(lines.map(({ car_key: key }) => ctx.pc.carAt(key, { without: ctx.job })));
    if (mine !== turn || !node.isConnected) return;
    const denied = (/** @type {number} */ i) => cars[i].found?.apart.some(({ car_key: key }) => key === ctx.job);
    node.replaceChildren(...lines.filter((_, i) => !denied(i)).map(ask));
  };
  return {
    node,
    /** @param {Said} typed @param {number} [pause_ms] */
    follow(typed, pause_ms = PAUSE_MS) {
      clearTimeout(timer);
      if (ctx.sheet.known.job || ctx.sheet.about.car_id) return;
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
  const read = () => Object.fromEntries(FIELDS.map(({ name }) => [name, typed[name].trim()]));
  const before = cameBefore(ctx, async (more) => {
    const kept = await write(ctx, read(), given, more);
    if (kept) Object.assign(given, read());
    return kept;
  });
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
    if (!(await write(ctx, read(), given))) return;
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
