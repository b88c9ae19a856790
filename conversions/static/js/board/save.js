// Saving: sent once, and kept on this phone until the server has it. Without signal it goes up when the signal is back.
// Each body has a uid of its own, so that the server knows it again where its answer was lost; until it is answered it
// goes first, and what was drawn since after it.
import { uid } from "./site.js";

const PATIENCE = 30_000; // milliseconds
const AGAIN = 15_000; // milliseconds until it is tried once more: a phone does not always tell that the signal is back
const UNTOLD = new Set([408, 429]); // like a fault of the server: it may have come before

export class Saver {
  // board: {say, again, keep, saved, site, past}; saved hears what the server made of a body, and tells whether
  // more was drawn since. body: {uid, site, base}, as it was sent and not answered. isWaiting: it is to be saved when the
  // signal is back.
  constructor(form, spec, board) {
    Object.assign(this, { form, words: spec.words, board, body: null, isWaiting: false, isSending: false });
  }

  say(words) { this.board.say(words); }

  async save() {
    if (this.isSending) return;
    this.isSending = true;
    try {
      const isOld = this.body && isSame(this.body.base, this.board.past.base); // else it was let go by Undo
      if (!isOld) this.begin();
      const isMore = await this.deliver();
      if (!isOld || !isMore) return;
      this.begin();
      await this.deliver();
    } finally {
      this.isSending = false;
    }
  }

  begin() {
    const { site, past } = this.board;
    this.body = { uid: uid(), site: JSON.stringify(site), base: past.base };
    this.board.keep();
  }

  // True where it is saved and more was drawn since.
  async deliver() {
    const limit = new AbortController();
    const clock = setTimeout(() => limit.abort(), PATIENCE);
    try {
      let answer = await this.send(limit.signal);
      if (answer.status === 403 && (await this.isStillMine(limit.signal))) answer = await this.send(limit.signal);
      this.isWaiting = false;
      if (answer.type === "opaqueredirect" || answer.status === 403) return this.signedOut();
      const told = await (answer.ok ? answer.json() : answer.json().catch(() => ({})));
      if (!answer.ok) return this.refused(answer.status, told);
      const { body } = this;
      this.body = null;
      return this.board.saved(body, told);
    } catch {
      this.isWaiting = true;
      this.board.keep();
      this.say(this.words.waits);
      setTimeout(() => this.board.again(), AGAIN);
      return false;
    } finally {
      clearTimeout(clock);
    }
  }

  signedOut() {
    this.board.keep();
    this.say(this.words.signed);
  }

  refused(status, { words }) {
    if (status < 500 && !UNTOLD.has(status)) this.body = null;
    this.board.keep();
    this.say(words ?? this.words.refused);
  }

  send(signal) {
    const { drawing, revision } = this.body.base;
    const body = new FormData();
    const rows = { csrfmiddlewaretoken: this.form.elements.csrfmiddlewaretoken.value, drawing, revision, save: this.body.uid, site: this.body.site };
    for (const [name, value] of Object.entries(rows)) body.append(name, value);
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

export const isSame = (one, other) => one.drawing === other.drawing && one.revision === other.revision;
