// What was drawn before: undo, redo, and the unsaved drawing kept on this phone, one for each yard, drawing and person.

const MOST = 200;

export class Past {
  constructor(site) {
    this.states = [JSON.stringify(site)];
    this.now = 0;
  }

  get site() { return JSON.parse(this.states[this.now]); }
  get canUndo() { return this.now > 0; }
  get canRedo() { return this.now < this.states.length - 1; }

  // Remember a state; false where nothing changed. A number being typed is one step, not one for each of its signs.
  add(site, typing = "") {
    const state = JSON.stringify(site);
    if (state === this.states[this.now]) return false;
    const isSameStep = typing && typing === this.typing && this.now === this.states.length - 1;
    this.typing = typing;
    this.states.splice(isSameStep ? this.now : this.now + 1, Infinity, state);
    if (this.states.length > MOST) this.states.shift();
    this.now = this.states.length - 1;
    return true;
  }

  // The field is left: what is typed in it later is a step of its own.
  left() { this.typing = ""; }

  undo() { this.left(); if (this.canUndo) this.now -= 1; return this.site; }
  redo() { if (this.canRedo) this.now += 1; return this.site; }
}

export class Shelf {
  constructor(form) {
    const { yard, member } = form.dataset;
    this.key = `drawing ${yard} ${form.elements.drawing.value} ${member}`;
  }

  // False where this phone has no room.
  keep(site, revision) {
    try {
      localStorage.setItem(this.key, JSON.stringify({ site, revision }));
      return true;
    } catch {
      return false;
    }
  }

  get kept() {
    try {
      return JSON.parse(localStorage.getItem(this.key));
    } catch {
      return null;
    }
  }

  clear() {
    try { localStorage.removeItem(this.key); } catch { /* a phone that keeps nothing has nothing to clear */ }
  }
}
