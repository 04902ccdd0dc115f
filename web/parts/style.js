/* Style sheets of screens that are seldom seen: fetched with the screen, not with the page. */

/**
 * Add /FOLDER/NAME.css to the page, once; settles when it is there, or cannot be had.
 * @param {string} name
 * @param {string} [folder]
 * @returns {Promise<unknown>}
 */
export function useStyle(name, folder = "style/shop") {
  const href = `/${folder}/${name}.css`;
  if (document.head.querySelector(`link[href="${href}"]`)) return Promise.resolve();
  const link = document.createElement("link");
  return new Promise((done) => {
    Object.assign(link, { rel: "stylesheet", href, onload: done, onerror: done });
    document.head.append(link);
  });
}
