// Choose the zone of this device, unless a choice was made and sent already.
const select = document.querySelector("select[name=timezone]");
const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
const known = select && [...select.options].some((option) => option.value === here);
if (known && !document.querySelector(".form-error")) {
  select.value = here;
}
