// Choose the time zone of this phone, where the list has it and nobody has chosen yet.
const zones = document.querySelector("select[name=zone]");
const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
if (zones && zones.value === "UTC" && [...zones.options].some((option) => option.value === here)) zones.value = here;
