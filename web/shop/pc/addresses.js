/* Where this page is open and where the shop is best reached: which addresses stay, which may change, which are this
   machine's alone; and what the shop's server says of it. */

import { serverSays } from "../server.js";

const V4 = /^\d{1,3}(\.\d{1,3}){3}$/;
const host = (address) => (URL.canParse(address) ? new URL(address).hostname : "");

/** Whether an address means the machine it is opened on, so that nobody else can use it. */
export const onlyHere = (address) => ["localhost", "[::1]"].includes(host(address)) || /^127\./.test(host(address));

/** Whether an address is bare numbers, which a network gives out anew. */
export const bareNumbers = (address) => !onlyHere(address) && (V4.test(host(address)) || host(address).startsWith("["));

/** The shop's better address than this page's, without a path, or null; `told` is what its server says of itself. */
export function betterThan(here, told) {
  if (!told || !URL.canParse(told) || onlyHere(here) || onlyHere(told)) return null;
  const { origin } = new URL(told);
  return origin === new URL(here).origin || bareNumbers(origin) ? null : origin;
}

/** What the shop's server says of its address, or null. */
export async function told() {
  try {
    const { address } = await serverSays({ patience_ms: 4000 });
    return typeof address === "string" ? address : null;
  } catch {
    return null;
  }
}

/** Where a link should lead that others open: here, or the shop's address where this one is this machine's alone; null where there is none. */
export async function forOthers() {
  if (!onlyHere(location.href)) return location.origin;
  const address = await told();
  return address && !onlyHere(address) ? address : null;
}
