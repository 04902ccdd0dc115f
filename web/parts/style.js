/* Style sheets of screens that are seldom seen: fetched with the screen, not with the page. */

/** Add /FOLDER/NAME.css to the page, once. */
export function useStyle(name, folder = "style/shop") {
  const href = `/${folder}/${name}.css`;
  if (document.head.querySelector(`link[href="${href}"]`)) return;
  const link = document.createElement("link");
  Object.assign(link, { rel: "stylesheet", href });
  document.head.append(link);
}
