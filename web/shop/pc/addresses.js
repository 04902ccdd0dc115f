/* Where the shop is best reached, by what its server says of itself. */

import { serverSays } from "../server.js";
import { onlyHere } from "../../work/addresses.js";

/** What the shop's server says of its address, or null. */
export async function told() {
  try {
    const { address } = await serverSays({ patience_ms: 4000 });
    return typeof address === "string" ? address : null;
  } catch {
    return null;
  }
}

/**
 * Where a link should lead that others open: here, or the shop's address where this one is this machine's alone; null
 * where there is none.
 */
export async function forOthers() {
  if (!onlyHere(location.href)) return location.origin;
  const address = await told();
  return address && !onlyHere(address) ? address : null;
}
