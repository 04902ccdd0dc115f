/* Pairing with the shop by the code on its screen, and letting in the browser that the shop's PC opened itself. */

import { cameIn, letGo } from "../book/fragment.js";
import { Trouble, request } from "./client.js";
import { access, deviceId, setAccess } from "../book/device.js";

/** @import { Access } from "../types/log.d.ts" */

/**
 * Pair with the shop by the code on its screen; rejects with a Trouble whose message says why.
 * @param {string} code
 * @param {string} name
 * @returns {Promise<Access>}
 */
export async function pair(code, name) {
  let reply;
  try {
    reply = await request("POST", "/api/devices", {
      body: { code, name, writes_as: await deviceId() },
      good: [200, 201],
    });
  } catch (error) {
    // Here the server's own words say more: the code was mistyped, used or is too old.
    if (error instanceof Trouble && error.problem?.detail) error.message = error.problem.detail;
    throw error;
  }
  const { status, body } = reply;
  if (status >= 400 || typeof body.key !== "string")
    throw Object.assign(
      new Trouble("not-ours", { status, problem: body }),
      body.detail ? { message: body.detail } : {},
    );
  const found = { key: body.key, id: body.device?.id ?? body.id, name: body.device?.name ?? name };
  await setAccess(found);
  return found;
}

/** The browser that the shop's PC opened itself is let in without a question; one that has a key keeps it. */
export async function letIn() {
  const code = cameIn("here");
  letGo("here");
  if (code && !(await access())) await pair(code, "Shop PC");
}
