/* Where the shop is best reached, by what its server says of itself. */

import { serverSays } from "../server.js";

/** What the shop's server says of its address, or null. */
export async function told() {
  try {
    const { address } = await serverSays({ patience_ms: 4000 });
    return typeof address === "string" ? address : null;
  } catch {
    return null;
  }
}
