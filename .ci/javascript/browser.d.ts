// What browsers and libraries give to scripts, and TypeScript's own description does not know.

interface Navigator {
  /** Safari: how sounds of the page mix with others (W3C Audio Session). */
  audioSession?: { type: "auto" | "playback" };
}

/** The library that django-htmx brings. */
declare const htmx: {
  /** Dispatch an event of this name on an element, or on what a selector finds. */
  trigger(on: string | Element, name: string): void;
};
