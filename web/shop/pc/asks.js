/* Asking the shop's server for a page of the PC, and saying why there is no answer and what to do about it. */

import { access } from "../../book/device.js";
import { COPY } from "../../model/place.js";
import { Trouble, request } from "../client.js";

/** @import { Problem } from "../../types/wire.d.ts" */

/** @typedef {{ code: string, text: string }} Lack Why there is no answer. */
/**
 * @typedef {object} Answered
 * @property {any} body the answer; null where it has none
 * @property {Problem | null} problem what the server says is wrong with the question
 * @property {Lack | null} lack why there is neither
 */

/**
 * GET a path, or another method with what it sends.
 * @param {string} path
 * @param {{ method?: string, send?: unknown }} [how]
 * @returns {Promise<Answered>}
 */
export async function askShop(path, { method = "GET", send } = {}) {
  if (COPY !== null)
    return { body: null, problem: null, lack: { code: "no-shop", text: new Trouble("no-shop").message } };
  const held = await access().catch(() => null);
  if (!held)
    return { body: null, problem: null, lack: { code: "not-paired", text: "This device is not paired with a shop." } };
  try {
    const { status, body } = await request(method, path, { key: held.key, body: send, good: [200, 201, 204, 404] });
    return status < 400 ? { body, problem: null, lack: null } : { body: null, problem: body, lack: null };
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    return { body: null, problem: null, lack: { code: error.code, text: error.message } };
  }
}
