/* The rules for the JavaScript in web/ and its tests. They hold everywhere from now on. What broke one when it was
   made stands in held.json, by file, rule and how often. The linter fails where there is more of it, and where there
   is less: then `npm run lint:shrink` takes it off the list. Nothing is added to that list for new code. */

import js from "@eslint/js";
import globals from "globals";

/** What only `shop/` and the book ask for: the network and the phone's database. */
const OUTSIDE = ["fetch", "XMLHttpRequest", "WebSocket", "EventSource", "indexedDB"];

const none = (names, why) => ["error", ...names.map((name) => ({ name, message: why }))];

export default [
  { ignores: ["web/vendor/**", "web/assets.js", "web/model/facts.js", "**/node_modules/**", "**/*.ts"] },
  js.configs.recommended,
  {
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "no-unused-vars": ["error", { ignoreRestSiblings: true }],
      eqeqeq: "error",
      "max-len": ["error", { code: 120, ignoreUrls: true }],
      "max-lines-per-function": ["error", { max: 80, skipBlankLines: true, skipComments: true }],
      // Every ?., ?? and default counts as a branch, so ten would forbid a plain table of conditions (33 of them stand
      // between ten and fifteen). More than fifteen are a dozen functions, each of which does two things.
      complexity: ["error", 15],
    },
  },
  { files: ["web/**/*.js"], languageOptions: { globals: globals.browser } },
  { files: ["web/sw.js"], languageOptions: { sourceType: "script", globals: globals.serviceworker } },
  { files: ["web/model/worker.js"], languageOptions: { globals: globals.worker } },
  {
    files: ["web/screens/**/*.js", "web/parts/**/*.js", "web/model/*.js"],
    // The worker fetches the model's own source, which is a file and no question to the shop.
    ignores: ["web/model/worker.js"],
    rules: {
      "no-restricted-globals": none(OUTSIDE, "shop/ asks the shop, book/ keeps; a screen is given what it draws"),
    },
  },
  {
    // What decides runs anywhere: no document, no window, no network. A name of the browser's is then undefined.
    files: ["web/work/**/*.js"],
    languageOptions: { globals: { ...off(globals.browser), ...globals["shared-node-browser"] } },
    rules: { "no-restricted-globals": none(OUTSIDE, "work/ decides from what it is given") },
  },
  { files: ["tests/node/**/*.mjs", ".ci/js/*.js"], languageOptions: { globals: globals.node } },
];

/** The same names, taken back. */
function off(names) {
  return Object.fromEntries(Object.keys(names).map((name) => [name, "off"]));
}
