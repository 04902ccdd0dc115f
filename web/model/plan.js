/* Where a plan comes from: the server when it answers, this phone's own copy of the model when it does not.

   Owns the choice and the time limit. A problem the server names (a field out of range) is a real answer and is
   passed on; only silence, a dead network or a broken server sends the question to the phone. */

import { solve, SolverProblem } from "./solver.js";

const PATIENCE_MS = 6000;

/** One question to the server; null when it did not answer as a server of ours would. */
async function fromServer(request) {
  let reply;
  try {
    reply = await fetch("/api/solve", {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: "application/json" },
      body: JSON.stringify(request),
      signal: AbortSignal.timeout(PATIENCE_MS),
    });
  } catch {
    return null;
  }
  const body = await reply.json().catch(() => null);
  if (reply.ok && body) return body;
  if (body?.code && reply.status < 500) throw new SolverProblem(problemOf(body));
  return null;
}

/** The parts of a problem document that the screens use. */
function problemOf(body) {
  return { code: body.code, path: body.path ?? "$", detail: body.detail ?? body.title ?? "the request was refused" };
}

/**
 * Ask for a plan. Resolves to {answer, where: "server" | "phone"}.
 * Rejects with a SolverProblem: code, path, detail.
 */
export async function askForPlan(request) {
  const answer = await fromServer(request);
  if (answer) return { answer, where: "server" };
  return { answer: await solve(request), where: "phone" };
}
