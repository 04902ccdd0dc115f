/* The shop as its papers name it: entered once, kept at the shop, remembered here for when it does not answer. */

import { recall, remember } from "../../book/base.js";
import { askShop } from "./asks.js";

/** @import { Letterhead } from "../../types/wire.d.ts" */

/** @type {Letterhead} */
const NOTHING = { name: "", address: "", phone: "" };

/** What was entered last, as far as it is known. @returns {Promise<Letterhead>} */
export async function letterhead() {
  const { body } = await askShop("/api/letterhead");
  if (body) await remember("letterhead", body).catch(() => {});
  return body ?? (await recall("letterhead")) ?? NOTHING;
}

/**
 * Keep it at the shop; what the shop says against it, or why it does not answer, else "".
 * @param {Letterhead} said
 * @returns {Promise<string>}
 */
export async function enterLetterhead(said) {
  const { body, problem, lack } = await askShop("/api/letterhead", { method: "PUT", send: said });
  if (!body) return problem?.detail ?? lack?.text ?? "";
  await remember("letterhead", body).catch(() => {});
  return "";
}
