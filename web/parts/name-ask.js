/* Who reads: a name asked for once on a device that shares a job, kept on it and changed in Settings. It stops nobody:
   an empty field is an answer too. */

import { MOST_NAME } from "../work/writer.js";
import { h } from "./dom.js";

/** @import { Context, JobContext } from "../types/context.d.ts" */

const SAID = {
  label: "Your name",
  why:
    "It stands with what you read, for whoever shares the job. Left empty: “reader without a name”. " +
    "You can change it in Settings.",
  title: "Who reads here?",
  save: "Save name",
  none: "No name",
};

/**
 * The field.
 * @param {string} value
 * @param {string} [id]
 */
export function nameField(value, id = "writer-name") {
  const input = /** @type {HTMLInputElement} */ (
    h("input", { id, type: "text", autocomplete: "given-name", maxlength: MOST_NAME, value })
  );
  const node = h(
    "div",
    { class: "text-field new" },
    h("label", { for: id, text: SAID.label }),
    input,
    h("p", { class: "where", text: SAID.why }),
  );
  return { node, input };
}

/**
 * Whether somebody is still to be asked: on a device of no shop, which has its own names.
 * @param {Pick<Context, "device">} ctx
 */
export async function toBeAsked({ device }) {
  const [held, name] = await Promise.all([device.access(), device.writerName()]);
  return !held && name === null;
}

/**
 * The question inside a job that others write too; null where nobody is to be asked. What was entered here before gets
 * the name by one record that says nothing else.
 * @param {JobContext} ctx
 * @param {() => void} then once it was answered
 * @returns {Promise<HTMLElement | null>}
 */
export async function nameAsk(ctx, then) {
  const mine = await ctx.device.deviceId();
  const wrote = (/** @type {boolean} */ here) => ctx.entries().some(({ device }) => (device === mine) === here);
  if (!wrote(false) || !(await toBeAsked(ctx))) return null;
  const { node, input } = nameField("");
  const keep = async (/** @type {string} */ name) => {
    await ctx.device.setWriterName(name);
    if (wrote(true)) await ctx.log.append(ctx.job, [["job", {}]]);
    then();
  };
  const key = (/** @type {string} */ words, /** @type {() => string} */ name) =>
    h("button", { type: "button", class: "key", onclick: () => keep(name()) }, words);
  return h(
    "section",
    { class: "kind name-ask" },
    h("h2", { text: SAID.title }),
    node,
    h(
      "div",
      { class: "keys" },
      key(SAID.save, () => input.value),
      key(SAID.none, () => ""),
    ),
  );
}
