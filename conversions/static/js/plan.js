// The plan page: lengths are echoed in both systems at once, one side is open at a time and lights up,
// and the walk answers with its drawing before it is kept. Everything works without this, a little plainer.
import { echoLengths } from "./parts/lengths.js";
import { tryWalk } from "./parts/walk.js";

echoLengths(document);
for (const form of document.querySelectorAll("[data-walk]")) tryWalk(form);

const sides = [...document.querySelectorAll("details[data-patch]")];

function light() {
  const open = sides.find((side) => side.open);
  for (const mark of document.querySelectorAll(".walked")) {
    const lit = open && mark.dataset.patch === open.dataset.patch && mark.dataset.side === open.dataset.side;
    if (lit) mark.removeAttribute("display");
    else mark.setAttribute("display", "none");
  }
}

for (const side of sides) {
  side.addEventListener("toggle", () => {
    if (side.open) for (const other of sides) if (other !== side) other.open = false;
    light();
  });
}
