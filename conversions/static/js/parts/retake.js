// A picture with somebody in it: better taken again with nobody. It waits on this phone until somebody says which.
import { all, drop } from "./queue.js";

const SEEN = ["adult", "child"];
const people = (form) => form.querySelectorAll("[name=photo-people]");
const boxOf = (form) => form.querySelector("[data-retake]");

// Only one's own: nobody lets go of what somebody else took with this phone.
async function asked(form, visit) {
  const me = Number(form.dataset.member);
  return (await all()).filter((row) => row.visit === visit && row.member === me && row.isUnasked);
}

// True where the question is open: a picture waits, and somebody is in it.
export async function asksAgain(form, visit, answer) {
  const box = boxOf(form), rows = await asked(form, visit);
  const asks = Boolean(box) && rows.length > 0 && SEEN.includes(answer);
  if (!box) return asks;
  box.hidden = !asks;
  const which = box.querySelector("[data-retake-which]");
  which.hidden = rows.length < 2;
  which.querySelector("ul").replaceChildren(...rows.map((row) => choice(form, row)));
  return asks;
}

function choice(form, row) {
  const where = form.querySelector(`[data-slot="${row.slot}"]`)?.dataset.words ?? "";
  const [item, label, box, words] = ["li", "label", "input", "span"].map((tag) => document.createElement(tag));
  Object.assign(box, { type: "checkbox", value: row.seq });
  words.textContent = [where, row.name].filter(Boolean).join(": ");
  label.className = "check";
  label.append(box, words);
  item.append(label);
  return item;
}

// Whether anybody is in the next picture, nobody has said yet.
export function askAnew(form) {
  people(form).forEach((field) => { field.checked = false; });
  if (boxOf(form)) boxOf(form).hidden = true;
}

export function onRetake(form, visit, { keepThis, shown }) {
  const box = boxOf(form);
  box?.querySelector("[data-retake-keep]").addEventListener("click", () => {
    box.hidden = true;
    keepThis(form.querySelector("[name=photo-people]:checked")?.value ?? "");
  });
  box?.querySelector("[data-retake-again]").addEventListener("click", async () => {
    const rows = await asked(form, visit);
    const ticked = [...box.querySelectorAll("[data-retake-which] :checked")].map((field) => Number(field.value));
    const again = rows.length < 2 ? rows : rows.filter((row) => ticked.includes(row.seq));
    if (again.length === 0) { box.querySelector("[data-retake-which] input")?.focus(); return; }
    for (const row of again) await drop(row.seq);
    askAnew(form);
    await shown();
    form.querySelector(`[type="file"][name="${again[0].slot}"]`)?.focus();
  });
}
