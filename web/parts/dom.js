/* Building HTML and SVG elements from plain calls. No markup strings: the page's policy allows no inline anything,
   and text from people must never become markup. */

const SVG = "http://www.w3.org/2000/svg";

/**
 * Attributes by name, a listener as `onclick`, and `text`; what is not there or false is left out.
 * @typedef {{ [name: string]: string | number | boolean | null | undefined | ((event: any) => unknown) }} Props
 */
/** @typedef {"h1" | "h2" | "h3" | "h4"} Heading */
/** @typedef {Node | string | null | undefined | false | Child[]} Child A node or a text; lists are laid flat. */

/**
 * @template {Element} T
 * @param {T} element
 * @param {Props | null | undefined} props
 * @param {Child[]} children
 * @returns {T}
 */
function filled(element, props, children) {
  for (const [name, value] of Object.entries(props ?? {})) {
    if (value === undefined || value === null || value === false) continue;
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (name === "text") element.textContent = String(value);
    else element.setAttribute(name === "cls" ? "class" : name, value === true ? "" : String(value));
  }
  const flat = /** @type {(Node | string | null | undefined | false)[]} */ (children.flat(3));
  element.append(...flat.filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/**
 * An HTML element: `h("button", {cls: "key", onclick: f}, "Next")`.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {Props | null} [props]
 * @param {...Child} children
 */
export const h = (tag, props, ...children) => filled(document.createElement(tag), props, children);

/**
 * An SVG element, the same way.
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag
 * @param {Props | null} [props]
 * @param {...Child} children
 */
export const s = (tag, props, ...children) => filled(document.createElementNS(SVG, tag), props, children);

/**
 * Text kept for those who listen instead of look.
 * @param {string} text
 */
export const unseen = (text) => h("span", { cls: "unseen", text });

/** @type {HTMLElement | null} */
let said = null;

/**
 * Speak a short result through the page's live region.
 * @param {string} text
 */
export function say(text) {
  said ??= document.getElementById("said");
  if (said) said.textContent = text;
}

/**
 * Do it once no key is being pressed: one that is replaced between press and release would not be pressed at all.
 * @param {() => unknown} work
 */
export function atRest(work) {
  const later = () => requestAnimationFrame(() => (document.querySelector("main :active") ? later() : work()));
  if (document.querySelector("main :active")) later();
  else work();
}

/** Once no key is being pressed. @returns {Promise<void>} */
export const rested = () => new Promise((done) => atRest(done));

/**
 * Put a dialog in front of the page. Whoever goes back leaves it too; it is gone once it is closed.
 * @param {HTMLDialogElement} dialog
 * @param {() => void} [closed] called then
 */
export function inFront(dialog, closed = () => {}) {
  const leave = () => dialog.close("");
  addEventListener("popstate", leave, { once: true });
  dialog.addEventListener("close", () => {
    removeEventListener("popstate", leave);
    dialog.remove();
    closed();
  });
  document.body.append(dialog);
  dialog.showModal();
}
