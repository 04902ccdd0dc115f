/* The stages of a job in one strip: done solid, at work hatched, to come in outline; the words below are text of the
   page, so that they grow with the reader's type. */

import { h } from "../dom.js";

/** @param {string[]} names the stages in their order, such as read, plan, left, right, check, done
 * @param {number} at which is at work, from 0; `names.length` where all are done
 * @param {string} label such as "Left side: third of six stages"
 * @returns {HTMLElement} */
export function stageStrip(names, at, label) {
  return h(
    "div",
    { cls: "stages", role: "img", "aria-label": label },
    names.map((name, i) => {
      const state = i < at ? "done" : i === at ? "now" : "to-come";
      return h("span", { cls: state }, h("i", { cls: "stage-bar" }), h("b", { text: name }));
    }),
  );
}
