/* Whether somebody new is here, told before anything is drawn: then the page shows the first screen that index.html has
   in it, and everybody else, who may have jobs or means another address, sees none of its words. The app takes over
   from either. A script of its own, since the page's policy allows none inside it.

   For everybody else what cards need is asked for together with what the app needs. */

(() => {
  const PLACE = "bothends/been";
  const cards = () => {
    const change = (/** @type {string} */ which, /** @type {string} */ rel) =>
      document.querySelectorAll(`link${which}`).forEach((link) => {
        // The app, which waits for some of them, may be there later than that.
        link.addEventListener("error", () => link.setAttribute("data-failed", ""));
        link.setAttribute("rel", rel);
      });
    change("[data-cards]", "stylesheet");
    change("[rel=cards]", "modulepreload");
  };
  try {
    if (localStorage.getItem(PLACE)) {
      // Once the page was read to its end, before any module of it runs.
      document.addEventListener("readystatechange", cards, { once: true });
      return;
    }
    // Nobody has a job before the app has once run.
    addEventListener("load", () => localStorage.setItem(PLACE, "yes"));
  } catch {
    return;
  }
  // Where a worker serves the page, somebody was here.
  if (navigator.serviceWorker?.controller || !["", "#", "#/"].includes(location.hash)) return;
  document.documentElement.dataset.visit = "first";
})();
