/* Where this app's own files are, whether a shop's server is behind them, and the addresses of scripts that the page
   starts by name. The app may stand at the root of a shop's server or in a folder of any static host. The policy of the
   page (Trusted Types, W3C) takes an address of a script from here only, where the browser knows how: a text that came
   with a link or a file never becomes one. */

/** The folder that the app stands in, ending in a slash: the first screen has this address. */
export const HOME = new URL("../", import.meta.url).href;

/**
 * The version of the public copy that this page is, or null where a shop's server is behind it. `bothends site` writes
 * it into the copy's page (api/bothends/service/site/public.py).
 * @type {string | null}
 */
export const COPY = globalThis.document?.documentElement.dataset.copy ?? null;

const OWN = ["sw.js", "model/worker.js", "shop/pc/copy-check.js"].map((name) => new URL(name, HOME).href);

/** @typedef {{ createScriptURL(address: string): string }} Policy What is used of a Trusted Types policy. */
/** @typedef {{ createPolicy(name: string, rules: Policy): Policy }} Policies */

/** @param {string} address */
function own(address) {
  if (!OWN.includes(address)) throw new TypeError(`${address} is no script of this app`);
  return address;
}

const { trustedTypes } = /** @type {{ trustedTypes?: Policies }} */ (/** @type {unknown} */ (globalThis));
const policy = trustedTypes?.createPolicy("bothends", { createScriptURL: own }) ?? { createScriptURL: own };

/**
 * The address of one of this app's own scripts, as the browser asks for it.
 * @param {string} name its path below the app's folder
 * @throws {TypeError} where it is none
 */
export const scriptAddress = (name) => policy.createScriptURL(new URL(name, HOME).href);
