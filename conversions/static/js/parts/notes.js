// The notes of a visit: the whole of them on the page with a signal, what is new on the one without. Each waits on this
// phone under its own name, so that neither takes the place of the other.
import { dropKey, put } from "./queue.js";

const MARKS = ["notes_was", "revision"]; // what stood when these were written

export class Notes {
  constructor(form, { base, named }) {
    Object.assign(this, { form, base, named, field: form.querySelector("[name=notes], [name=notes_more]"), isRestored: false });
  }

  get key() { return this.named(this.field.name); }

  mark(name) { return this.form.querySelector(`[name=${name}]`); }

  async keep() {
    const { field, key } = this;
    if (field.value === field.defaultValue) return this.isRestored ? dropKey(key) : undefined; // taken back
    const fields = [[field.name, field.value]];
    for (const name of MARKS) if (this.mark(name)) fields.push([name, this.mark(name).value]);
    const added = field.value.startsWith(field.defaultValue) ? field.value.slice(field.defaultValue.length).trim() : "";
    return put({ ...this.base("note", field.labels[0].textContent), key, fields, added });
  }

  // One row back in the field, with what stood when it was written, so that nobody's words are written over unseen.
  restore(row) {
    const written = new Map(row.fields);
    if (!written.has(this.field.name)) return false;
    this.field.value = written.get(this.field.name);
    for (const name of MARKS) if (this.mark(name) && written.has(name)) this.mark(name).value = written.get(name);
    return true;
  }

  // Something went up. What was sent is no longer new; what was typed since waits on, over what stands now.
  async heard(row, { notes }) {
    if (!notes) return;
    const { field } = this, sent = new Map(row.fields).get(field.name), isOurs = row.kind === "note" && sent !== undefined;
    if (field.name === "notes_more") {
      if (isOurs && field.value.startsWith(sent)) field.value = field.value.slice(sent.length).trimStart();
    } else if (isOurs || field.value === field.defaultValue) {
      const isUntouched = field.value === (isOurs ? sent : field.defaultValue);
      for (const name of MARKS) this.mark(name).value = notes[name];
      field.defaultValue = notes.notes;
      if (isUntouched) field.value = notes.notes;
    } else return;
    if (isOurs) await this.keep();
  }

  // What waits here and was written on the other page.
  showOthers(rows) {
    const list = this.form.querySelector("[data-notes-wait]");
    if (!list) return;
    const others = rows.filter((row) => row.kind === "note" && row.fields.length && row.fields[0][0] !== this.field.name);
    list.replaceChildren(...others.map((row) => {
      const words = row.fields[0][0] === "notes_more" ? row.fields[0][1] : row.added || row.label;
      return Object.assign(document.createElement("li"), { textContent: words });
    }));
    list.hidden = others.length === 0;
  }
}
