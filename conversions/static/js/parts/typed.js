// What is being typed is kept on this phone while it is typed, a moment after the last letter and when the page goes
// out of sight; it goes up only once the field is left, so that the group never reads half a sentence.
const REST = 400; // milliseconds without a letter
const TEXT = "textarea, input:not([type]), input[type=text], input[type=number], input[type=date]";

export class Typed {
  constructor(form, { partOf, keep, held, typing, goUp }) {
    Object.assign(this, { partOf, keep, held, typing, goUp, open: null });
    form.addEventListener("input", ({ target }) => this.type(target));
    form.addEventListener("focusout", ({ target }) => this.leave(target));
    addEventListener("pagehide", () => this.hide());
    document.addEventListener("visibilitychange", () => { if (document.hidden) this.hide(); });
  }

  // Something typed that is not kept yet.
  get isOpen() { return this.open !== null; }

  type(field) {
    const part = field.matches(TEXT) ? this.partOf(field) : null;
    if (!part) return;
    if (this.isOpen && this.open.key !== part.key) this.keepNow();
    this.open = part;
    this.held.add(part.key);
    this.typing(true);
    clearTimeout(this.rest);
    this.rest = setTimeout(() => this.keepNow(), REST);
  }

  async keepNow() {
    clearTimeout(this.rest);
    const { open } = this;
    this.open = null;
    if (open) await this.keep(open.act);
  }

  async leave(field) {
    const part = field.matches(TEXT) ? this.partOf(field) : null;
    if (!part || !this.held.delete(part.key)) return;
    await this.keepNow();
    this.goUp();
  }

  hide() {
    this.held.clear();
    this.keepNow();
  }

  // It is kept elsewhere now: one key, or all of them.
  close(key) {
    if (key === undefined) this.held.clear();
    else this.held.delete(key);
    clearTimeout(this.rest);
    if (key === undefined || this.open?.key === key) this.open = null;
  }
}
