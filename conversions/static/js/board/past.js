// What was drawn before: undo and redo.

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
