// Sends what waits, one row after the other, while a page is open. The server knows each by its uid, so sending twice
// is keeping once. Stops at the first sign of no signal or no session; a row that needs a person, or that the server fell
// over, is marked and passed, and one that another person of this phone wrote waits for them, while the others go.
import { all, mark, take } from "./queue.js";

export const SENT = "sent", NO_SIGNAL = "no signal", SIGNED_OUT = "signed out", SOMEBODY_ELSE = "somebody else";
export const held = new Set(); // keys of what somebody types in at this moment: it goes up once the field is left
const PATIENCE = 60_000; // milliseconds for one row: a picture over a thin line takes its time
const AWAY = [502, 503, 504]; // nobody answered for the server: as good as no signal

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

// Whose session this is and the token for a POST, or why nothing goes to this address now; `me` is whose page this is.
async function knock(row, me) {
  const answer = await ask(row.url);
  if (answer.type === "opaqueredirect") return { stops: SIGNED_OUT };
  if (answer.ok) return answer.json();
  if (AWAY.includes(answer.status)) return { stops: NO_SIGNAL };
  if (answer.status >= 500) return { holds: NO_SIGNAL }; // the other addresses may still answer
  return row.member === me ? { isShut: true } : { holds: SOMEBODY_ELSE }; // to somebody else it shows nothing
}

async function post(row, csrf) {
  const answer = await ask(row.url, { method: "POST", body: body(row), headers: { "X-CSRFToken": csrf } });
  if (answer.type === "opaqueredirect") return { stops: SIGNED_OUT };
  if (AWAY.includes(answer.status)) return { stops: NO_SIGNAL };
  if (answer.status >= 500) return { isBroken: true };
  if (answer.status === 403) return { holds: NO_SIGNAL };
  return { isKept: answer.ok, told: await answer.json().catch(() => ({})) };
}

// Sends everything that waits; says how far it came. `onRow(row, answer)` hears of each row that was kept.
// What one address does not take now, it takes none of: rows of one visit stay in the order they were written.
async function sendAll(onRow, me) {
  const doors = new Map(); // url -> what `knock` found there
  let state = SENT;
  for (const row of await all()) {
    if (row.isUnasked || held.has(row.key) || (row.trouble && !row.isShut)) continue; // a person has to look first
    if (!doors.has(row.url)) doors.set(row.url, await knock(row, me));
    const door = doors.get(row.url);
    if (door.stops) return door.stops;
    if (door.isShut) { await mark(row, row.gone, true); continue; }
    if (door.holds || door.member !== row.member) { state = door.holds ?? SOMEBODY_ELSE; continue; }
    const answer = await post(row, door.csrf);
    if (answer.stops) return answer.stops;
    if (answer.holds) { doors.set(row.url, answer); state = answer.holds; continue; }
    if (answer.isBroken) { await mark(row, row.failed || row.gone, true); continue; }
    if (answer.isKept) await take(row);
    else await mark(row, answer.told.words || row.gone);
    await onRow(row, answer.told);
  }
  return state;
}

let running = null;

// One at a time in this page, and in all pages of this phone where the browser can hold a lock.
// Waits for a pass under way, which may have begun before the last thing was written, and then begins its own.
export async function flush(onRow = () => {}, me = null) {
  await running;
  const go = () => sendAll(onRow, me).catch(() => NO_SIGNAL);
  running ??= (navigator.locks ? navigator.locks.request("visits", go) : go()).finally(() => { running = null; });
  return running;
}
