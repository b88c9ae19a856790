// A picture with somebody in it: better taken again with nobody. It waits on this phone until somebody says which.
import { all, drop } from "./queue.js";

const SEEN = ["adult", "child"];
// Only one's own: nobody lets go of what somebody else took with this phone.
const isAsked = (row, form, visit) => row.visit === visit && row.member === Number(form.dataset.member) && row.isUnasked;

// True where the question is open: a picture waits, and somebody is in it.
export async function asksAgain(form, visit, people) {
  const box = form.querySelector("[data-retake]");
  const waits = (await all()).some((row) => isAsked(row, form, visit));
  const asks = Boolean(box) && waits && SEEN.includes(people);
  if (box) box.hidden = !asks;
  return asks;
}

export function onRetake(form, visit, { keepThis, shown }) {
  const box = form.querySelector("[data-retake]");
  box?.querySelector("[data-retake-keep]").addEventListener("click", () => {
    box.hidden = true;
    keepThis(form.querySelector("[name=photo-people]:checked")?.value ?? "");
  });
  box?.querySelector("[data-retake-again]").addEventListener("click", async () => {
    for (const row of await all()) if (isAsked(row, form, visit)) await drop(row.seq);
    form.querySelectorAll("[name=photo-people]").forEach((field) => { field.checked = false; });
    box.hidden = true;
    await shown();
    form.querySelector('[type="file"]')?.focus();
  });
}
