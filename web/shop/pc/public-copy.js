/* The shop's public copy of the app: where it is, as the shop keeps it, and whether something answers there and is one.
   The look at it is a worker's (copy-check.js), since the page itself may ask nobody but its own server. */

import { remember } from "../../book/base.js";
import { scriptAddress } from "../../model/place.js";
import { askShop } from "./asks.js";

/** @typedef {"same" | "other" | "not-ours" | "hidden" | "silent"} Found What a look at an address came to. */
/** @typedef {{ found: Found, version?: string }} Looked */

/**
 * Keep an address at the shop, or null for none; what the shop says against it, or why it does not answer, else "".
 * @param {string | null} address
 * @returns {Promise<string>}
 */
export async function enterCopy(address) {
  const { body, problem, lack } = await askShop("/api/public-copy", { method: "PUT", send: { address } });
  if (!body) return problem?.detail ?? lack?.text ?? "";
  await remember("public_copy", body.address);
  return "";
}

/**
 * Look at an address: whether a public copy answers there, and of which version. Nothing of a job goes there.
 * @param {string} address
 * @returns {Promise<Looked>}
 */
export function lookAtCopy(address) {
  const worker = new Worker(scriptAddress("shop/pc/copy-check.js"));
  return new Promise((resolve) => {
    const done = (/** @type {Looked} */ looked) => {
      worker.terminate();
      resolve(looked);
    };
    worker.addEventListener("message", ({ data }) => done(data));
    worker.addEventListener("error", () => done({ found: "silent" }));
    worker.postMessage(address);
  });
}
