/* Installing the app: the browser's own offer, kept until somebody wants it. Owns only the offer; loaded with the page,
   since the browser makes it once and early. */

/** @typedef {Event & { prompt(): Promise<void>, userChoice: Promise<{ outcome: "accepted" | "dismissed" }> }} Offer */

/** @type {Set<() => void>} */
const watchers = new Set();
/** @type {Offer | null} */
let offer = null;
let done = false;

addEventListener("beforeinstallprompt", (event) => {
  // The browser would ask at once; it is asked where it is said what for.
  event.preventDefault();
  offer = /** @type {Offer} */ (event);
  for (const watcher of watchers) watcher();
});
addEventListener("appinstalled", () => {
  done = true;
  for (const watcher of watchers) watcher();
});

/**
 * "app" where this page is the installed app, "done" once it was installed from here, "offer" where the browser can,
 * "words" where only its user can.
 */
export function installState() {
  // Safari's own word for it.
  const alone = /** @type {{ standalone?: boolean }} */ (navigator).standalone === true;
  if (matchMedia("(display-mode: standalone)").matches || alone) return "app";
  return done ? "done" : offer ? "offer" : "words";
}

/** Let the browser ask; whether the answer was yes. */
export async function install() {
  const asked = offer;
  offer = null;
  await asked?.prompt();
  return (await asked?.userChoice)?.outcome === "accepted";
}

/**
 * Be told when that changes. Returns how to stop.
 * @param {() => void} watcher
 */
export function watchInstall(watcher) {
  watchers.add(watcher);
  return () => watchers.delete(watcher);
}
