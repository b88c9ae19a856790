// Drawings not saved yet, kept on this phone: one for each yard, drawing and person. A row: {site, base, body, isWaiting,
// page, at}, body being what was sent of it and not answered; isWaiting, that Save was pressed and it is still to go.

const START = "drawing ";

export class Shelf {
  constructor(form) {
    const { yard, member, open } = form.dataset;
    const page = new URL(form.action).pathname;
    Object.assign(this, { start: `${START}${yard} `, end: ` ${member}`, open: open.split(" "), now: form.elements.drawing.value, page });
  }

  key(drawing) { return `${this.start}${drawing}${this.end}`; }

  // False where this phone has no room.
  keep(site, { drawing, revision }, { body, isWaiting }) {
    const page = Number(drawing) ? `${this.page}?drawing=${drawing}` : this.page;
    try {
      localStorage.setItem(this.key(drawing), JSON.stringify({ site, base: { drawing, revision }, body, isWaiting, page, at: Date.now() }));
      return true;
    } catch {
      return false;
    }
  }

  // What was not saved of the drawing shown; else of one that is no longer open, which no page would show again.
  get kept() {
    const rows = all();
    const keys = Object.keys(rows).filter((key) => key.startsWith(this.start) && key.endsWith(this.end));
    const number = (key) => key.slice(this.start.length, -this.end.length);
    return rows[keys.find((one) => number(one) === this.now) ?? keys.find((one) => !this.open.includes(number(one)))];
  }

  clear({ drawing }) { drop(this.key(drawing)); }
}

// Every row on this phone, by its key; none where the browser keeps nothing.
export function all() {
  try {
    const keys = Object.keys(localStorage).filter((key) => key.startsWith(START));
    return Object.fromEntries(keys.map((key) => [key, JSON.parse(localStorage.getItem(key))]));
  } catch {
    return {};
  }
}

export function drop(key) {
  try { localStorage.removeItem(key); } catch { /* a phone that keeps nothing has nothing to clear */ }
}
