// The line that always says what is only on this phone. Its words stand in the page: [data-waiting] with one element for
// each state, [data-when="sent|waits|stuck|no signal|signed out|somebody else"], and [data-count] for how many of each kind.
import { all, drop, mark } from "./queue.js";
import { SENT, flush } from "./sender.js";

const AGAIN = 30_000; // milliseconds until the next try
let state = SENT;
let page = { visit: null, onRow: () => {} }; // what a press on "Try again" tells, and whom

export async function show(visit = null) {
  const line = document.querySelector("[data-waiting]");
  if (!line) return [];
  const rows = await all();
  const mine = visit === null ? rows : rows.filter((row) => row.visit === visit);
  line.hidden = rows.length === 0 && visit === null;
  for (const count of line.querySelectorAll("[data-count]")) {
    count.textContent = rows.filter((row) => row.kind === count.dataset.count).length;
    count.closest("[data-kind]").hidden = count.textContent === "0";
  }
  const isStuck = rows.every((row) => row.trouble);
  const now = rows.length === 0 ? SENT : isStuck ? "stuck" : state === SENT ? "waits" : state;
  line.dataset.state = now;
  for (const words of line.querySelectorAll("[data-when]")) words.hidden = words.dataset.when !== now;
  const counts = line.querySelector("[data-counts]");
  if (counts) counts.hidden = rows.length === 0;
  troubles(line, rows);
  return mine;
}

// A row that the server could not keep stays here, with the reason, until somebody mends it, tries again or lets it go.
function troubles(line, rows) {
  const list = line.querySelector("[data-troubles]");
  if (!list) return;
  list.replaceChildren(...rows.filter((row) => row.trouble).map((row) => {
    const item = list.ownerDocument.createElement("li");
    const again = async () => { await mark(row, ""); await send(page.visit, page.onRow); };
    const away = async () => { await drop(row.seq); await show(page.visit); };
    item.append(`${row.label}: ${row.trouble} `, press(list.dataset.again, again), " ", press(list.dataset.drop, away));
    return item;
  }));
}

function press(words, act) {
  const button = document.createElement("button");
  Object.assign(button, { type: "button", className: "btn small-btn", textContent: words });
  button.addEventListener("click", act);
  return button;
}

export async function send(visit = null, onRow = () => {}) {
  const me = Number(document.querySelector("[data-waiting]")?.dataset.member);
  state = await flush(onRow, me);
  await show(visit);
  return state;
}

// Tries again when the signal comes back, when the page is looked at again, and now and then while something waits.
export function keepTrying(visit = null, onRow = () => {}) {
  page = { visit, onRow };
  const again = async () => {
    if ((await all()).some((row) => !row.trouble || row.isShut) || state !== SENT) await send(visit, onRow);
  };
  addEventListener("online", again);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) again(); });
  setInterval(again, AGAIN);
  again();
}
