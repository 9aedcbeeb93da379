// What tests/js/expectations.py has written down.
import { readFileSync } from "node:fs";

/** @param {string} name of a file in tests/js/expected */
export const expected = (name) => JSON.parse(readFileSync(new URL(`./expected/${name}`, import.meta.url), "utf8"));
