// Questions that an answer calls for: shown as soon as one of its picks is picked here, with or without a signal.
// A question the server called for stays. [data-called-by="say-right=shared|heap-heap=street"].
export function showCalled(form) {
  const parts = [...form.querySelectorAll("[data-called-by]")].filter((part) => part.hidden);
  const show = () => {
    for (const part of parts) {
      const calls = part.dataset.calledBy.split("|").filter(Boolean).map((call) => call.split("="));
      part.hidden = !calls.some(([name, pick]) => {
        const picked = form.querySelector(`[name="${name}"][value="${CSS.escape(pick)}"]:checked`);
        return picked && !picked.closest("[hidden]");
      });
    }
  };
  form.addEventListener("change", show);
  show();
}
