// The visit page: every answer, note and picture is kept on this phone as it is made, goes up by itself while the page is
// open, and comes back into the form when the page is opened again. Without this script the form is sent as a whole.
import { showCalled } from "./parts/called.js";
import "./parts/keptlinks.js";
import { goTo, putBack } from "./parts/mend.js";
import { Notes } from "./parts/notes.js";
import { keepPage } from "./parts/offline.js";
import { Pictures } from "./parts/pictures.js";
import { all, drop, put } from "./parts/queue.js";
import { asksAgain, onRetake } from "./parts/retake.js";
import { SENT, SOMEBODY_ELSE, held } from "./parts/sender.js";
import { fillWalk, keepWalks } from "./parts/sides.js";
import { Typed } from "./parts/typed.js";
import { showDrawings } from "./parts/unsaved.js";
import { keepTrying, mendWith, send, show, typing } from "./parts/waiting.js";

const form = document.querySelector("[data-visit]");
const visit = Number(form?.dataset.visit), me = Number(form?.dataset.member);
const isMine = (row) => row.visit === visit && row.member === me; // others write on this phone too
const named = (...words) => [visit, me, ...words].join(":"); // what a row takes the place of, if it still waits
const IN_FORM = ["answer", "note", "end"]; // kinds that stand in the form too, and can be mended there
const PAUSE = 2500; // milliseconds after the last change until it goes up, so that half an answer is rarely sent
let isPlain = !("indexedDB" in window); // nothing to keep it in: the form is sent as a whole
let isTouched = false;
let pause;

// ---- what is written down

const base = (kind, label) => ({
  kind, label, visit, member: me, url: form.dataset.queue, page: form.dataset.page, gone: form.dataset.gone,
  failed: form.dataset.failed, uid: crypto.randomUUID(),
});
const notes = form && new Notes(form, { base, named });
const pictures = form && new Pictures(form, { base, named, isMine });
const typed = form && new Typed(form, { partOf, keep, held, typing, goUp: () => goUpSoon() });

function fields(part) {
  return [...part.querySelectorAll("input, select, textarea")]
    .filter((field) => field.name && field.type !== "hidden" && field.type !== "file")
    .filter((field) => (field.type !== "radio" && field.type !== "checkbox") || field.checked)
    .map((field) => [field.name, field.value])
    .filter(([, value]) => value !== "");
}

const answerKey = (question) => named(question.dataset.question, question.querySelector('[name$="-for"]')?.value ?? "");

async function keepAnswer(question) {
  const code = question.dataset.question;
  const written = fields(question);
  if (!written.some(([name]) => name !== `${code}-for`)) return;
  const row = { ...base("answer", question.dataset.short), key: answerKey(question), code };
  row.fields = [...written, [`${code}-uid`, row.uid], [`${code}-saw`, saw(code).value]];
  see(row);
  await put(row);
}

// What a field belongs to: the key its row waits under, and what keeps it.
function partOf(field) {
  const question = field.closest("[data-question]");
  if (question) return { key: answerKey(question), act: () => keepAnswer(question) };
  return field === notes.field ? { key: notes.key, act: () => notes.keep() } : null;
}

const saw = (code) => form.querySelector(`[name="${code}-saw"]`);

// The next answer takes the place of this one too, whether or not it has gone up by then.
function see({ code, uid }) {
  const field = code && saw(code);
  if (field) field.value = [...new Set([...field.value.split(",").filter(Boolean), uid])].join(",");
}

async function keepEnd(submitter) {
  const written = [["end", submitter.value], ["reason", form.querySelector("[name=reason]")?.value ?? ""]];
  await put({ ...base("end", submitter.textContent.trim()), key: named("end"), fields: written });
}

// A shape walked without signal; a second one with the same name is another shape, a mended one takes its own place.
function keepWalk(written, label, url, key) {
  const row = { ...base("walk", label), url };
  row.fields = [...written, ["uid", row.uid]];
  goUpSoon();
  return keep(() => put({ ...row, key: key ?? named("walk", row.uid) }));
}

// Runs what keeps something. Where the phone is full, says so and leaves the form as it is; nothing is cleared.
async function keep(act) {
  const full = document.querySelector("[data-full]");
  try {
    await act();
    if (full) full.hidden = true;
    isTouched = typed.isOpen;
    typing(typed.isOpen);
    await show(visit);
    return true;
  } catch (error) {
    if (error?.name === "QuotaExceededError") { full.hidden = false; full.scrollIntoView({ block: "center" }); }
    else isPlain = true;
    return false;
  }
}

// ---- what waits, and what came of it

function shown(rows) {
  for (const list of form.querySelectorAll("[data-slot]")) {
    const mine = rows.filter((row) => row.slot === list.dataset.slot);
    list.replaceChildren(...mine.map((row) => Object.assign(document.createElement("li"), { textContent: row.name })));
    list.hidden = mine.length === 0;
  }
  notes.showOthers(rows.filter(isMine));
}

const told = new Map(); // what stands in a part of the page since something went up, so that it is said aloud once

function tell(place, html) {
  if (!place || html === undefined || (told.get(place) ?? (place.children.length ? undefined : "")) === html) return;
  told.set(place, html);
  place.innerHTML = html;
}

async function heard(row, answer) {
  if (!isMine(row)) return;
  for (const [code, html] of Object.entries(answer.flags ?? {})) tell(form.querySelector(`[data-flags="${code}"]`), html);
  for (const name of ["meter", "raised", "open"]) tell(document.querySelector(`[data-part="${name}"]`), answer[name]);
  const plan = document.querySelector("[data-plan]");
  if (plan && answer.plan?.length) {
    plan.append(...answer.plan.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
    plan.hidden = false;
  }
  if (row.code) form.querySelector(`[name="${row.code}-uid"]`).value = crypto.randomUUID();
  see(row);
  await notes.heard(row, answer);
}

function goUpSoon() {
  clearTimeout(pause);
  pause = setTimeout(() => send(visit, heard), PAUSE);
}

// What waits from before stands in the form again: one's own, for nobody speaks for somebody else.
async function restore() {
  if (!form.querySelector("[name=photo-people]")) await pictures.say(""); // they want no pictures: the group says so to each
  for (const row of (await show(visit)).filter(isMine)) {
    see(row);
    if (row.kind === "note") notes.restore(row);
    else if (IN_FORM.includes(row.kind)) putBack(form, row);
  }
  notes.isRestored = true;
  const wanted = Number(new URLSearchParams(location.search).get("mend"));
  const mends = wanted && mend((await all()).find((row) => row.seq === wanted));
  if (typeof mends === "function") await mends();
}

// What mends a row that was refused: here, on the page where shapes are walked, or nowhere (a picture is chosen anew).
function mend(row) {
  if (!row || !isMine(row)) return null;
  if (row.kind === "walk") return fillWalk(document, row) ?? (row.page ? `${row.page}offline/?mend=${row.seq}` : null);
  if (row.kind === "answer") return () => { putBack(form, row); goTo(form.querySelector(`[data-question="${row.code}"]`)); };
  if (row.kind !== "note") return null;
  return async () => {
    if (!notes.restore(row)) { // written on the other page: it is added to what stands here
      notes.field.value = [notes.field.value.trim(), row.fields[0][1]].filter(Boolean).join("\n\n");
      if (await keep(() => notes.keep())) await drop(row.seq);
      await show(visit);
    }
    goTo(notes.field.closest(".field"));
  };
}

// ---- the usual answers

function showUsual() {
  form.querySelectorAll(".may-unseen").forEach((part) => part.classList.add("unseen"));
  form.querySelectorAll(".may-usual").forEach((part) => part.classList.add("usual"));
  form.querySelectorAll(".may-show").forEach((part) => { part.hidden = false; });
  const mark = document.createElement("input");
  Object.assign(mark, { type: "hidden", name: "usual_on", value: "1" });
  form.append(mark);
}

// "I looked" fills the rows that nobody has picked in; taking the tick away takes back only those.
function look(box) {
  const question = box.closest("[data-question]");
  question.classList.toggle("unseen", !box.checked);
  question.querySelectorAll(".picks").forEach((row) => {
    const usual = row.querySelector("[data-usual]");
    if (!usual) return;
    if (box.checked && !row.querySelector(":checked")) {
      usual.checked = true;
      usual.dataset.looked = "";
    } else if (!box.checked && "looked" in usual.dataset) {
      usual.checked = false;
      delete usual.dataset.looked;
    }
  });
}

// ---- the form

async function changed({ target }) {
  if (target.closest("[data-retake]")) return;
  isTouched = true;
  if (target.name === "looked") look(target);
  if (isPlain) return;
  const part = partOf(target);
  if (target.type === "file") await keep(() => pictures.keep(target));
  else if (part) { typed.close(part.key); await keep(part.act); }
  else if (target.name === "photo-people") {
    pictures.isSpent = false;
    if (await asksAgain(form, visit, target.value)) { isTouched = false; return; }
    await keep(() => pictures.say(target.value));
  }
  goUpSoon();
}

// The whole form as the server reads it, which puts each mistake beside its field.
function sendWhole(submitter) {
  isPlain = true;
  isTouched = false;
  form.requestSubmit(submitter);
}

async function submitted(event) {
  if (isPlain) { isTouched = false; return; }
  event.preventDefault();
  const { submitter } = event;
  clearTimeout(pause);
  const ends = submitter?.name === "end";
  await typed.keepNow();
  typed.close();
  const sound = await keep(async () => {
    await notes.keep();
    await pictures.say(pictures.people);
    if (ends) await keepEnd(submitter);
  });
  if (!sound) { if (isPlain) sendWhole(submitter); return; }
  const state = await send(visit, heard);
  const left = (await show(visit)).filter(isMine);
  const stays = state === SOMEBODY_ELSE ? left.some((row) => !row.trouble) : state !== SENT; // another's rows hold up nobody
  const slips = left.filter((row) => row.trouble && !row.isShut && IN_FORM.includes(row.kind) && standsHere(row));
  const isKeptPage = !form.elements.csrfmiddlewaretoken; // the one for no signal: the server takes no whole form from it
  if (!stays && slips.length > 0 && !isKeptPage) {
    for (const row of slips) await drop(row.seq);
    sendWhole(submitter);
  } else if (!stays && ends && slips.length === 0) location.assign(form.dataset.after);
  else if (!stays && left.length === 0) location.reload();
  else document.querySelector("[data-waiting]").scrollIntoView({ block: "center" });
}

// Notes of the other page have no field here: they stay on this phone.
const standsHere = (row) => row.fields.every(([name]) => form.elements[name] || name === "end");

showDrawings();

if (form) {
  const button = form.querySelector("[data-usual-button]");
  button?.addEventListener("click", (event) => {
    event.preventDefault();
    button.hidden = true;
    showUsual();
    form.querySelector("#fifteen h2").focus({ preventScroll: true }); // where one stands: the five about safety come first
  });
  document.addEventListener("waiting", ({ detail }) => shown(detail));
  mendWith(visit, mend);
  form.addEventListener("change", changed);
  form.addEventListener("submit", submitted);
  window.addEventListener("beforeunload", (event) => { if (isTouched) event.preventDefault(); });
  restore().then(() => { showCalled(form); return keepTrying(visit, heard); }).catch(() => { isPlain = true; });
  keepWalks(document, keepWalk);
  onRetake(form, visit, { shown: () => show(visit), keepThis: async (people) => { await keep(() => pictures.say(people)); goUpSoon(); } });
  if (form.dataset.offline) keepPage(form.dataset.offline);
}
