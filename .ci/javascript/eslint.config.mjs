// The linter of scripts: pages' modules, the service worker, the tests in Node, and what browser
// tests run in a page.
import js from "@eslint/js";
import globals from "globals";

const MODULES = ["static/js/**/*.js"];
const WORKER = ["static/js/offline/worker.js", "static/js/reminders/push_worker.js"];
const NODE = ["tests/js/**/*.js", ".ci/javascript/*.mjs"];
const IN_A_PAGE = ["tests/browser/scripts/*.js"];

export default [
  js.configs.recommended,
  {
    languageOptions: { ecmaVersion: 2023, sourceType: "module" },
    linterOptions: { reportUnusedDisableDirectives: "error" },
    rules: {
      "array-callback-return": "error",
      "consistent-return": "error",
      "default-case-last": "error",
      "eqeqeq": "error",
      "max-depth": ["error", 3],
      "max-lines": ["error", 400],
      "max-lines-per-function": ["error", { max: 40, skipComments: true }],
      "no-console": "error",
      "no-constructor-return": "error",
      "no-else-return": "error",
      "no-eval": "error",
      "no-implicit-coercion": ["error", { allow: ["+"] }],
      "no-implicit-globals": "error",
      "no-implied-eval": "error",
      "no-new-func": "error",
      "no-return-assign": ["error", "except-parens"],
      "no-self-compare": "error",
      "no-shadow": "error",
      "no-throw-literal": "error",
      "no-unneeded-ternary": "error",
      "no-unreachable-loop": "error",
      "no-unused-vars": ["error", { argsIgnorePattern: "^_", varsIgnorePattern: "^_$" }],
      "no-use-before-define": ["error", { functions: false, classes: false, variables: false }],
      "no-useless-return": "error",
      "no-var": "error",
      "object-shorthand": "error",
      "prefer-arrow-callback": "error",
      "prefer-const": "error",
      "prefer-template": "error",
      "symbol-description": "error",
    },
  },
  { files: MODULES, ignores: WORKER, languageOptions: { globals: { ...globals.browser, htmx: "readonly" } } },
  {
    files: WORKER,
    languageOptions: { sourceType: "script", globals: globals.serviceworker },
    // The only scripts in their scope: what they name is their own.
    rules: { "no-implicit-globals": "off" },
  },
  { files: NODE, languageOptions: { globals: { ...globals.browser, ...globals.node } } },
  {
    files: IN_A_PAGE,
    languageOptions: { sourceType: "script", globals: { ...globals.browser, ...globals.audioWorklet } },
    rules: { "no-implicit-globals": "off" },
  },
];
