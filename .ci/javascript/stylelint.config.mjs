// The linter of style sheets. Media queries cannot read a custom property, so the widths at which
// pages change stand in static/css/breakpoints.json, and no other one passes here.
import { readFileSync } from "node:fs";

const BREAKPOINTS = new URL("../../static/css/breakpoints.json", import.meta.url);
const widths = Object.values(JSON.parse(readFileSync(BREAKPOINTS, "utf8")));

export default {
  extends: "stylelint-config-standard",
  reportDescriptionlessDisables: true,
  reportInvalidScopeDisables: true,
  reportNeedlessDisables: true,
  rules: {
    "color-hex-length": "long",
    "color-named": "never",
    // Values stand in groups: colours, fonts, sizes.
    "custom-property-empty-line-before": null,
    "media-feature-name-value-allowed-list": { "/^(min-|max-)?(device-)?width$/": widths },
    // Browsers of phones that are some years old know no other.
    "media-feature-range-notation": "prefix",
    // Rules stand by what they are about.
    "no-descending-specificity": null,

    // Safari on phones knows it under this name alone.
    "property-no-vendor-prefix": [true, { ignoreProperties: ["text-size-adjust"] }],
    // Django writes the ids of fields with underscores.
    "selector-id-pattern": "^[a-z][a-z0-9]*([-_][a-z0-9]+)*$",
    "value-keyword-case": ["lower", { camelCaseSvgKeywords: true, ignoreProperties: [/^--(serif|sans|mono)$/] }],
  },
};
