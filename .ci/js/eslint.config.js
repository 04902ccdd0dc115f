/* The rules for the JavaScript in web/ and its tests. They hold everywhere, without exceptions. */

import js from "@eslint/js";
import globals from "globals";

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
  { files: ["web/visit.js"], languageOptions: { sourceType: "script" } },
  { files: ["web/model/worker.js"], languageOptions: { globals: globals.worker } },
  {
    // What decides runs anywhere: a name that only a browser has is undefined there. tests/test_layers.py holds the
    // rest of the layers.
    files: ["web/work/**/*.js"],
    languageOptions: { globals: { ...off(globals.browser), ...globals["shared-node-browser"] } },
  },
  { files: ["tests/node/**/*.mjs", ".ci/js/*.js"], languageOptions: { globals: globals.node } },
];

/** The same names, taken back. */
function off(names) {
  return Object.fromEntries(Object.keys(names).map((name) => [name, "off"]));
}
