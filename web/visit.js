/* Whether somebody new is here, told before anything is drawn: then the page shows the first screen that index.html has
   in it, and everybody else, who may have jobs or means another address, sees none of its words. The app takes over
   from either. A script of its own, since the page's policy allows none inside it. */

(() => {
  const PLACE = "bothends/been";
  try {
    if (localStorage.getItem(PLACE)) return;
    // Nobody has a job before the app has once run.
    addEventListener("load", () => localStorage.setItem(PLACE, "yes"));
  } catch {
    return;
  }
  // Where a worker serves the page, somebody was here.
  if (navigator.serviceWorker?.controller || !["", "#", "#/"].includes(location.hash)) return;
  document.documentElement.dataset.visit = "first";
})();
