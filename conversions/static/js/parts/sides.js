// Shapes walked without signal: the phone tells area and edge, keeps the walk, and it is drawn once it has gone up.
import { inWords, measured } from "./area.js";
import { echoLengths } from "./lengths.js";

export function keepWalks(root, keepRow) {
  echoLengths(root);
  for (const part of root.querySelectorAll("[data-walked]")) {
    const says = part.querySelector("[data-says]");
    part.addEventListener("input", () => {
      const found = measured(part);
      says.textContent = found ? `${says.dataset.words} ${inWords(found)}` : "";
    });
    part.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (!measured(part)) { says.textContent = says.dataset.open; return; }
      const fields = [...part.querySelectorAll("input, select")]
        .filter((field) => field.name && (field.type !== "radio" || field.checked))
        .map((field) => [field.name, field.value]);
      if (!(await keepRow(fields, part.dataset.words, part.dataset.walked))) return;
      for (const field of part.querySelectorAll("[data-length], [name=label]")) field.value = "";
      says.textContent = says.dataset.kept;
      says.scrollIntoView({ block: "nearest" });
    });
  }
}
