// Saving: sent once, and kept on this phone until the server has it. Without signal it goes up when the signal is back.

const PATIENCE = 30_000; // milliseconds
const AGAIN = 15_000; // milliseconds until it is tried once more: a phone does not always tell that the signal is back

export class Saver {
  // board: {say, again, saved}; saved hears what the server made of it.
  constructor(form, spec, board) {
    Object.assign(this, { form, words: spec.words, board, isWaiting: false, isSending: false });
  }

  say(words) { this.board.say(words); }

  async save(site) {
    if (this.isSending) return;
    this.isSending = true;
    const sent = JSON.stringify(site);
    const limit = new AbortController();
    const clock = setTimeout(() => limit.abort(), PATIENCE);
    try {
      let answer = await this.send(site, limit.signal);
      if (answer.status === 403 && (await this.isStillMine(limit.signal))) answer = await this.send(site, limit.signal);
      this.isWaiting = false;
      if (answer.type === "opaqueredirect" || answer.status === 403) return this.say(this.words.signed);
      const told = await answer.json().catch(() => ({}));
      if (!answer.ok) return this.say(told.words ?? this.words.refused);
      this.board.saved(sent, told);
    } catch {
      this.isWaiting = true;
      this.say(this.words.waits);
      setTimeout(() => this.board.again(), AGAIN);
    } finally {
      clearTimeout(clock);
      this.isSending = false;
    }
  }

  send(site, signal) {
    const body = new FormData();
    for (const name of ["csrfmiddlewaretoken", "drawing", "revision"]) body.append(name, this.form.elements[name].value);
    body.append("site", JSON.stringify(site));
    const headers = { Accept: "application/json" };
    return fetch(this.form.action, { method: "POST", body, headers, credentials: "same-origin", redirect: "manual", signal });
  }

  // A page kept on the phone carries an old token: whose session is it now, and what is its token?
  async isStillMine(signal) {
    const answer = await fetch(this.form.dataset.session, { credentials: "same-origin", redirect: "manual", signal });
    if (!answer.ok) return false;
    const { csrf, member } = await answer.json();
    if (String(member) !== this.form.dataset.member) return false;
    this.form.elements.csrfmiddlewaretoken.value = csrf;
    return true;
  }
}
