// The visit page: every answer, note and picture is kept on this phone as it is made, goes up by itself while the page is
// open, and comes back into the form when the page is opened again. Without this script the form is sent as a whole.
import { showCalled } from "./parts/called.js";
import { keepPage } from "./parts/offline.js";
import { all, drop, put } from "./parts/queue.js";
import { asksAgain, onRetake } from "./parts/retake.js";
import { SENT, SOMEBODY_ELSE } from "./parts/sender.js";
import { keepWalks } from "./parts/sides.js";
import { showDrawings } from "./parts/unsaved.js";
import { keepTrying, send, show } from "./parts/waiting.js";

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
  kind, label, visit, member: me, url: form.dataset.queue, gone: form.dataset.gone,
  uid: crypto.randomUUID(),
});

function fields(part) {
  return [...part.querySelectorAll("input, select, textarea")]
    .filter((field) => field.name && field.type !== "hidden" && field.type !== "file")
    .filter((field) => (field.type !== "radio" && field.type !== "checkbox") || field.checked)
    .map((field) => [field.name, field.value])
    .filter(([, value]) => value !== "");
}

async function keepAnswer(question) {
  const code = question.dataset.question;
  const written = fields(question);
  if (!written.some(([name]) => name !== `${code}-for`)) return;
  const target = question.querySelector(`[name="${code}-for"]`)?.value ?? "";
  const row = { ...base("answer", question.dataset.short), key: named(code, target), code };
  row.fields = [...written, [`${code}-uid`, row.uid], [`${code}-saw`, saw(code).value]];
  see(row);
  await put(row);
}

const saw = (code) => form.querySelector(`[name="${code}-saw"]`);

// The next answer takes the place of this one too, whether or not it has gone up by then.
function see({ code, uid }) {
  const field = code && saw(code);
  if (field) field.value = [...new Set([...field.value.split(",").filter(Boolean), uid])].join(",");
}

async function keepNotes() {
  const notes = form.querySelector("[name=notes], [name=notes_more]");
  if (notes.value === notes.defaultValue) return;
  const written = [[notes.name, notes.value]];
  for (const name of ["notes_was", "revision"]) {
    const field = form.querySelector(`[name=${name}]`);
    if (field) written.push([name, field.value]);
  }
  await put({ ...base("note", notes.labels[0].textContent), key: named("notes"), fields: written });
}

async function keepPictures(input) {
  const people = form.querySelector("[name=photo-people]:checked")?.value ?? "";
  for (const file of [...input.files]) {
    const row = { ...base("photo", file.name), file, name: file.name, fileField: input.name, slot: input.name };
    const written = [[`${input.name}-uid`, row.uid], ["photo-people", people]];
    await put({ ...row, key: named(row.uid), fields: written, isUnasked: people === "" });
  }
  input.value = "";
}

// Pictures wait until somebody said whether anyone is in them, or kept them without saying.
async function keepPeople(people) {
  for (const row of await all()) {
    if (!isMine(row) || !row.isUnasked) continue;
    const written = row.fields.map(([name, value]) => [name, name === "photo-people" ? people : value]);
    await put({ ...row, fields: written, isUnasked: false });
  }
}

async function keepEnd(submitter) {
  const written = [["end", submitter.value], ["reason", form.querySelector("[name=reason]")?.value ?? ""]];
  await put({ ...base("end", submitter.textContent.trim()), key: named("end"), fields: written });
}

// A shape walked without signal; a second one with the same name is another shape.
function keepWalk(written, label, url) {
  const row = { ...base("walk", label), url };
  row.fields = [...written, ["uid", row.uid]];
  goUpSoon();
  return keep(() => put({ ...row, key: named("walk", row.uid) }));
}

// Runs what keeps something. Where the phone is full, says so and leaves the form as it is; nothing is cleared.
async function keep(act) {
  const full = document.querySelector("[data-full]");
  try {
    await act();
    if (full) full.hidden = true;
    isTouched = false;
    await shown();
    return true;
  } catch (error) {
    if (error?.name === "QuotaExceededError") { full.hidden = false; full.scrollIntoView({ block: "center" }); }
    else isPlain = true;
    return false;
  }
}

// ---- what waits, and what came of it

async function shown() {
  const rows = await show(visit);
  for (const list of form.querySelectorAll("[data-slot]")) {
    const mine = rows.filter((row) => row.slot === list.dataset.slot);
    list.replaceChildren(...mine.map((row) => Object.assign(document.createElement("li"), { textContent: row.name })));
    list.hidden = mine.length === 0;
  }
  return rows;
}

function heard(row, told) {
  if (!isMine(row)) return;
  for (const [code, html] of Object.entries(told.flags ?? {})) {
    const place = form.querySelector(`[data-flags="${code}"]`);
    if (place) place.innerHTML = html;
  }
  for (const name of ["meter", "raised"]) {
    const place = document.querySelector(`[data-part="${name}"]`);
    if (place && told[name]) place.innerHTML = told[name];
  }
  const plan = document.querySelector("[data-plan]");
  if (plan && told.plan?.length) {
    plan.append(...told.plan.map((words) => Object.assign(document.createElement("li"), { textContent: words })));
    plan.hidden = false;
  }
  if (row.code) form.querySelector(`[name="${row.code}-uid"]`).value = crypto.randomUUID();
  see(row);
  for (const [name, value] of Object.entries(told.notes ?? {})) {
    const field = form.querySelector(`[name=${name}]`);
    if (field) field.value = value;
  }
}

function goUpSoon() {
  clearTimeout(pause);
  pause = setTimeout(() => send(visit, heard), PAUSE);
}

// What waits from before stands in the form again: one's own, for nobody speaks for somebody else.
async function restore() {
  if (!form.querySelector("[name=photo-people]")) await keepPeople(""); // they want no pictures: the group says so to each
  for (const row of (await shown()).filter(isMine)) {
    see(row);
    for (const [name, value] of row.fields) {
      for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
        if (field.type === "radio" || field.type === "checkbox") field.checked ||= field.value === value;
        else if (field.type !== "hidden" && field.type !== "file") field.value = value;
      }
    }
  }
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
  isTouched = true;
  if (target.name === "looked") look(target);
  if (isPlain) return;
  const question = target.closest("[data-question]");
  if (target.type === "file") await keep(() => keepPictures(target));
  else if (question) await keep(() => keepAnswer(question));
  else if (target.name === "photo-people") {
    if (await asksAgain(form, visit, target.value)) return;
    await keep(() => keepPeople(target.value));
  }
  else if (target.name.startsWith("notes")) await keep(keepNotes);
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
  const sound = await keep(async () => {
    await keepNotes();
    await keepPeople(form.querySelector("[name=photo-people]:checked")?.value ?? "");
    if (ends) await keepEnd(submitter);
  });
  if (!sound) { if (isPlain) sendWhole(submitter); return; }
  const state = await send(visit, heard);
  const left = (await shown()).filter(isMine);
  const stays = state === SOMEBODY_ELSE ? left.some((row) => !row.trouble) : state !== SENT; // another's rows hold up nobody
  const typed = left.filter((row) => row.trouble && IN_FORM.includes(row.kind));
  const isKeptPage = !form.elements.csrfmiddlewaretoken; // the one for no signal: the server takes no whole form from it
  if (stays || (isKeptPage && typed.length > 0)) {
    document.querySelector("[data-waiting]").scrollIntoView({ block: "center" });
  } else if (typed.length > 0) {
    for (const row of typed) await drop(row.seq);
    sendWhole(submitter);
  } else if (ends) location.assign(form.dataset.after);
  else if (left.length === 0) location.reload();
}

showDrawings();

if (form) {
  const button = form.querySelector("[data-usual-button]");
  button?.addEventListener("click", (event) => {
    event.preventDefault();
    button.hidden = true;
    showUsual();
    form.querySelector(".unseen input")?.focus();
  });
  form.addEventListener("change", changed);
  form.addEventListener("submit", submitted);
  window.addEventListener("beforeunload", (event) => { if (isTouched) event.preventDefault(); });
  restore().then(() => { showCalled(form); return keepTrying(visit, heard); }).catch(() => { isPlain = true; });
  keepWalks(document, keepWalk);
  onRetake(form, visit, { shown, keepThis: async (people) => { await keep(() => keepPeople(people)); goUpSoon(); } });
  if (form.dataset.offline) keepPage(form.dataset.offline);
}
