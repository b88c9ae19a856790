// The walk answers at once: what is typed is sent to be drawn, not kept, and the drawing stands above the button.

const PAUSE = 500; // milliseconds without a key before the drawing is asked for

export function tryWalk(form) {
  const trial = form.querySelector("[data-trial]");
  const says = form.querySelector("[data-says]");
  let waiting;
  let asked = 0;
  const ask = async () => {
    const mine = ++asked;
    try {
      const answer = await fetch(form.dataset.walk, { method: "POST", body: new FormData(form), credentials: "same-origin" });
      if (!answer.ok || mine !== asked) return;
      const { svg, says: words } = await answer.json();
      trial.hidden = !svg;
      trial.innerHTML = svg;
      says.textContent = words;
    } catch {
      trial.hidden = true; // no signal: the button still works once it is back
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, PAUSE);
  });
}
