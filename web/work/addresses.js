/* What an address of the page is good for: whether it works on this machine alone, or may change. */

const V4 = /^\d{1,3}(\.\d{1,3}){3}$/;
/** @param {string} address */
const host = (address) => (URL.canParse(address) ? new URL(address).hostname : "");

/**
 * Whether an address means the machine it is opened on, so that nobody else can use it.
 * @param {string} address
 */
export const onlyHere = (address) => ["localhost", "[::1]"].includes(host(address)) || /^127\./.test(host(address));

/**
 * Whether an address is bare numbers, which a network gives out anew.
 * @param {string} address
 */
export const bareNumbers = (address) => !onlyHere(address) && (V4.test(host(address)) || host(address).startsWith("["));

/**
 * The shop's better address than this page's, without a path, or null; `told` is what its server says of itself.
 * @param {string} here
 * @param {string | null | undefined} told
 */
export function betterThan(here, told) {
  if (!told || !URL.canParse(told) || onlyHere(here) || onlyHere(told)) return null;
  const { origin } = new URL(told);
  return origin === new URL(here).origin || bareNumbers(origin) ? null : origin;
}
