// Pictures wait on this phone until somebody said whether anyone is in them; one answer is for one batch.
import { all, put } from "./queue.js";
import { askAnew } from "./retake.js";

export class Pictures {
  constructor(form, { base, named, isMine }) {
    Object.assign(this, { form, base, named, isMine, isSpent: false });
  }

  get people() { return this.form.querySelector("[name=photo-people]:checked")?.value ?? ""; }

  // An answer that was given for other pictures, or waits for a word about them, says nothing of these.
  async keep(input) {
    const files = [...input.files];
    if (this.isSpent || this.form.querySelector("[data-retake]")?.hidden === false) askAnew(this.form);
    const { people } = this;
    this.isSpent = people !== "";
    for (const file of files) {
      const row = { ...this.base("photo", file.name), file, name: file.name, fileField: input.name, slot: input.name };
      const fields = [[`${input.name}-uid`, row.uid], ["photo-people", people]];
      await put({ ...row, key: this.named(row.uid), fields, isUnasked: people === "" });
    }
    input.value = "";
  }

  // Those that wait for an answer have it now; `people` is empty where they are kept without saying.
  async say(people) {
    for (const row of await all()) {
      if (!this.isMine(row) || !row.isUnasked) continue;
      const fields = row.fields.map(([name, value]) => [name, name === "photo-people" ? people : value]);
      await put({ ...row, fields, isUnasked: false });
      this.isSpent = people !== "";
    }
  }
}
