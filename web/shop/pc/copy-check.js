/* Looks whether a public copy of this app answers at an address, as a worker of its own: the page's policy lets nothing
   of it ask anybody but its own server, and this file alone is served with one that does (service/site/front.py). It
   fetches the mark that `bothends site` writes, sends nothing, and says what it found. */

const MARK = "bothends-copy.json";
const FORMAT = "bothends-copy";
const PATIENCE_MS = 15_000;
/** @type {RequestInit} */
const QUIETLY = { cache: "no-store", credentials: "omit", referrerPolicy: "no-referrer" };

/** The hash of the app that this worker belongs to, as its own list has it. */
async function own() {
  const reply = await fetch(new URL("../../assets.js", self.location.href), {
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
  return /"hash": ?"([0-9a-f]+)"/.exec(await reply.text())?.[1] ?? "";
}

/**
 * What is at an address.
 * @param {string} address
 */
async function look(address) {
  const mark = new URL(MARK, address).href;
  const asking = () => ({ ...QUIETLY, signal: AbortSignal.timeout(PATIENCE_MS) });
  try {
    const reply = await fetch(mark, asking());
    const told = reply.ok ? await reply.json().catch(() => null) : null;
    if (told?.format !== FORMAT) return { found: "not-ours" };
    return { found: told.of === (await own()) ? "same" : "other", version: String(told.version) };
  } catch {
    // A host that answers, but not for a page from elsewhere, is told from one that is silent: unread, it is no error.
    const answers = await fetch(mark, { ...asking(), mode: "no-cors" }).then(
      () => true,
      () => false,
    );
    return { found: answers ? "hidden" : "silent" };
  }
}

self.addEventListener("message", async ({ data }) => self.postMessage(await look(String(data))));
