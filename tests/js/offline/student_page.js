// As much of a student's page as the modules of the queue read; imported before they are.
import { STUDENT } from "./entries.js";

export const device = { dataset: { student: String(STUDENT), device: "", entries: "", zone: "" } };
Object.defineProperty(globalThis, "document", {
  value: { cookie: "csrftoken=secret", querySelector: () => device },
});
Object.assign(globalThis, { window: globalThis, isSecureContext: true, location: { pathname: "/fills/7/" } });
