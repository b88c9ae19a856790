// The line that always says what is only on this phone. Its words stand in the page: [data-waiting] with one element for
// each state, [data-when="sent|waits|asks|stuck|no signal|signed out|somebody else"], and [data-count] for how many of
// each kind. A long page says it once more beside its button, short: [data-dock].
import { all, drop, mark } from "./queue.js";
import { SENT, SIGNED_OUT, flush } from "./sender.js";

const AGAIN = 30_000; // milliseconds until the next try
let state = SENT;
let isTyping = false; // something was typed that is not even on this phone yet
let page = { visit: null, onRow: () => {}, mend: () => null }; // whose rows are shown here, and what is done about them

// Every state that holds, the gravest last; `sent` alone means that nothing waits.
function states(rows) {
  if (rows.length === 0) return [isTyping ? "waits" : SENT];
  const out = [];
  if (rows.some((row) => !row.trouble && !row.isUnasked)) out.push(state === SENT ? "waits" : state);
  if (rows.some((row) => !row.trouble && row.isUnasked)) out.push("asks");
  if (rows.some((row) => row.trouble)) out.push("stuck");
  return out;
}

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
  const now = states(rows);
  [line.dataset.state] = now;
  for (const words of line.querySelectorAll("[data-when]")) words.hidden = !now.includes(words.dataset.when);
  const counts = line.querySelector("[data-counts]");
  if (counts) counts.hidden = rows.length === 0;
  short(rows, now);
  leadToPictures(line, rows, visit);
  troubles(line, rows);
  document.dispatchEvent(new CustomEvent("waiting", { detail: mine }));
  return mine;
}

function short(rows, now) {
  const box = document.querySelector("[data-dock]");
  if (!box) return;
  box.hidden = rows.length === 0;
  box.querySelector("[data-total]").textContent = rows.length;
  box.querySelector("[data-signed-out]").hidden = !now.includes(SIGNED_OUT);
}

// Where it is said whether somebody is in a picture: here, or on the page of its visit.
function leadToPictures(line, rows, visit) {
  const link = line.querySelector("[data-asks]"), row = rows.find((one) => one.isUnasked && !one.trouble);
  if (!link || !row) return;
  link.hidden = row.visit !== visit && !row.page;
  link.href = row.visit === visit ? "#photos" : `${row.page}#photos`;
}

// A row that the server could not keep stays here, with the reason, until somebody mends it, tries again or lets it go.
function troubles(line, rows) {
  const list = line.querySelector("[data-troubles]");
  if (!list) return;
  list.replaceChildren(...rows.filter((row) => row.trouble).map((row) => {
    const item = list.ownerDocument.createElement("li");
    const again = async () => { await mark(row, ""); await send(page.visit, page.onRow); };
    const away = async () => { await drop(row.seq); await show(page.visit); };
    const mends = page.mend(row); // what mends it here, or where that is done
    item.append(`${row.label}: ${row.trouble} `);
    if (typeof mends === "function") item.append(press(list.dataset.mend, mends), " ");
    else if (mends) item.append(link(list.dataset.mend, mends), " ");
    else if (row.visit !== page.visit && row.page) item.append(link(list.dataset.open, row.page), " ");
    item.append(press(list.dataset.again, again), " ", press(list.dataset.drop, away));
    return item;
  }));
}

function link(words, href) {
  return Object.assign(document.createElement("a"), { className: "btn small-btn", textContent: words, href });
}

function press(words, act) {
  const button = document.createElement("button");
  Object.assign(button, { type: "button", className: "btn small-btn", textContent: words });
  button.addEventListener("click", act);
  return button;
}

// While somebody types, nothing says that all of it is with the group.
export function typing(is) {
  if (isTyping === is) return;
  isTyping = is;
  show(page.visit).catch(() => {});
}

export async function send(visit = null, onRow = () => {}) {
  const me = Number(document.querySelector("[data-waiting]")?.dataset.member);
  state = await flush(onRow, me);
  await show(visit);
  return state;
}

// How this page mends what was refused: `mend(row)` gives what to do, or the address where it is done, or nothing.
export function mendWith(visit, mend) {
  Object.assign(page, { visit, mend });
}

// Tries again when the signal comes back, when the page is looked at again, and now and then while something waits.
export function keepTrying(visit = null, onRow = () => {}) {
  Object.assign(page, { visit, onRow });
  const again = async () => {
    if ((await all()).some((row) => !row.trouble || row.isShut) || state !== SENT) await send(visit, onRow);
  };
  addEventListener("online", again);
  document.addEventListener("visibilitychange", () => { if (!document.hidden) again(); });
  setInterval(again, AGAIN);
  again();
}
