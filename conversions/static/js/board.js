// The drawing board: what is drawn, taken back, typed in the list, asked of the server and saved. board/face.js shows it,
// board/putting.js is the hand on it.
import { Figures } from "./board/figures.js";
import { listen } from "./board/hand.js";
import { List } from "./board/list.js";
import { Past } from "./board/past.js";
import { Putting } from "./board/putting.js";
import { rebase, shiftOf } from "./board/rebase.js";
import { Saver, isSame } from "./board/save.js";
import { add, addAcross, at, bounds, cornerAfter, round } from "./board/site.js";
import { Shelf } from "./parts/shelf.js";

class Board extends Putting {
  constructor(form) {
    super(form);
    const { spec } = this;
    this.shelf = new Shelf(form);
    this.list = new List(form.querySelector(".inventory"), spec, (path) => this.typed(path));
    this.figures = new Figures(form, spec, (told) => this.heard(told));
    this.saver = new Saver(form, spec, this);
    this.restore();
    this.wire();
    this.show();
    if (this.saver.isWaiting) this.again(); // Save was pressed before the page was closed
    else if (this.past.canUndo) this.figures.soon(this.site);
    else if (this.told.says) { // what does not fit of the drawing as it is saved
      this.say(this.told.says);
      this.marks(this.told.problems);
    }
  }

  // What was drawn and not saved comes back, on the state it was drawn from; Undo shows what the server has.
  restore() {
    const kept = this.shelf.kept;
    if (!kept?.site?.patches || !kept.base) return;
    if (!this.past.add(kept.site, "", kept.base)) { this.shelf.clear(kept.base); return; } // it arrived; the answer did not
    this.site = this.past.site;
    this.isNew = !this.site.patches.length;
    this.saver.body = kept.body ?? null;
    this.saver.isWaiting = Boolean(kept.isWaiting);
    this.onBase();
    this.say(this.spec.words[kept.isWaiting ? "waits" : "found"]);
    this.isFound = true;
  }

  // The form speaks of the saved drawing that the state shown goes back to.
  onBase() {
    for (const [name, value] of Object.entries(this.past.base)) this.form.elements[name].value = value;
  }

  wire() {
    listen(this.svg, this);
    this.form.addEventListener("submit", (event) => this.submitted(event));
    this.form.addEventListener("click", (event) => {
      const { act, nudge } = event.target.closest("button")?.dataset ?? {};
      if (act) this[act](event);
      if (nudge) this.nudge(this.chosen, { left: [-1, 0], right: [1, 0], up: [0, 1], down: [0, -1] }[nudge], event.shiftKey);
    });
    for (const radio of document.querySelectorAll("[name=put]")) radio.addEventListener("change", () => this.pick(radio.value));
    this.one("#which").addEventListener("change", ({ target }) => { this.isNew = false; this.number = Number(target.value); this.choose(""); this.refit(); this.show(); });
    document.addEventListener("keydown", (event) => this.keys(event));
    this.form.querySelector(".inventory").addEventListener("focusin", ({ target }) => {
      const path = target.closest("[data-spot]")?.dataset.spot ?? target.closest("[data-thing]")?.dataset.thing;
      const number = target.closest("[data-patch]")?.dataset.patch;
      if (number !== undefined && (this.isNew || Number(number) !== this.number) && !this.taps.length) { this.isNew = false; this.number = Number(number); this.refit(); }
      if (path && this.grips.some((one) => one.path === path)) { this.chosen = path; }
      this.see(this.chosen);
    });
    this.svg.addEventListener("focusin", ({ target }) => { if (this.isOutOfSight(target.dataset?.hold)) this.see(target.dataset.hold); });
    addEventListener("online", () => { if (this.saver.isWaiting) this.again(); else this.figures.soon(this.site); });
    addEventListener("offline", () => this.figures.alone(this.site));
    new ResizeObserver(() => { this.refit(); this.redraw(); }).observe(this.one("[data-plate]"));
  }

  keys(event) {
    if (event.key === "Enter" && event.target.matches(".inventory input")) {
      event.preventDefault(); // on to the next number; Save is a button
      const fields = [...this.form.querySelectorAll(".inventory input, .inventory select")].filter((field) => field.offsetParent);
      (fields[fields.indexOf(event.target) + 1] ?? event.target).focus();
    }
    if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, select")) return;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) this.undo();
    else if (key === "y" || key === "z") this.redo();
    else return;
    event.preventDefault();
  }

  heard({ says, figures, problems, across }) {
    if (!this.isFound || problems && Object.keys(problems).length) this.say(says); // that it was found stays to be read
    this.isFound = false;
    if (figures) this.again(); // the server was heard
    if (!problems) return;
    this.marks(problems);
    this.list.across(across ?? []);
  }

  marks(problems) {
    this.problems = problems;
    this.redraw();
    this.list.wrong(problems);
  }

  // ---- changes

  changed(words = "", typing = "") {
    if (!this.past.add(this.site, typing)) return;
    if (words) this.say(words);
    this.onBase();
    this.keep();
    this.show();
    this.figures.soon(this.site);
  }

  keep() {
    if (this.past.canUndo) this.isFull = !this.shelf.keep(this.site, this.past.base, this.saver);
  }

  typed(path) {
    if (path) return this.changed("", path);
    this.past.left();
    return this.buttons();
  }

  undo() {
    if (this.taps.length) { this.taps.pop(); this.sayTaps(); this.redraw(); return; }
    if (this.isAnother) { this.stay(); return; }
    if (this.past.canUndo) this.goTo(this.past.undo());
  }

  redo() { if (this.past.canRedo) this.goTo(this.past.redo()); }

  goTo(site) {
    this.site = site;
    this.isNew = !site.patches.length;
    this.list.forget();
    this.onBase();
    this.keep();
    if (!this.past.canUndo) for (const { base } of this.past.states) this.shelf.clear(base);
    this.show();
    this.figures.soon(site);
  }

  // ---- the list's buttons, and saving

  submitted(event) {
    event.preventDefault();
    const { name, value } = event.submitter ?? {};
    if (name === "do") return this.asked(value);
    if (this.list.unread.size) {
      this.say(this.spec.words.mend);
      this.list.firstUnread()?.focus();
      return undefined;
    }
    if (this.taps.length >= this.few) this.done();
    if (this.taps.length) return this.sayTaps();
    if (!this.past.canUndo && !this.past.canRedo) return this.say(this.spec.words.saved);
    return this.saver.save();
  }

  // What was drawn while it was on its way stays here, on what the server has now. True where there is such.
  saved(body, { to, drawing, revision, site }) {
    this.shelf.clear(body.base);
    if (!isSame(body.base, this.past.base)) { this.keep(); return false; } // undone meanwhile, to another saved drawing
    if (JSON.stringify(this.site) === body.site && !this.taps.length) { location.assign(to); return false; }
    const [was, sent] = [this.site, JSON.parse(body.site)];
    this.past = new Past(site, { drawing: String(drawing), revision: String(revision) });
    this.site = rebase(was, sent, site);
    this.moved(was, shiftOf(sent.patches[this.number], site.patches[this.number]));
    this.changed();
    this.onBase();
    this.show();
    this.list.moved(was);
    return this.past.canUndo;
  }

  // The ground lies elsewhere now; what is looked at, chosen and half done moves along.
  moved(was, [dx, dy]) {
    const along = ([x, y]) => [round(x + dx), round(y + dy)];
    if (at(was, this.chosen)?.id !== at(this.site, this.chosen)?.id) [this.chosen, this.held] = ["", null]; // let go where it is
    this.middle = this.middle && along(this.middle);
    if (!this.isNew) [this.taps, this.cross] = [this.taps.map(along), this.cross && along(this.cross)];
    this.refit();
  }

  // What waits for the signal is saved by itself, but never from under a finger, a half-drawn line or a half-typed number.
  again() {
    if (!this.saver.isWaiting) return;
    clearTimeout(this.later);
    const isBusy = this.held || this.taps.length || this.list.unread.size || document.activeElement?.matches(".inventory input");
    if (isBusy) this.later = setTimeout(() => this.again(), 2000);
    else this.saver.save();
  }

  asked(value) {
    const [what, ...rest] = value.split(" ");
    const path = rest.join(" ");
    if (value === "add patch") return this.another();
    if (what === "remove") return this.remove(path);
    let made = "";
    if (what === "after") {
      this.list.forget(); // what could not be read would come to stand with another corner
      made = cornerAfter(this.site, path);
    }
    if (what === "point") {
      const points = at(this.site, path);
      points.push([round(points.at(-1)[0] + 0.5), points.at(-1)[1]]);
      made = `${path}.${points.length - 1}`;
    }
    if (what === "add") made = this.addByNumbers(path);
    this.changed();
    this.chosen = made;
    this.see(made);
    this.list.open(this.grips.find((one) => one.path === made)?.thing ?? made);
    this.list.focus(made);
    return undefined;
  }

  addByNumbers(asked) {
    const number = Number(asked.slice(asked.lastIndexOf(" ") + 1));
    const kind = asked.slice(0, asked.lastIndexOf(" "));
    if (kind === "across") return addAcross(this.site, number);
    const [left, low, right, high] = bounds(this.site, number);
    const [x, y] = [round((left + right) / 2), round((low + high) / 2)];
    const key = this.spec.kinds[kind].points;
    this.number = number;
    return add(this.site, number, kind, this.spec, key ? [[x - 1, y], [x + 1, y], [x + 1, y - 1]].slice(0, this.spec.kinds[kind].few) : [[x, y]]);
  }
}

new Board(document.querySelector("[data-board]"));
