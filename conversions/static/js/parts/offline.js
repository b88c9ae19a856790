// Has the phone keep a page for when there is no signal: the one without a name on it, and every file this page used.
export async function keepPage(path) {
  if (!("serviceWorker" in navigator)) return;
  await navigator.serviceWorker.register("/sw.js");
  const { active } = await navigator.serviceWorker.ready;
  const used = performance.getEntriesByType("resource").map((entry) => entry.name).filter((name) => name.includes("/static/"));
  active.postMessage({ page: new URL(path, location.href).href, files: [...new Set(used)] });
  navigator.storage?.persist?.();
}
