// Sends what waits, one row after the other, while a page is open. The server knows each by its uid, so sending twice
// is keeping once. Stops at the first sign of no signal or no session; a row that needs a person is marked and passed.
import { all, mark, take } from "./queue.js";

export const SENT = "sent", NO_SIGNAL = "no signal", SIGNED_OUT = "signed out", SOMEBODY_ELSE = "somebody else";
const PATIENCE = 60_000; // milliseconds for one row: a picture over a thin line takes its time

async function ask(url, options = {}) {
  const limit = new AbortController();
  const clock = setTimeout(() => limit.abort(), PATIENCE);
  try {
    return await fetch(url, { credentials: "same-origin", redirect: "manual", signal: limit.signal, ...options });
  } finally {
    clearTimeout(clock);
  }
}

function body(row) {
  const form = new FormData();
  for (const [name, value] of row.fields) form.append(name, value);
  form.append("device_at", row.at);
  if (row.file) form.append(row.fileField, row.file, row.name);
  return form;
}

// Sends everything that waits; says how far it came. `onRow(row, answer)` hears of each row that was kept.
async function sendAll(onRow) {
  const keys = new Map(); // url -> what the server says about this session
  for (const row of await all()) {
    if (row.isUnasked) continue; // a picture nobody has looked through yet
    if (!keys.has(row.url)) {
      const answer = await ask(row.url);
      if (answer.type === "opaqueredirect" || answer.status === 403) return SIGNED_OUT;
      if (!answer.ok) {
        if (answer.status < 500) { await mark(row, row.gone); continue; }
        return NO_SIGNAL;
      }
      keys.set(row.url, await answer.json());
    }
    const { csrf, member } = keys.get(row.url);
    if (member !== row.member) return SOMEBODY_ELSE;
    const answer = await ask(row.url, { method: "POST", body: body(row), headers: { "X-CSRFToken": csrf } });
    if (answer.type === "opaqueredirect") return SIGNED_OUT;
    if (answer.status >= 500 || answer.status === 403) return NO_SIGNAL;
    const told = await answer.json().catch(() => ({}));
    if (answer.ok) await take(row);
    else await mark(row, told.words || row.gone);
    onRow(row, told);
  }
  return SENT;
}

let running = null;

// One at a time in this page, and in all pages of this phone where the browser can hold a lock.
// Waits for a pass under way, which may have begun before the last thing was written, and then begins its own.
export async function flush(onRow = () => {}) {
  await running;
  const go = () => sendAll(onRow).catch(() => NO_SIGNAL);
  running ??= (navigator.locks ? navigator.locks.request("visits", go) : go()).finally(() => { running = null; });
  return running;
}
