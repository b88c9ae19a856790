// What was drawn before: undo, redo, and the unsaved drawing kept on this phone, one for each yard, drawing and person.

const MOST = 200;

export class Past {
  // base: {drawing, revision} of the saved drawing that a state goes back to.
  constructor(site, base) {
    this.states = [{ text: JSON.stringify(site), base }];
    this.now = 0;
  }

  get site() { return JSON.parse(this.states[this.now].text); }
  get base() { return this.states[this.now].base; }
  get canUndo() { return this.now > 0; }
  get canRedo() { return this.now < this.states.length - 1; }

  // Remember a state; false where nothing changed. A number being typed is one step, not one for each of its signs.
  add(site, typing = "", base = this.base) {
    const text = JSON.stringify(site);
    if (text === this.states[this.now].text) return false;
    const isSameStep = typing && typing === this.typing && this.now === this.states.length - 1;
    this.typing = typing;
    this.states.splice(isSameStep && this.now ? this.now : this.now + 1, Infinity, { text, base });
    if (this.states.length > MOST) this.states.splice(1, 1); // the saved one stays the first
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
    const { yard, member, open } = form.dataset;
    Object.assign(this, { start: `drawing ${yard} `, end: ` ${member}`, open: open.split(" "), now: form.elements.drawing.value });
  }

  key(drawing) { return `${this.start}${drawing}${this.end}`; }

  // False where this phone has no room.
  keep(site, { drawing, revision }) {
    try {
      localStorage.setItem(this.key(drawing), JSON.stringify({ site, base: { drawing, revision } }));
      return true;
    } catch {
      return false;
    }
  }

  // What was not saved of the drawing shown; else of one that is no longer open, which no page would show again.
  get kept() {
    try {
      const keys = Object.keys(localStorage).filter((key) => key.startsWith(this.start) && key.endsWith(this.end));
      const number = (key) => key.slice(this.start.length, -this.end.length);
      const key = keys.find((one) => number(one) === this.now) ?? keys.find((one) => !this.open.includes(number(one)));
      return key ? JSON.parse(localStorage.getItem(key)) : null;
    } catch {
      return null;
    }
  }

  clear({ drawing }) {
    try { localStorage.removeItem(this.key(drawing)); } catch { /* a phone that keeps nothing has nothing to clear */ }
  }
}
