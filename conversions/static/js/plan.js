// The plan page: lengths are echoed in both systems at once, one side is open at a time and lights up,
// and the walk answers with its drawing before it is kept. Everything works without this, a little plainer.
import { echoLengths } from "./parts/lengths.js";
import { tryWalk } from "./parts/walk.js";

echoLengths(document);
for (const form of document.querySelectorAll("[data-walk]")) tryWalk(form);

const sides = [...document.querySelectorAll(".sides details")];
for (const side of sides) {
  side.addEventListener("toggle", () => {
    if (!side.open) return;
    for (const other of sides) if (other !== side) other.open = false;
    const name = side.closest("li").id.replace("side-", "");
    for (const mark of document.querySelectorAll("[data-walked]")) mark.toggleAttribute("hidden", mark.dataset.walked !== name);
  });
}
if (location.hash.startsWith("#side-")) document.querySelector(`${CSS.escape(location.hash).replace("\\#", "#")} details`)?.setAttribute("open", "");
