// Copy an address by one press. Without this it stands in a field that can be selected by hand.
for (const button of document.querySelectorAll("[data-copy]")) {
  const field = document.getElementById(button.dataset.copy);
  const word = button.querySelector("[data-copy-word]");
  const before = word.textContent;
  if (!navigator.clipboard) continue;
  button.hidden = false;
  field.addEventListener("focus", () => field.select());
  button.addEventListener("click", async () => {
    try {
      await navigator.clipboard.writeText(field.value);
    } catch {
      field.select(); // not allowed here: the address is marked, ready to be copied by hand
      return;
    }
    word.textContent = word.dataset.done;
    setTimeout(() => { word.textContent = before; }, 4000);
  });
}
