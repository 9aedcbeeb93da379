// Choose the zone of this device, unless a choice was made and sent already.
const select = document.querySelector("select[name=timezone]");
const here = Intl.DateTimeFormat().resolvedOptions().timeZone;

if (select instanceof HTMLSelectElement && !document.querySelector(".form-error")) {
  if ([...select.options].some((option) => option.value === here)) select.value = here;
}
