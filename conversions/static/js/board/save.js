// Saving: sent once, and kept on this phone until the server has it. Without signal it goes up when the signal is back.

const PATIENCE = 30_000; // milliseconds

export class Saver {
  constructor(form, shelf, spec, say) {
    Object.assign(this, { form, shelf, words: spec.words, say, isWaiting: false, isSending: false });
  }

  async save(site) {
    if (this.isSending) return;
    this.isSending = true;
    this.shelf.keep(site, this.form.elements.revision.value);
    const limit = new AbortController();
    const clock = setTimeout(() => limit.abort(), PATIENCE);
    const body = new FormData();
    for (const name of ["csrfmiddlewaretoken", "drawing", "revision"]) body.append(name, this.form.elements[name].value);
    body.append("site", JSON.stringify(site));
    try {
      const headers = { Accept: "application/json" };
      const answer = await fetch(location.href, { method: "POST", body, headers, credentials: "same-origin", redirect: "manual", signal: limit.signal });
      this.isWaiting = false;
      if (answer.type === "opaqueredirect" || answer.status === 403) return this.say(this.words.signed);
      const told = await answer.json().catch(() => ({}));
      if (!answer.ok) return this.say(told.words ?? this.words.refused);
      this.shelf.clear();
      location.assign(told.to);
    } catch {
      this.isWaiting = true;
      this.say(this.words.waits);
    } finally {
      clearTimeout(clock);
      this.isSending = false;
    }
  }
}
