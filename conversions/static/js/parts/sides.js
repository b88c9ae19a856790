// Shapes walked without signal: the phone tells area and edge, keeps the walk, and it is drawn once it has gone up. What
// the server would ask about is asked here and now, while somebody still stands there with the tape.
import { inWords, measured } from "./area.js";
import { echoLengths, readLength } from "./lengths.js";
import { goTo, putBack } from "./mend.js";

// What is asked about a length no lawn has, or nothing; the bounds are the server's.
function question(part) {
  const box = part.querySelector("[data-why]");
  for (const field of part.querySelectorAll("[data-length]")) {
    const metres = readLength(field.value, field.dataset.length);
    if (metres > Number(box.dataset.long)) return box.dataset.longWords;
    if (metres > 0 && metres < Number(box.dataset.tiny) && field.name !== "length_offset") return box.dataset.tinyWords;
  }
  return "";
}

// Asks why where that is asked; true while the reason is missing.
function lacksReason(part) {
  const box = part.querySelector("[data-why]"), asks = question(part);
  box.hidden = !asks;
  box.querySelector("[data-why-words]").textContent = asks;
  return Boolean(asks) && !box.querySelector("[name=why_long]").value.trim();
}

export function keepWalks(root, keepRow) {
  echoLengths(root);
  for (const part of root.querySelectorAll("[data-walked]")) {
    const says = part.querySelector("[data-says]");
    part.addEventListener("input", () => {
      const found = measured(part);
      lacksReason(part);
      says.textContent = found ? `${says.dataset.words} ${inWords(found)}` : "";
    });
    part.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (!measured(part)) { says.textContent = says.dataset.open; return; }
      if (lacksReason(part)) { part.querySelector("[name=why_long]").focus(); return; }
      const fields = [...part.querySelectorAll("input, select")]
        .filter((field) => field.name && (field.type !== "radio" || field.checked))
        .map((field) => [field.name, field.value]);
      if (!(await keepRow(fields, part.dataset.words, part.dataset.walked, part.dataset.mends))) return;
      delete part.dataset.mends;
      for (const field of part.querySelectorAll("[data-length], [name=label], [name=why_long]")) field.value = "";
      lacksReason(part);
      says.textContent = says.dataset.kept;
      says.scrollIntoView({ block: "nearest" });
    });
  }
}

// What puts a refused walk back into the fields of its shape, where this page has them; kept again it takes its place.
export function fillWalk(root, row) {
  const written = new Map(row.fields);
  const part = [...root.querySelectorAll("[data-walked]")].find((one) => one.elements.shape.value === written.get("shape"));
  if (!part) return null;
  return () => {
    for (const field of part.querySelectorAll("[type=radio]")) field.checked = false;
    putBack(part, row);
    for (const name of ["drawing", "revision"]) part.elements[name].value = written.get(name) ?? "0"; // what the walker saw
    part.dataset.mends = row.key;
    part.dispatchEvent(new Event("input"));
    goTo(part);
  };
}
