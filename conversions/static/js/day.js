// The build day: copies the sign-up link, and steps the number of helpers without a name. Both work without it, plainer.
for (const button of document.querySelectorAll("[data-copies]")) {
  if (!navigator.clipboard) continue;
  button.hidden = false;
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(document.getElementById(button.dataset.copies).value);
    button.textContent = button.dataset.done;
  });
}
for (const button of document.querySelectorAll("[data-step]")) {
  const field = document.getElementById(button.dataset.of);
  button.hidden = false;
  button.addEventListener("click", () => {
    field.value = Math.max(0, Number(field.value || 0) + Number(button.dataset.step));
  });
}
