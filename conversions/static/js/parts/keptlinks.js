// Without signal only what this phone keeps can be opened: a link to it, [data-kept-page], shows where that page is kept.
async function show() {
  if (!("caches" in window)) return;
  for (const part of document.querySelectorAll("[data-kept-page]")) part.hidden = !(await caches.match(part.dataset.keptPage));
}

show().catch(() => {});
