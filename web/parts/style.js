/* Style sheets that come after the page: those that the first screen stands without, and those of screens that are
   seldom seen. */

/**
 * The address of a style sheet of this app, wherever the app stands.
 * @param {string} name
 * @param {string} folder
 */
export const styleAddress = (name, folder) => new URL(`../${folder}/${name}.css`, import.meta.url).pathname;

/** Style sheets that were added. @type {Map<string, Promise<unknown>>} */
const added = new Map();

/**
 * Add FOLDER/NAME.css of this app to the page, once; settles when it is there, or cannot be had.
 * @param {string} name
 * @param {string} [folder]
 * @returns {Promise<unknown>}
 */
export function useStyle(name, folder = "style/shop") {
  const href = styleAddress(name, folder);
  const add = () =>
    new Promise((done) => {
      const link = document.createElement("link");
      Object.assign(link, { rel: "stylesheet", href, onload: done, onerror: done });
      document.head.append(link);
    });
  const come = added.get(href) ?? add();
  added.set(href, come);
  return come;
}

/** @type {{ cards?: Promise<unknown>, all?: Promise<unknown> }} */
const come = {};

/**
 * Have style sheets that stand in the page, in their place among the others.
 * @param {string} which
 */
const fetched = (which) =>
  Promise.all(
    /** @type {HTMLLinkElement[]} */ ([...document.querySelectorAll(`link${which}`)]).map(
      (link) =>
        link.sheet ||
        "failed" in link.dataset ||
        new Promise((done) => {
          Object.assign(link, { onload: done, onerror: done });
          // Where it was asked for already (visit.js), it is not asked for again.
          if (link.rel !== "stylesheet") link.rel = "stylesheet";
        }),
    ),
  );

/**
 * Have the style sheets that the cards of the first screen need besides.
 * @returns {Promise<unknown>}
 */
export const cardStyles = () => (come.cards ??= fetched("[data-cards]"));

/**
 * Have all style sheets that the first screen does without.
 * @returns {Promise<unknown>}
 */
export const laterStyles = () => (come.all ??= Promise.all([cardStyles(), fetched("[rel='later']")]));
