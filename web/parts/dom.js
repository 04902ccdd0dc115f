/* Building HTML and SVG elements from plain calls. No markup strings: the page's policy allows no inline anything,
   and text from people must never become markup. */

const SVG = "http://www.w3.org/2000/svg";

function filled(element, props, children) {
  for (const [name, value] of Object.entries(props ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "text") element.textContent = value;
    else element.setAttribute(name === "cls" ? "class" : name, value === true ? "" : value);
  }
  element.append(...children.flat(3).filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** An HTML element: `h("button", {cls: "key", onclick: f}, "Next")`. */
export const h = (tag, props, ...children) => filled(document.createElement(tag), props, children);

/** An SVG element, the same way. */
export const s = (tag, props, ...children) => filled(document.createElementNS(SVG, tag), props, children);

/** Text kept for those who listen instead of look. */
export const unseen = (text) => h("span", { cls: "unseen", text });

let said = null;

/** Speak a short result through the page's live region. */
export function say(text) {
  said ??= document.getElementById("said");
  if (said) said.textContent = text;
}
