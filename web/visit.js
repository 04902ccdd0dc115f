/* Who is here, told before anything is drawn. Somebody new sees the first screen that index.html has in it. Who has
   jobs sees the start page as it was drawn last (book/last-start.js), and what the app needs is asked for after that:
   forty files that come at once would hold up what is seen. Everybody else, who means another address, sees none of
   either. The app takes over from all. A script of its own, since the page's policy allows none inside it. */

(() => {
  const BEEN = "bothends/been";
  const LAST = "bothends/start";
  const { dataset } = document.documentElement;
  const atStart = ["", "#", "#/"].includes(location.hash);

  /** @typedef {import("./types/log.d.ts").Tree} Tree */

  /** @param {Tree} tree @returns {HTMLElement} */
  function made([tag, set, ...inside]) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(set)) node.setAttribute(name, value);
    node.append(...inside.map((one) => (typeof one === "string" ? one : made(one))));
    return node;
  }

  const change = (/** @type {string} */ which, /** @type {string} */ rel) =>
    document.querySelectorAll(`link${which}`).forEach((link) => {
      // The app, which waits for some of them, may be there later than that.
      link.addEventListener("error", () => link.setAttribute("data-failed", ""));
      link.setAttribute("rel", rel);
    });

  /** Have the browser ask at once for modules that it would find one behind the other. */
  const ask = (/** @type {boolean} */ cards) =>
    change(cards ? "[rel=modules], link[rel=cards]" : "[rel=modules]", "modulepreload");

  const drawLast = (/** @type {string} */ last) => () => {
    document.querySelector(".splash")?.replaceWith(made(JSON.parse(last)));
    dataset.visit = "again";
    requestAnimationFrame(() => setTimeout(ask, 0, true));
  };

  let been = true;
  /** @type {string | null} */
  let last = null;
  try {
    been = Boolean(localStorage.getItem(BEEN));
    last = atStart ? localStorage.getItem(LAST) : null;
    // Nobody has a job before the app has once run.
    if (!been) addEventListener("load", () => localStorage.setItem(BEEN, "yes"));
  } catch {
    // A browser that keeps nothing may have anybody before it.
  }
  if (been) change("[data-cards]", "stylesheet");
  if (last) document.addEventListener("readystatechange", drawLast(last), { once: true });
  else ask(been);
  // Where a worker serves the page, somebody was here.
  if (!been && !navigator.serviceWorker?.controller && atStart) dataset.visit = "first";
})();
