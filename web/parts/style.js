/* Style sheets that come after the page: those that the first screen stands without, and those of screens that are
   seldom seen. */

/**
 * The address of a style sheet of this app, wherever the app stands.
 * @param {string} name
 * @param {string} folder
 */
export const styleAddress = (name, folder) => new URL(`../${folder}/${name}.css`, import.meta.url).pathname;

/**
 * Add FOLDER/NAME.css of this app to the page, once; settles when it is there, or cannot be had.
 * @param {string} name
 * @param {string} [folder]
 * @returns {Promise<unknown>}
 */
export function useStyle(name, folder = "style/shop") {
  const href = styleAddress(name, folder);
  if (document.head.querySelector(`link[href="${href}"]`)) return Promise.resolve();
  const link = document.createElement("link");
  return new Promise((done) => {
    Object.assign(link, { rel: "stylesheet", href, onload: done, onerror: done });
    document.head.append(link);
  });
}

/** @type {Promise<unknown> | undefined} */
let later;

/**
 * Have the style sheets that the first screen does without: they stand in the page, in their place among the others.
 * @returns {Promise<unknown>}
 */
export const laterStyles = () =>
  (later ??= Promise.all(
    [...document.querySelectorAll('link[rel="later"]')].map(
      (link) => new Promise((done) => Object.assign(link, { onload: done, onerror: done, rel: "stylesheet" })),
    ),
  ));
