/* What narrows and sorts the jobs table: one search, a chip for each stage with its count, what a link narrowed it to,
   and on a phone, where no headings are, what it is sorted by. */

import { h } from "../../parts/dom.js";
import { SORTS, START, chipsOf, linked } from "../../work/pc/table-words.js";

/** @import { Child } from "../../parts/dom.js" */
/** @import { State } from "../../types/sheet.d.ts" */
/** @import { Asked, Name } from "../../work/pc/table-words.js" */

/** @typedef {(change: Partial<Asked>) => void} Changed */

const SAID = {
  search: "Find by car, owner, request or title",
  stages: "Where the jobs stand",
  sorted: "Sorted by",
  arrived: "last arrived",
  off: (/** @type {string} */ words) => `${words}. Show all again.`,
  cross: "✕",
};

/** @param {Asked} asked @param {Changed} changed */
function sortField(asked, changed) {
  const sorts = [{ ...START, words: SAID.arrived }, ...SORTS];
  /** @type {HTMLSelectElement} */
  const input = h(
    "select",
    {
      id: "find-sort",
      onchange: () => {
        const [sort, order] = input.value.split(" ");
        changed({ sort, order });
      },
    },
    sorts.map(({ sort, order, words }) => h("option", { value: `${sort} ${order}`, text: words })),
  );
  const now = sorts.find(({ sort }) => sort === asked.sort) ?? sorts[0];
  input.value = `${now.sort} ${now.order}`;
  return h(
    "div",
    { class: "find sorted" },
    h("label", { class: "unseen", for: "find-sort", text: SAID.sorted }),
    input,
  );
}

/**
 * The form, its field, and how its chips are drawn again.
 * @param {Asked} asked it is read again whenever the chips are drawn
 * @param {Changed} changed
 * @returns {{ form: HTMLElement, search: HTMLInputElement, chips: (states: Record<State, number> | null) => void }}
 */
export function finding(asked, changed) {
  /** @type {HTMLInputElement} */
  const search = h("input", {
    id: "find-query",
    type: "search",
    maxlength: 200,
    autocomplete: "off",
    value: asked.query,
    placeholder: SAID.search,
    "aria-label": SAID.search,
    "aria-keyshortcuts": "/",
    oninput: () => changed({ query: search.value.trim() }),
  });
  const row = h("div", { class: "chips", role: "group", "aria-label": SAID.stages });
  /** @param {string} state @param {Child} inside @param {boolean} on */
  const chip = (state, inside, on) =>
    h(
      "button",
      { type: "button", class: "chip", "aria-pressed": String(on), onclick: () => changed({ state }) },
      inside,
    );
  /** @param {{ name: Name, words: string }} what */
  const off = ({ name, words }) =>
    h(
      "button",
      { type: "button", class: "chip off", "aria-label": SAID.off(words), onclick: () => changed({ [name]: "" }) },
      words,
      " ",
      h("span", { "aria-hidden": "true", text: SAID.cross }),
    );
  return {
    form: h(
      "form",
      { class: "finding", role: "search", onsubmit: (event) => event.preventDefault() },
      h("div", { class: "find wide" }, search),
      row,
      sortField(asked, changed),
    ),
    search,
    chips(states) {
      const held = row.contains(document.activeElement) ? [...row.children].indexOf(activeIn(row)) : -1;
      row.replaceChildren(
        ...chipsOf(states, asked.state).map(({ state, words, count, on }) =>
          chip(state, [words, count === null ? null : h("b", { text: ` ${count}` })], on),
        ),
        ...linked(asked).map(off),
      );
      const again = row.children[Math.min(held, row.children.length - 1)];
      if (held >= 0 && again instanceof HTMLElement) again.focus();
    },
  };
}

/** The child that has the focus. @param {HTMLElement} row @returns {Element} */
const activeIn = (row) => [...row.children].find((child) => child.contains(document.activeElement)) ?? row.children[0];
