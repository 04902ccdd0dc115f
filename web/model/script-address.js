/* The addresses of scripts that the page starts by name. The policy of the page (Trusted Types, W3C) takes an address
   of a script from here only, where the browser knows how: a text that came with a link or a file never becomes one. */

const OWN = ["/sw.js", "/model/worker.js"];

/** @typedef {{ createScriptURL(address: string): string }} Policy What is used of a Trusted Types policy. */
/** @typedef {{ createPolicy(name: string, rules: Policy): Policy }} Policies */

/** @param {string} address */
function own(address) {
  const { origin, pathname } = new URL(address, import.meta.url);
  if (origin !== new URL(import.meta.url).origin || !OWN.includes(pathname))
    throw new TypeError(`${address} is no script of this app`);
  return address;
}

const { trustedTypes } = /** @type {{ trustedTypes?: Policies }} */ (/** @type {unknown} */ (globalThis));
const policy = trustedTypes?.createPolicy("bothends", { createScriptURL: own }) ?? { createScriptURL: own };

/**
 * The address of one of this app's own scripts, as the browser asks for it.
 * @param {string} address
 * @throws {TypeError} where it is none
 */
export const scriptAddress = (address) => policy.createScriptURL(address);
