// The list beside the drawing: every number of every thing. Rows are copied from the page's own templates; what is typed
// goes into the site document, and what is drawn comes back into the fields.
import { feetInches, readLength } from "../parts/lengths.js";
import { at, put, things } from "./site.js";

const INCH = 0.0254;
const SOON = 200; // milliseconds: longer than a press

export function written(value, how, units) {
  if (value === null || value === undefined) return "";
  if (how === "small") return units === "imperial" ? String(Math.round((value / INCH) * 10) / 10) : String(Math.round(value * 1000));
  if (how === "place" || how === "length") {
    if (units === "metric") return String(Math.round(value * 1000) / 1000);
    return (value < 0 ? "-" : "") + feetInches(Math.abs(value));
  }
  if (how === "degrees") return String(Math.round(value * 10) / 10);
  return String(value);
}

// The number that stands for a text, or words that say what is wrong with it.
export function read(text, how, kind, words, mayBeBlank = false) {
  const spoken = text.trim();
  if (how === "degrees") {
    if (!spoken) return mayBeBlank ? { value: null } : { wrong: words.degrees };
    const degrees = Number(spoken.replace(",", "."));
    return Math.abs(degrees) <= 360 ? { value: degrees } : { wrong: words.degrees };
  }
  if (!["place", "length", "small"].includes(how)) return { value: text };
  const signed = /^[-−–]/.test(spoken);
  const bare = spoken.replace(/^[-−–+]\s*/, "");
  const metres = /^0+([.,]0*)?$/.test(bare) ? 0 : readLength(bare, kind);
  if (Number.isNaN(metres)) return { wrong: words.unread };
  if (how !== "place" && !(metres > 0 && !signed)) return { wrong: words.none };
  return { value: Math.round((signed ? -metres : metres) * 10000) / 10000 };
}

export class List {
  constructor(root, spec, changed) {
    Object.assign(this, { root, spec, changed, unread: new Set() });
    root.addEventListener("change", (event) => this.typed(event.target));
    root.addEventListener("input", (event) => this.typed(event.target, true));
  }

  // A number is taken over while it is typed; it is refused only once the field is left.
  typed(field, isTyping = false) {
    if (!field.name || field.name === "do" || !field.dataset.how || !this.site) return;
    const { value, wrong } = read(field.value, field.dataset.how, field.dataset.length, this.spec.words, field.name === "north_deg");
    if (wrong && isTyping) return;
    if (wrong) {
      this.unread.add(field.name);
      // A moment later, so that the button being pressed does not move away under the finger.
      setTimeout(() => { if (field.isConnected && this.unread.has(field.name)) this.mark(field, wrong); }, SOON);
      this.changed();
      return;
    }
    this.mark(field, "");
    this.unread.delete(field.name);
    const shown = () => written(at(this.site, field.name), field.dataset.how, this.spec.units);
    if (shown() !== field.value) {
      put(this.site, field.name, value);
      this.changed(field.name);
    }
    if (isTyping) return;
    field.value = shown(); // 12'6" in metres, once the field is left
    this.changed();
  }

  mark(field, words) {
    const oops = document.getElementById(`${field.id}-oops`);
    field.closest(".field").classList.toggle("bad", Boolean(words));
    field.toggleAttribute("aria-invalid", Boolean(words));
    if (words) field.setAttribute("aria-describedby", oops.id);
    else field.removeAttribute("aria-describedby");
    oops.textContent = words;
    oops.hidden = !words;
  }

  name(path, kind, thing) {
    const { spec } = this;
    if (kind === "corner") return spec.words.corner.replace("{x}", thing.id);
    if (kind === "line") return spec.services[thing.service] ?? spec.kinds.line.words;
    return path.startsWith("beds.") ? `${spec.kinds[kind].words} ${Number(path.split(".")[1]) + 1}` : spec.kinds[kind].words;
  }

  brief(kind, thing) {
    const say = (key) => written(thing[key], this.spec.kinds[kind].cells.find(([name]) => name === key)[1], this.spec.units);
    const has = (key) => this.spec.kinds[kind].cells.some(([name]) => name === key);
    if (kind === "across") return `${thing.from} – ${thing.to}: ${say("tape_m")}`;
    if (has("length_m")) return `${say("length_m")} × ${say("width_m")}`;
    return has("x") ? `→ ${say("x")} ↑ ${say("y")}` : "";
  }

  // The rows as the document has them now. Rows stay as they are while the same things stand in the same places.
  show(site) {
    this.site = site;
    for (const section of this.root.querySelectorAll("[data-patch]")) if (!site.patches[section.dataset.patch]) section.remove();
    site.patches.forEach((patch, number) => this.patch(patch, number));
    this.fill(this.root.querySelector('[name="north_deg"]'), site.north_deg);
  }

  patch(patch, number) {
    const section = this.root.querySelector(`[data-patch="${number}"]`) ?? this.blankPatch(number);
    section.querySelector("h2").textContent = patch.label || this.spec.lawn;
    const rows = section.querySelector("[data-things]");
    const found = things(this.site, number);
    const plan = found.map(([path, kind, thing]) => `${path} ${kind} ${(thing[this.spec.kinds[kind].points] ?? []).length}`).join("|");
    if (rows.dataset.plan !== plan) {
      const had = rows.contains(document.activeElement) ? document.activeElement.closest("[data-thing]").dataset.thing : "";
      const unread = [...rows.querySelectorAll("[data-how]")].filter(({ name }) => this.unread.has(name)).map(({ name, value }) => [name, value]);
      const open = new Set([...rows.querySelectorAll("details[open]")].map(({ dataset }) => dataset.thing));
      rows.replaceChildren(...found.map(([path, kind, thing]) => this.row(path, kind, thing)));
      for (const row of rows.children) row.open = open.has(row.dataset.thing);
      rows.dataset.plan = plan;
      for (const [name, text] of unread) this.keepUnread(name, text);
      if (had) (this.thing(had) ?? rows.lastElementChild).querySelector("summary").focus({ preventScroll: true });
    }
    found.forEach(([path, kind, thing], n) => this.values(rows.children[n], path, kind, thing, patch));
  }

  // A text that could not be read stays in its field when the rows are made anew; it goes with a field that is gone.
  keepUnread(name, text) {
    const field = this.root.querySelector(`[name="${CSS.escape(name)}"]`);
    this.unread.delete(name);
    if (!field) return;
    field.value = text;
    this.typed(field);
  }

  blankPatch(number) {
    const section = this.copy("[data-blank-patch]", String(number));
    this.root.querySelector("[aria-labelledby=h-whole]").before(section);
    return section;
  }

  copy(selector, path) {
    const html = document.querySelector(`template${selector}`).innerHTML.replaceAll("PATH", path);
    const box = document.createElement("template");
    box.innerHTML = html;
    for (const node of box.content.querySelectorAll("[id]")) node.id = node.id.replaceAll(".", "-");
    for (const node of box.content.querySelectorAll("label")) node.htmlFor = node.htmlFor.replaceAll(".", "-");
    return box.content.firstElementChild;
  }

  row(path, kind, thing) {
    const row = this.copy(`[data-blank="${kind}"]`, path);
    const key = this.spec.kinds[kind].points;
    if (key) {
      const spots = row.querySelector("[data-points]");
      const one = spots.firstElementChild;
      spots.replaceChildren(...thing[key].map((_, n) => this.spot(one, `${path}.${key}`, n)));
    }
    return row;
  }

  spot(one, rows, n) {
    const box = document.createElement("template");
    box.innerHTML = one.outerHTML.replaceAll(`${rows}.0`, `${rows}.${n}`).replaceAll(`${rows.replaceAll(".", "-")}-0`, `${rows.replaceAll(".", "-")}-${n}`);
    const spot = box.content.firstElementChild;
    const name = this.spec.words.point.replace("{x}", n + 1);
    spot.querySelector("legend").textContent = name;
    spot.querySelector("button .sr").textContent = ` ${name}`;
    return spot;
  }

  values(row, path, kind, thing, patch) {
    const name = kind === "patch" ? this.spec.kinds.patch.words : this.name(path, kind, thing);
    row.querySelector("summary b").textContent = name;
    row.querySelector("[data-brief]").textContent = this.brief(kind, thing);
    for (const select of row.querySelectorAll('select[data-how="letter"]')) {
      const ids = patch.corners.map(({ id }) => id);
      if ([...select.options].map(({ value }) => value).join() !== ids.join()) select.replaceChildren(...ids.map((id) => new Option(id, id)));
    }
    for (const field of row.querySelectorAll("[data-how]")) this.fill(field, at(this.site, field.name));
    const key = this.spec.kinds[kind].points;
    if (kind === "corner") this.go(row, path, patch.corners.length > this.spec.few);
    for (const spot of row.querySelectorAll("[data-spot]")) spot.querySelector("button").hidden = thing[key].length <= this.spec.kinds[kind].few;
  }

  go(row, path, may) {
    const button = row.querySelector(`button[value="remove ${path}"]`);
    if (button) button.hidden = !may;
  }

  // What somebody is typing is left alone.
  fill(field, value) {
    if (!field || field === document.activeElement || this.unread.has(field.name)) return;
    const shown = written(value, field.dataset.how, this.spec.units);
    if (field.value !== shown) field.value = shown;
  }

  // The ground was moved under what is being typed: the number is told anew.
  moved(was) {
    const field = document.activeElement;
    if (!field?.dataset.how || !this.root.contains(field) || this.unread.has(field.name)) return;
    const [before, now] = [was, this.site].map((site) => written(at(site, field.name), field.dataset.how, this.spec.units));
    if (before !== now) field.value = now;
  }

  // Take back what could not be read: the drawing has gone on without it.
  forget() {
    for (const name of this.unread) {
      const field = this.root.querySelector(`[name="${CSS.escape(name)}"]`);
      if (field) this.mark(field, "");
    }
    this.unread.clear();
  }

  wrong(problems) {
    for (const box of this.root.querySelectorAll("[data-wrong]")) {
      const row = box.closest("[data-thing]");
      const said = problems[row.dataset.thing] ?? [];
      if (said.length && !box.childElementCount) row.open = true; // what is wrong is not left in a folded row
      box.replaceChildren(...said.map((words) => Object.assign(document.createElement("p"), { className: "oops", textContent: words })));
    }
  }

  across(rows) {
    for (const box of this.root.querySelectorAll("[data-across]")) {
      const said = rows[box.closest("[data-patch]").dataset.patch] ?? [];
      box.replaceChildren(...said.map(({ words, agrees }) => Object.assign(document.createElement("p"), { className: `flag ${agrees ? "note" : "missing"}`, textContent: words })));
    }
  }

  thing(path) { return this.root.querySelector(`[data-thing="${CSS.escape(path)}"]`); }

  firstUnread() {
    const field = this.root.querySelector(`[name="${CSS.escape([...this.unread][0] ?? "")}"]`);
    const row = field?.closest("details");
    if (row) row.open = true;
    return field;
  }

  focus(path) {
    this.root.querySelector(`[data-thing="${CSS.escape(path)}"] input, [data-spot="${CSS.escape(path)}"] input`)?.focus();
  }

  // The row of what was just chosen or drawn; rows opened for the one before are folded again.
  open(path) {
    for (const other of this.root.querySelectorAll("details.thing[open]")) if (other.dataset.thing !== path && !other.querySelector(".bad, [data-wrong] .oops")) other.open = false;
    const row = this.thing(path);
    if (!row) return;
    row.open = true;
    if (this.root.scrollHeight > this.root.clientHeight) this.root.scrollTop += row.getBoundingClientRect().top - this.root.getBoundingClientRect().top - 60;
  }
}
