// Gives a visit or a drawing that was opened on this phone within a day again when there is no signal. Keeps no page with
// a name on it.
const STORE = "visits-1";
const DAY = 24 * 60 * 60 * 1000; // milliseconds
const PATIENCE = 6000; // milliseconds until a thin line counts as none
const KEPT = /^\/g\/[\w-]+\/(visits\/\d+|yards\/\d+\/plan\/draw)\/(offline\/)?$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("message", (event) => event.waitUntil(keep(event.data)));
self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate" && KEPT.test(url.pathname)) event.respondWith(page(request, url));
  else if (url.pathname.startsWith("/static/")) event.respondWith(file(request));
});

async function keep({ page, files }) {
  const store = await caches.open(STORE);
  for (const old of await store.keys()) if (!files.includes(old.url) && (await isOver(store, old))) await store.delete(old);
  // The page comes last: once it is here, all it needs is here.
  await Promise.all(files.map(async (name) => { if (!(await store.match(name))) await take(store, name); }));
  await take(store, page, new URL(page).origin + new URL(page).pathname);
}

async function take(store, name, as = name) {
  const answer = await fetch(name, { credentials: "same-origin", redirect: "manual" });
  if (!answer.ok) return;
  const headers = new Headers(answer.headers);
  headers.set("X-Kept", String(Date.now()));
  await store.put(as, new Response(await answer.blob(), { headers }));
}

async function isOver(store, request) {
  const kept = (await store.match(request))?.headers.get("X-Kept");
  return kept !== null && kept !== undefined && Date.now() - Number(kept) > DAY;
}

async function page(request, url) {
  const limit = new AbortController();
  const clock = setTimeout(() => limit.abort(), PATIENCE);
  try {
    return await fetch(request, { signal: limit.signal });
  } catch (error) {
    const store = await caches.open(STORE);
    const name = url.origin + url.pathname.replace(/offline\/$/, "") + "offline/";
    const kept = (await isOver(store, name)) ? undefined : await store.match(name);
    if (kept) return kept;
    throw error;
  } finally {
    clearTimeout(clock);
  }
}

async function file(request) {
  const store = await caches.open(STORE);
  const kept = await store.match(request);
  if (!kept) return fetch(request);
  if (/\.[0-9a-f]{12}\.\w+$/.test(new URL(request.url).pathname)) return kept; // its name changes with its content
  try {
    return await fetch(request);
  } catch {
    return kept;
  }
}
