// The build day: copies the sign-up link, and steps the number of helpers without a name. Both work without it, plainer.
import "./parts/copy.js";

for (const button of document.querySelectorAll("[data-step]")) {
  const field = document.getElementById(button.dataset.of);
  button.hidden = false;
  button.addEventListener("click", () => {
    field.value = Math.max(0, Number(field.value || 0) + Number(button.dataset.step));
  });
}
