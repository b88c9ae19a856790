// What the board shows: the drawing in its frame, the handles, the buttons that apply, and what it says.
import { feetInches } from "../parts/lengths.js";
import { handles } from "./handles.js";
import { Past } from "./past.js";
import { View, draw, el } from "./picture.js";
import { at, bounds, fewest, split } from "./site.js";

const FOOT = 0.3048;
const STEPS = { metric: { grid: 0.1, small: 0.1, large: 1 }, imperial: { grid: FOOT / 4, small: FOOT / 12, large: FOOT } };

export class Face {
  constructor(form) {
    const { site, spec, told } = JSON.parse(document.getElementById("board-data").textContent);
    Object.assign(this, { form, spec, told, number: 0, chosen: "", put: "", taps: [], cross: null, zoom: 1, middle: null, held: null, said: "" });
    this.step = STEPS[spec.units];
    const { drawing, revision } = form.elements;
    this.past = new Past(site, { drawing: drawing.value, revision: revision.value });
    this.site = this.past.site;
    this.isNew = !site.patches.length;
    this.svg = el("svg", { class: "drawing", role: "group", tabindex: 0, "aria-label": this.one("[data-plate]").dataset.words });
    this.one("[data-plate]").replaceChildren(this.svg);
    this.one("[data-tools]").hidden = false;
    for (const plain of form.querySelectorAll("[data-plain]")) plain.hidden = true;
  }

  one(selector) { return this.form.querySelector(selector); }

  get patch() { return this.isNew ? undefined : this.site.patches[this.number]; }

  // A further patch is being drawn beside those that are there.
  get isAnother() { return this.isNew && this.site.patches.length > 0; }

  get few() { return this.isNew ? this.spec.few : this.spec.kinds[this.put]?.few || 1; }

  length(metres) {
    if (this.spec.units === "imperial") return `${metres < 0 ? "-" : ""}${feetInches(Math.abs(metres))}`;
    return `${metres.toLocaleString(document.documentElement.lang, { minimumFractionDigits: 2, maximumFractionDigits: 2 })} m`;
  }

  refit() {
    const width = Math.round(this.one("[data-plate]").clientWidth) || 360;
    const height = Math.round(Math.max(240, Math.min(width * 0.8, innerHeight * 0.48))); // what can be put stays in sight below
    let held = this.patch ? bounds(this.site, this.number) : null;
    if (this.taps.length || !held) held = [...this.taps, [0, 0], [10, 7], ...(held ? [[held[0], held[1]], [held[2], held[3]]] : [])].reduce(([l, b, r, t], [x, y]) => [Math.min(l, x), Math.min(b, y), Math.max(r, x), Math.max(t, y)], [0, 0, 0, 0]);
    this.view = new View(width, height, held, this.zoom, this.middle);
    this.svg.classList.toggle("close", this.isClose);
  }

  // The arrow stands in the first corner of the frame that has no point in it.
  moveNorth() {
    const { width, height } = this.view;
    const taken = this.grips.map(({ at: spot }) => this.view.at(spot));
    const isFree = ([x, y]) => !taken.some(([px, py]) => Math.abs(px - x) < 48 && Math.abs(py - y) < 48);
    const corners = [[width - 40, 40], [40, 40], [width - 40, height - 40], [40, height - 52]];
    this.view.north = corners.find(isFree) ?? corners[0];
  }

  get isClose() { return this.zoom > 1; }

  isOff([x, y]) {
    const [px, py] = this.view.at([x, y]);
    return px < 14 || py < 14 || px > this.view.width - 14 || py > this.view.height - 14;
  }

  redraw() {
    if (!this.view) this.refit();
    this.grips = this.patch ? handles(this.site, this.number, this.spec, (...args) => this.list.name(...args)) : [];
    if (!this.held) this.moveNorth();
    if (typeof this.site.north_deg === "number") this.grips.push(this.northGrip());
    for (const one of this.grips) one.said = one.said ?? this.fill(this.spec.words.at, { name: one.name, x: this.length(one.at[0]), y: this.length(one.at[1]) });
    for (const one of this.grips) if (one.path === one.thing || one.path.endsWith(".points.0")) one.wrong = this.problems?.[one.thing]?.[0];
    const say = (metres) => this.length(metres);
    draw(this.svg, { site: this.site, number: this.isNew ? -1 : this.number, view: this.view, handles: this.grips, chosen: this.chosen, taps: this.taps, cross: this.cross, spec: this.spec, say });
    this.buttons();
  }

  // The arrow's point is turned round its middle, or a few degrees by an arrow key.
  northGrip() {
    const middle = this.view.from(this.view.north);
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
    this.one("[data-which]").hidden = this.site.patches.length < 2 && !this.isAnother;
    if (this.isNew) which.selectedIndex = -1;
    this.redraw();
    if (this.grips.some(({ at: spot, turn }) => !turn && this.isOff(spot))) { this.refit(); this.redraw(); }
    if (this.isNew && !this.said) this.say(this.spec.words.first);
  }

  buttons() {
    const chosen = this.grips.find(({ path }) => path === this.chosen);
    this.one('[data-act="done"]').hidden = this.taps.length < this.few;
    this.one('[data-act="undo"]').disabled = !this.taps.length && !this.past.canUndo && !this.isAnother;
    this.one('[data-act="redo"]').disabled = !this.past.canRedo;
    this.one("[data-nudges]").hidden = !chosen;
    if (chosen) {
      this.one("[data-name]").textContent = chosen.said;
      this.one('[data-act="turn"]').hidden = at(this.site, chosen.thing)?.length_m === undefined;
      const [rows] = split(chosen.path);
      const list = rows && at(this.site, rows);
      this.one('[data-act="remove"]').hidden = !chosen.turn && (!Array.isArray(list) || rows === "patches" || list.length <= fewest(this.site, rows, this.spec));
    }
    this.one("[data-state]").textContent = this.past.canUndo || this.past.canRedo ? this.spec.words[this.isFull ? "full" : "kept"] : "";
    for (const back of document.querySelectorAll("[data-back]")) back.hidden = this.past.canUndo || this.past.canRedo;
    this.svg.classList.toggle("putting", Boolean(this.put) || this.isNew);
  }

  fill(words, values) {
    return Object.entries(values).reduce((said, [key, value]) => said.replace(`{${key}}`, value), words);
  }

  say(words) {
    if (words !== this.said) this.one("[data-says]").textContent = words;
    this.said = words;
  }
}
