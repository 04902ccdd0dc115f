// What the browser tests measure on a page. Loaded before every page's own scripts; the app never sees it.
globalThis.probes = (() => {
  const middle = (e) => {
    const b = e.getBoundingClientRect();
    return [b.x + b.width / 2, b.y + b.height / 2];
  };
  const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && e.getBoundingClientRect().height > 1;
  const named = (e) => (e.getAttribute("aria-label") || e.textContent).trim().slice(0, 30);
  const all = (selector) => [...document.querySelectorAll(selector)];
  const solved = [];
  const post = Worker.prototype.postMessage;
  Worker.prototype.postMessage = function (message, ...rest) {
    if (message.ask === "solve") solved.push(message.payload);
    return post.call(this, message, ...rest);
  };

  return {
    /** The requests that the phone's model was asked to solve since the page was opened. */
    solved,
    /** The arm's middle from the bar's on the screen: [right, down], px. */
    arm() {
      const [arm, bar] = ["arm", "bar"].map((name) => middle(document.querySelector(`.picture .swing .${name}`)));
      return [arm[0] - bar[0], arm[1] - bar[1]];
    },
    /** Which way the arm on the key of a way slopes from its bar, on the screen: [right, down]. */
    swing(way) {
      const path = document.querySelector(`.typed [data-swing="${way}"] path`);
      const at = (length) => path.getPointAtLength(length).matrixTransform(path.getScreenCTM());
      return [at(24).x - at(0).x, at(24).y - at(0).y];
    },
    /** [number of keys, complaints]: keys under 48 px or nearer than 6 px to each other (half a pixel for rounding). */
    keys() {
      const keys = all("button, a.key, a.card, a.to, label.key, label.option, summary, .new input, .field")
        .filter((e) => shown(e) && !e.closest(".unseen"))
        .map((e) => ({ name: named(e), box: e.getBoundingClientRect(), in: e.closest(".stage") }));
      const wrong = keys
        .filter(({ box }) => box.width < 47.5 || box.height < 47.5)
        .map(({ name, box }) => `${name}: ${box.width} by ${box.height}`);
      keys.forEach((a, i) => {
        // What scrolls goes under what does not.
        for (const b of keys.slice(i + 1).filter((b) => b.in === a.in)) {
          const right = Math.max(b.box.left - a.box.right, a.box.left - b.box.right);
          const down = Math.max(b.box.top - a.box.bottom, a.box.top - b.box.bottom);
          if (Math.max(right, down) < 5.5) wrong.push(`${a.name} and ${b.name}: ${right}, ${down}`);
        }
      });
      return [keys.length, wrong];
    },
    /** Whatever sticks out of the window sideways, or does not fit in its own box. */
    cut() {
      const out = all("body *")
        .filter((e) => !e.closest(".unseen, .skip, svg") && shown(e))
        .filter((e) => e.getBoundingClientRect().right > innerWidth + 1 || e.getBoundingClientRect().left < -1);
      const tight = all(".key, .option, .field, input.figure, h1, h2, dd, li, p")
        .filter((e) => shown(e) && !e.closest(".unseen, .name"))
        .filter((e) => e.scrollWidth > e.clientWidth + 1);
      return [...out, ...tight].map((e) => `${e.tagName}.${e.className} ${named(e)}`);
    },
    /** Elements that would move when something changes. */
    moving: () => all("*").filter((e) => Number.parseFloat(getComputedStyle(e).transitionDuration) > 0).length,
    /** What axe holds against the page. */
    async axe() {
      const sets = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
      // What passes is looked at as well, and only not described: a quarter of the work.
      const { violations } = await axe.run(document, { runOnly: sets, resultTypes: ["violations"] });
      return violations.map((v) => `${v.id}: ${v.nodes.map((n) => `${n.target} ${n.failureSummary}`).join(" | ")}`);
    },
  };
})();

addEventListener("securitypolicyviolation", (event) => {
  console.error(`policy: ${event.violatedDirective} ${event.blockedURI}`);
});
