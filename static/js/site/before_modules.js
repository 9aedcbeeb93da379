// Runs before anything is painted, and before the modules, which come when they come: this is no
// module. Style sheets learn that scripts run (`(scripting: enabled)` is younger than the browsers
// that students have), and a form that the device is to keep waits for the module that keeps it.
{
  const KEPT = "form[data-later], form[data-log-form]";
  /** @type {[form: HTMLFormElement, pressed: HTMLElement | null][]} */
  const early = [];

  /** @param {SubmitEvent} event */
  const hold = (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.matches(KEPT)) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (!early.some(([other]) => other === form)) early.push([form, event.submitter]);
  };

  document.documentElement.dataset.scripts = "";
  document.addEventListener("submit", hold, true);
  // Modules have run by then, those that came; without them a form is a form as any other.
  document.addEventListener("DOMContentLoaded", () => {
    document.removeEventListener("submit", hold, true);
    for (const [form, pressed] of early) form.requestSubmit(pressed);
  });
}
