/* The demo jobs that a server offers. */

import { request } from "./client.js";

// Nothing waits for them, and a small PC that has just started takes seconds to make its first list.
const PATIENCE_MS = 20_000;

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
