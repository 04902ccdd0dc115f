/* The demo jobs that a server offers. */

import { request } from "./client.js";

const PATIENCE_MS = 4000;

/**
 * Demo jobs as the server lists them; null where it has none or does not answer.
 * @returns {Promise<import("../types/wire.d.ts").DemoJob[] | null>}
 */
export async function demos() {
  try {
    const { status, body } = await request("GET", "/api/demo", { patience_ms: PATIENCE_MS });
    return status !== 200 ? null : Array.isArray(body) ? body : (body?.jobs ?? null);
  } catch {
    return null;
  }
}
