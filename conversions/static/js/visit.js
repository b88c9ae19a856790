// The visit page without waiting: the usual answers, "I looked", and a word before typed work is left behind.

const form = document.querySelector("[data-visit]");

function showUsual() {
  form.querySelectorAll(".may-unseen").forEach((part) => part.classList.add("unseen"));
  form.querySelectorAll(".may-usual").forEach((part) => part.classList.add("usual"));
  form.querySelectorAll(".may-show").forEach((part) => { part.hidden = false; });
  const mark = document.createElement("input");
  Object.assign(mark, { type: "hidden", name: "usual_on", value: "1" });
  form.append(mark);
}

// "I looked" fills the rows that nobody has picked in; taking the tick away takes back only those.
function look(box) {
  const question = box.closest("[data-question]");
  question.classList.toggle("unseen", !box.checked);
  question.querySelectorAll(".picks").forEach((row) => {
    const usual = row.querySelector("[data-usual]");
    if (!usual) return;
    if (box.checked && !row.querySelector(":checked")) {
      usual.checked = true;
      usual.dataset.looked = "";
    } else if (!box.checked && "looked" in usual.dataset) {
      usual.checked = false;
      delete usual.dataset.looked;
    }
  });
}

if (form) {
  let isTouched = false;
  const button = form.querySelector("[data-usual-button]");
  button?.addEventListener("click", (event) => {
    event.preventDefault();
    button.hidden = true;
    showUsual();
    form.querySelector(".unseen input")?.focus();
  });
  form.addEventListener("change", (event) => {
    isTouched = true;
    if (event.target.name === "looked") look(event.target);
  });
  form.addEventListener("submit", () => { isTouched = false; });
  window.addEventListener("beforeunload", (event) => { if (isTouched) event.preventDefault(); });
}
