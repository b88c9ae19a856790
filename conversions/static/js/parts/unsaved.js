// Tells on every page which drawings are only on this phone, and leads back to them: [data-drawings], with a <template>
// of one line. Whose they are is told only to whom they belong.
import { all, drop } from "./shelf.js";

export function showDrawings() {
  const box = document.querySelector("[data-drawings]");
  if (!box) return;
  const { member } = box.dataset;
  const rows = Object.entries(all()).filter(([key, { page, at }]) => page && at && page.split("?")[0] !== location.pathname && (!member || key.endsWith(` ${member}`)));
  box.hidden = !rows.length;
  box.querySelector("[data-signed-out]").hidden = Boolean(member);
  if (!member) return;
  box.querySelector("ul").replaceChildren(...rows.map(([key, { page, at }]) => {
    const line = box.querySelector("template").content.cloneNode(true);
    const day = { day: "numeric", month: "short", hour: "2-digit", minute: "2-digit" };
    line.querySelector("[data-at]").textContent = new Date(at).toLocaleString(document.documentElement.lang, day);
    line.querySelector("a").href = page;
    line.querySelector("button").addEventListener("click", () => {
      if (!confirm(box.dataset.sure)) return;
      drop(key);
      showDrawings();
    });
    return line;
  }));
}
