// The drawing board: keeps what is drawn, what is chosen and what is being put; the parts under board/ do the rest.
import { feetInches } from "./parts/lengths.js";
import { Figures } from "./board/figures.js";
import { listen } from "./board/hand.js";
import { handles } from "./board/handles.js";
import { List } from "./board/list.js";
import { Past, Shelf } from "./board/past.js";
import { View, draw, el } from "./board/picture.js";
import { Saver } from "./board/save.js";
import { add, addAcross, at, bounds, cornerAfter, cornerAt, fewest, newPatch, outline, remove, round, split } from "./board/site.js";

const NEAR = 7; // pixels at which a corner falls into line with another one
const ON = 12; // pixels within which a point of a line is put onto another point
const FOOT = 0.3048;
const STEPS = { metric: { grid: 0.1, small: 0.1, large: 1 }, imperial: { grid: FOOT / 4, small: FOOT / 12, large: FOOT } };
const AGAIN = new Set(["corner", "pocket"]); // put one after the other; after anything else the hand moves again

class Board {
  constructor(form) {
    const { site, spec } = JSON.parse(document.getElementById("board-data").textContent);
    Object.assign(this, { form, spec, number: 0, chosen: "", put: "", taps: [], cross: null, zoom: 1, held: null, said: "" });
    this.step = STEPS[spec.units];
    this.past = new Past(site);
    this.site = this.past.site;
    this.isNew = !site.patches.length;
    this.shelf = new Shelf(form);
    this.svg = el("svg", { class: "drawing", role: "group", tabindex: 0, "aria-label": this.one("[data-plate]").dataset.words });
    this.one("[data-plate]").replaceChildren(this.svg);
    this.one("[data-tools]").hidden = false;
    for (const plain of form.querySelectorAll("[data-plain]")) plain.hidden = true;
    this.list = new List(form.querySelector(".inventory"), spec, (path) => this.typed(path));
    this.figures = new Figures(form, spec, (told) => this.heard(told));
    this.saver = new Saver(form, this.shelf, spec, (words) => this.say(words), () => this.again());
    this.restore();
    this.wire();
    this.show();
    if (this.past.canUndo) this.figures.soon(this.site);
  }

  one(selector) { return this.form.querySelector(selector); }

  get patch() { return this.isNew ? undefined : this.site.patches[this.number]; }

  get few() { return this.isNew ? this.spec.few : this.spec.kinds[this.put]?.few || 1; }

  length(metres) {
    if (this.spec.units === "imperial") return `${metres < 0 ? "-" : ""}${feetInches(Math.abs(metres))}`;
    return `${metres.toLocaleString(document.documentElement.lang, { minimumFractionDigits: 2, maximumFractionDigits: 2 })} m`;
  }

  // What was drawn and not saved comes back, on the state it was drawn from; Undo shows what the server has.
  restore() {
    const kept = this.shelf.kept;
    if (!kept?.site?.patches || !this.past.add(kept.site)) return;
    this.site = this.past.site;
    this.isNew = !this.site.patches.length;
    this.form.elements.revision.value = kept.revision;
    this.say(this.spec.words.found);
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
      this.redraw();
    });
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

  // ---- what is shown

  refit() {
    const width = Math.round(this.one("[data-plate]").clientWidth) || 360;
    const height = Math.round(Math.max(240, Math.min(width * 0.8, innerHeight * 0.48))); // what can be put stays in sight below
    let held = this.patch ? bounds(this.site, this.number) : null;
    if (this.taps.length || !held) held = [...this.taps, [0, 0], [10, 7], ...(held ? [[held[0], held[1]], [held[2], held[3]]] : [])].reduce(([l, b, r, t], [x, y]) => [Math.min(l, x), Math.min(b, y), Math.max(r, x), Math.max(t, y)], [0, 0, 0, 0]);
    const middle = this.grips?.find(({ path }) => path === this.chosen)?.at;
    this.view = new View(width, height, held, this.zoom, middle);
  }

  isOff([x, y]) {
    const [px, py] = this.view.at([x, y]);
    return px < 14 || py < 14 || px > this.view.width - 14 || py > this.view.height - 14;
  }

  redraw() {
    if (!this.view) this.refit();
    this.grips = this.patch ? handles(this.site, this.number, this.spec, (...args) => this.list.name(...args)) : [];
    if (typeof this.site.north_deg === "number") this.grips.push(this.northGrip());
    for (const one of this.grips) one.said = one.said ?? this.fill(this.spec.words.at, { name: one.name, x: this.length(one.at[0]), y: this.length(one.at[1]) });
    for (const one of this.grips) if (one.path === one.thing || one.path.endsWith(".points.0")) one.wrong = this.problems?.[one.thing]?.[0];
    const say = (metres) => this.length(metres);
    draw(this.svg, { site: this.site, number: this.isNew ? -1 : this.number, view: this.view, handles: this.grips, chosen: this.chosen, taps: this.taps, cross: this.cross, spec: this.spec, say });
    this.buttons();
  }

  // The arrow stands in the upper right; its point is turned round it, or a few degrees by an arrow key.
  northGrip() {
    const middle = this.view.from([this.view.width - 40, 40]);
    const way = (this.site.north_deg * Math.PI) / 180;
    const reach = 24 / this.view.scale;
    const name = this.spec.kinds.north.words;
    return {
      path: "north_deg", thing: "north_deg", kind: "north", name, said: `${name}: ${this.site.north_deg}°`, free: true,
      at: [middle[0] + reach * Math.sin(way), middle[1] + reach * Math.cos(way)], to: (spot) => this.pointNorth(spot, middle), turn: true,
    };
  }

  pointNorth([x, y], [mx, my]) {
    this.site.north_deg = (Math.round((Math.atan2(x - mx, y - my) * 180) / Math.PI) + 360) % 360;
  }

  show() {
    this.list.show(this.site);
    this.number = Math.max(0, Math.min(this.number, this.site.patches.length - 1));
    const which = this.one("#which");
    which.replaceChildren(...this.site.patches.map(({ label }, n) => new Option(label || this.spec.lawn, n, false, n === this.number)));
    this.one("[data-which]").hidden = this.site.patches.length < 2;
    this.redraw();
    if (this.grips.some(({ at: spot, turn }) => !turn && this.isOff(spot))) { this.refit(); this.redraw(); }
    if (this.isNew && !this.said) this.say(this.spec.words.first);
  }

  buttons() {
    const chosen = this.grips.find(({ path }) => path === this.chosen);
    this.one('[data-act="done"]').hidden = this.taps.length < this.few;
    this.one('[data-act="undo"]').disabled = !this.taps.length && !this.past.canUndo;
    this.one('[data-act="redo"]').disabled = !this.past.canRedo;
    this.one("[data-nudges]").hidden = !chosen;
    if (chosen) {
      this.one("[data-name]").textContent = chosen.said;
      this.one('[data-act="turn"]').hidden = !["mounded", "framed"].includes(chosen.kind);
      const [rows] = split(chosen.path);
      const list = rows && at(this.site, rows);
      this.one('[data-act="remove"]').hidden = !chosen.turn && (!Array.isArray(list) || rows === "patches" || list.length <= fewest(this.site, rows, this.spec));
    }
    this.one("[data-state]").textContent = this.past.canUndo || this.past.canRedo ? this.spec.words[this.isFull ? "full" : "kept"] : "";
    this.svg.classList.toggle("putting", Boolean(this.put) || this.isNew);
  }

  fill(words, values) {
    return Object.entries(values).reduce((said, [key, value]) => said.replace(`{${key}}`, value), words);
  }

  say(words) {
    if (words !== this.said) this.one("[data-says]").textContent = words;
    this.said = words;
  }

  heard({ says, figures, problems, across }) {
    this.say(says);
    if (figures) this.again(); // the server was heard
    if (!problems) return;
    this.problems = problems;
    this.redraw();
    this.list.wrong(problems);
    this.list.across(across ?? []);
  }

  // ---- changes

  changed(words = "", typing = "") {
    if (!this.past.add(this.site, typing)) return;
    if (words) this.say(words);
    this.isFull = !this.shelf.keep(this.site, this.form.elements.revision.value);
    this.show();
    this.figures.soon(this.site);
  }

  typed(path) {
    if (path) return this.changed("", path);
    this.past.left();
    return this.buttons();
  }

  undo() {
    if (this.taps.length) { this.taps.pop(); this.redraw(); return; }
    if (this.past.canUndo) this.goTo(this.past.undo());
  }

  redo() { if (this.past.canRedo) this.goTo(this.past.redo()); }

  goTo(site) {
    this.site = site;
    this.isNew = !site.patches.length;
    this.list.forget();
    if (this.past.canUndo) this.shelf.keep(site, this.form.elements.revision.value);
    else this.shelf.clear();
    this.show();
    this.figures.soon(site);
  }

  // ---- the hand

  near(point, path) {
    const grid = (value) => round(Math.round(value / this.step.grid) * this.step.grid);
    const spot = point.map(grid);
    const isEdge = this.isNew || this.put === "corner" || path?.includes(".corners.");
    if (!isEdge) return spot;
    const others = [...this.taps, ...outline(this.patch ?? {}).filter((_, n) => path !== `patches.${this.number}.corners.${n}`)];
    return spot.map((value, axis) => {
      const off = others.map((other) => [Math.abs(other[axis] - point[axis]) * this.view.scale, other[axis]]).sort((a, b) => a[0] - b[0])[0];
      return off && off[0] < NEAR ? off[1] : value;
    });
  }

  // Of points so close that a finger covers several, the one nearest to its middle.
  nearest(pixel) {
    const off = ({ at: spot }) => { const [x, y] = this.view.at(spot); return Math.hypot(x - pixel[0], y - pixel[1]); };
    return this.grips.reduce((best, one) => (off(one) < off(best) ? one : best), this.grips[0])?.path;
  }

  grip(path) {
    this.held = path;
    this.chosen = path;
  }

  drag(pixel) {
    const one = this.grips.find(({ path }) => path === this.held);
    if (!one) return;
    const point = this.view.from(pixel);
    one.to(one.free ? point : this.near(point, one.path));
    this.redraw();
  }

  letGo(isMeant) {
    this.held = null;
    if (!isMeant) this.site = this.past.site;
    this.changed();
    this.redraw();
  }

  // A tap on a point: taken hold of; while something is put, it goes where the finger is, or onto the point itself.
  press(path, pixel) {
    const one = this.grips.find((grip) => grip.path === path);
    const isPutting = this.isNew || (this.put && !(this.put === "corner" && one?.kind === "corner"));
    if (!one || !isPutting || !(pixel || this.spec.kinds[this.put]?.points)) return this.choose(path);
    const [x, y] = this.view.at(one.at);
    const isOnIt = !pixel || Math.hypot(pixel[0] - x, pixel[1] - y) < ON;
    if (isOnIt && this.spec.kinds[this.put]?.points) return this.place([...one.at]);
    return this.place(this.near(this.view.from(pixel ?? [x, y])));
  }

  choose(path) {
    this.chosen = path;
    const one = this.grips.find((grip) => grip.path === path);
    if (one) {
      this.say(this.fill(this.spec.words.chosen, { name: one.name }));
      this.list.open(one.thing);
    }
    this.redraw();
  }

  leave() {
    this.cross = null;
    this.taps = [];
    this.pick("");
    this.choose("");
  }

  tap(pixel, thing) {
    if (this.put || this.isNew) return this.place(this.near(this.view.from(pixel)));
    const grip = this.grips.find((one) => one.path === thing) ?? this.grips.find((one) => one.thing === thing);
    this.choose(grip?.path ?? "");
  }

  pick(kind) {
    if (this.taps.length && this.taps.length >= this.few) this.done();
    this.put = kind;
    this.taps = [];
    this.cross = null;
    document.querySelector(`[name=put][value="${kind}"]`).checked = true;
    this.one("[data-service]").hidden = kind !== "line";
    if (kind) this.say(this.isNew ? this.spec.words.first : this.spec.words.put);
    this.redraw();
  }

  place(point) {
    const hasPoints = this.isNew || this.spec.kinds[this.put].points;
    if (hasPoints) {
      this.taps.push(point);
      this.say(this.fill(this.spec.words.points, { n: this.taps.length }));
      if (this.isOff(point)) this.refit();
      return this.redraw();
    }
    if (this.put === "corner" && this.patch.circle) return undefined;
    if (this.put === "north") {
      this.pointNorth(point, this.view.from([this.view.width / 2, this.view.height / 2]));
      this.chosen = "north_deg";
      return this.placed();
    }
    this.chosen = this.put === "corner" ? cornerAt(this.site, this.number, point) : add(this.site, this.number, this.put, this.spec, [point]);
    return this.placed();
  }

  placed() {
    if (!AGAIN.has(this.put)) this.pick("");
    this.changed();
    this.list.open(this.grips.find(({ path }) => path === this.chosen)?.thing ?? this.chosen);
  }

  done() {
    const [points, kind] = [this.taps, this.put];
    this.taps = [];
    if (this.isNew) {
      this.isNew = false;
      newPatch(this.site, points);
      this.number = this.site.patches.length - 1;
      this.chosen = "";
    } else {
      this.chosen = add(this.site, this.number, kind, this.spec, points, kind === "line" ? { service: this.one("#service").value } : {});
    }
    this.cross = null;
    this.zoom = 1;
    this.refit();
    this.put = "";
    this.placed();
    this.svg.focus({ preventScroll: true });
  }

  another() {
    this.leave();
    this.isNew = true;
    this.zoom = 1;
    this.refit();
    this.say(this.spec.words.first);
    this.redraw();
    this.svg.focus();
  }

  // Arrow keys move what they are on by a hand's width, with Shift by a stride; on the drawing itself, the cross.
  nudge(path, [dx, dy], isLarge) {
    const by = isLarge ? this.step.large : this.step.small;
    const one = this.grips.find((grip) => grip.path === path);
    if (one?.turn) {
      this.site.north_deg = (this.site.north_deg + (dx || -dy) * (isLarge ? 15 : 1) + 360) % 360;
      this.changed();
    } else if (one) {
      this.chosen = path;
      one.to([round(one.at[0] + dx * by), round(one.at[1] + dy * by)], true);
      this.changed();
    } else if (this.put || this.isNew) {
      const [x, y] = this.cross ?? this.near(this.view.from([this.view.width / 2, this.view.height / 2]));
      this.cross = this.cross ? [round(x + dx * by), round(y + dy * by)] : [x, y];
      this.say(this.fill(this.spec.words.cross, { x: this.length(this.cross[0]), y: this.length(this.cross[1]) }));
      if (this.isOff(this.cross)) { this.taps.push(this.cross); this.refit(); this.taps.pop(); }
      this.redraw();
    }
  }

  putCross() {
    if (this.cross && (this.put || this.isNew)) this.place(this.cross);
  }

  turn() {
    const bed = at(this.site, this.chosen);
    if (!bed?.length_m) return;
    bed.turn_deg = ((bed.turn_deg ?? 0) + 15) % 180;
    this.changed();
  }

  remove(path = this.chosen) {
    const place = typeof path === "string" && path ? path : this.chosen;
    const one = this.grips.find((grip) => grip.path === place);
    const name = one?.name ?? "";
    if (place === "north_deg") this.site.north_deg = null;
    else if (!place || !remove(this.site, place, this.spec)) return;
    this.chosen = "";
    this.problems = {}; // places have shifted; they are told anew
    const isByButton = document.activeElement?.closest("[data-nudges]"); // which goes away with what was chosen
    this.changed(this.fill(this.spec.words.gone, { name }));
    if (isByButton) this.svg.focus({ preventScroll: true });
  }

  closer() { this.zoomBy(1.5); }

  wider() { this.zoomBy(1 / 1.5); }

  zoomBy(times) {
    this.zoom = Math.max(0.2, Math.min(12, this.zoom * times));
    this.refit();
    this.redraw();
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
    return this.saver.save(this.site);
  }

  // What waits for the signal is saved by itself, but never from under a finger, a half-drawn line or a half-typed number.
  again() {
    if (!this.saver.isWaiting) return;
    clearTimeout(this.later);
    const isBusy = this.held || this.taps.length || this.list.unread.size || document.activeElement?.matches(".inventory input");
    if (isBusy) this.later = setTimeout(() => this.again(), 2000);
    else this.saver.save(this.site);
  }

  asked(value) {
    const [what, ...rest] = value.split(" ");
    const path = rest.join(" ");
    if (value === "add patch") return this.another();
    if (what === "remove") return this.remove(path);
    if (what === "after") this.chosen = cornerAfter(this.site, path);
    if (what === "point") {
      const points = at(this.site, path);
      points.push([round(points.at(-1)[0] + 0.5), points.at(-1)[1]]);
      this.chosen = `${path}.${points.length - 1}`;
    }
    if (what === "add") this.chosen = this.addByNumbers(path);
    this.changed();
    this.list.open(this.grips.find((one) => one.path === this.chosen)?.thing ?? this.chosen);
    this.list.focus(this.chosen);
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
