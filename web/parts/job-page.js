/* A job as one page in one file: what the reader of a link sees, with its drawings and its looks inside, and the job's
   records to be imported by the app. It asks for nothing when it is opened, from a mail or a stick, without a network
   and without scripts. */

import { h } from "./dom.js";
import { reader } from "./job-reader.js";

/** @import { Context } from "../types/context.d.ts" */
/** @import { Sender } from "../types/log.d.ts" */
/** @import { Folded } from "../types/sheet.d.ts" */

const SAID = {
  /** @type {(car: string, day: string) => string} */
  title: (car, day) => `${car}, as of ${day}`,
  car: "Car without a name",
  how:
    "This file is a whole job of the app Bothends, to be read here, and to be printed. To add readings of your own, " +
    "open the app, tap Open a link, and choose this file there.",
};
/** Nothing is asked for and nothing runs, whatever stands in a job. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:";
/** Of the app's looks those that a page alone needs otherwise. */
const OWN =
  "html,body{display:block;height:auto;overflow:visible}body{margin:0;padding:1rem;background:var(--paper);" +
  "color:var(--ink)}main{max-width:56rem;margin:0 auto;display:grid;gap:1rem;overflow:visible;height:auto}" +
  "@media print{.step,.corner,.warn,.read-part>h2{break-inside:avoid}}";

/**
 * A rule that counts for something in the page, as text; "" where none does.
 * @param {CSSRule} rule
 * @param {Element} root
 * @returns {string}
 */
function ruleOf(rule, root) {
  if (rule instanceof CSSStyleRule) {
    // What a state or a part made by style adds to an element is not the element.
    const plain = rule.selectorText.replaceAll(/::?(?!is|where|not|has|root)[\w-]+(\([^()]*\))?/g, "");
    const meant = plain.split(",").map((one) => one.trim() || "*");
    const counts = meant.some((one) => {
      try {
        return /^(:root|html|body)\b/.test(one) || root.querySelector(one) !== null;
      } catch {
        return false;
      }
    });
    return counts ? rule.cssText : "";
  }
  if (rule instanceof CSSMediaRule) {
    const inside = [...rule.cssRules].map((one) => ruleOf(one, root)).filter(Boolean);
    return inside.length ? `@media ${rule.conditionText}{${inside.join("")}}` : "";
  }
  return "";
}

/**
 * The looks of what stands in the page.
 * @param {Element} root
 */
const looks = (root) =>
  [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules].map((rule) => ruleOf(rule, root))).join("\n");

/**
 * A job as the text of an HTML file.
 * @param {Context} ctx
 * @param {Folded} all
 * @param {{ from?: Sender, log: string, day: string }} what who sends it; its records as an exported file; today
 */
export async function pageOf(ctx, all, { from, log, day }) {
  const { sheet } = all;
  const { node, ready } = reader(ctx, all, from);
  await ready;
  const title = SAID.title(sheet.title || sheet.car_name || SAID.car, day);
  const main = h(
    "main",
    null,
    h("h1", { text: title }),
    h("p", { text: sheet.wish }),
    node,
    h("p", { text: SAID.how }),
  );
  const head = h(
    "head",
    null,
    h("meta", { charset: "utf-8" }),
    h("meta", { "http-equiv": "Content-Security-Policy", content: POLICY }),
    h("meta", { name: "viewport", content: "width=device-width, initial-scale=1" }),
    h("meta", { name: "color-scheme", content: "light dark" }),
    h("title", { text: title }),
    h("style", { text: `${looks(main)}\n${OWN}` }),
  );
  const page = h("html", { lang: "en" }, head, h("body", null, main)).outerHTML;
  const end = page.lastIndexOf("</body>");
  // The policy of this very page lets no text become a script, not even one of data. No text of a job ends it there.
  const data = `<script type="application/json" id="bothends-log">${log.replaceAll("<", "\\u003c")}</script>`;
  return `<!doctype html>\n${page.slice(0, end)}${data}${page.slice(end)}\n`;
}
