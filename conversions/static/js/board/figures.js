// What the drawing takes: asked of the server a moment after each change, never worked out here. Without signal the
// phone says area and edge alone.
import { areaWords, lengthWords } from "../parts/area.js";
import { measured } from "./site.js";

const PAUSE = 200; // milliseconds without a change before it is asked

export class Figures {
  constructor(form, spec, hear) {
    Object.assign(this, { form, spec, hear, asked: 0, before: {} });
    this.rows = form.querySelector("[data-figures]");
  }

  soon(site) {
    clearTimeout(this.waiting);
    this.waiting = setTimeout(() => this.ask(site), PAUSE);
  }

  async ask(site) {
    const mine = (this.asked += 1);
    const body = new FormData();
    for (const name of ["csrfmiddlewaretoken", "drawing", "revision"]) body.append(name, this.form.elements[name].value);
    body.append("site", JSON.stringify(site));
    body.append("before", JSON.stringify(this.before)); // of a drawing never saved the step before is what it differs from
    try {
      const answer = await fetch(this.form.dataset.try, { method: "POST", body, credentials: "same-origin", redirect: "manual" });
      if (mine !== this.asked) return;
      if (answer.type === "opaqueredirect" || answer.status === 403) return this.hear({ says: this.spec.words.signed, problems: {} });
      if (!answer.ok) return;
      const told = await answer.json();
      if (mine !== this.asked) return;
      if (told.figures.length) this.before = Object.fromEntries(told.figures.map(({ key, is }) => [key, is]));
      this.show(told.figures);
      this.hear(told);
    } catch {
      if (mine === this.asked) this.alone(site);
    }
  }

  show(figures) {
    this.rows.hidden = false;
    this.rows.replaceChildren(...figures.map(({ key, label, value, by }) => {
      const row = document.createElement("li");
      row.dataset.key = key;
      for (const [tag, className, words] of [["span", "what", label], ["b", "", value], ["span", "by", by]]) {
        row.append(Object.assign(document.createElement(tag), { className, textContent: words }), " ");
      }
      return row;
    }));
  }

  alone(site) {
    const { m2, m } = measured(site);
    this.rows.hidden = true;
    this.hear({ says: this.spec.words.offline.replace("{area}", areaWords(m2, this.spec.units)).replace("{length}", lengthWords(m, this.spec.units)) });
  }
}
