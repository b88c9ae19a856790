// Finger, mouse and keyboard on the drawing. `board` is asked to grip, drag, let go, press, tap, nudge and remove.

const STILL = 5; // pixels a finger may tremble and still tap
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function listen(svg, board) {
  let held = null; // {path, from, id, hasMoved}
  let down = null; // where a finger came down on the ground: its click may be drawn to a handle near by
  let isSpent = false; // the click that follows a drag or a choice is not a tap on the ground, however late it comes

  const spot = ({ clientX, clientY }) => {
    const box = svg.getBoundingClientRect();
    return [((clientX - box.left) / box.width) * board.view.width, ((clientY - box.top) / box.height) * board.view.height];
  };

  // A finger on a point drags it and does not scroll the page; touch-action is not heeded on what is inside an SVG.
  svg.addEventListener("touchstart", (event) => { if (event.target.closest("[data-hold]")) event.preventDefault(); }, { passive: false });

  svg.addEventListener("pointerdown", (event) => {
    const path = event.button === 0 && event.target.closest("[data-hold]") && board.nearest(spot(event));
    down = path ? null : spot(event);
    isSpent = false;
    if (!path) return;
    held = { path, from: spot(event), id: event.pointerId, hasMoved: false };
    svg.setPointerCapture(event.pointerId);
  });

  svg.addEventListener("pointermove", (event) => {
    if (!held || event.pointerId !== held.id) return;
    const now = spot(event);
    if (!held.hasMoved && Math.hypot(now[0] - held.from[0], now[1] - held.from[1]) < STILL) return;
    if (!held.hasMoved) board.grip(held.path);
    held.hasMoved = true;
    board.drag(now);
  });

  const release = (event) => {
    if (!held || event.pointerId !== held.id) return;
    const { path, hasMoved, from } = held;
    held = null;
    if (hasMoved) board.letGo(event.type === "pointerup");
    else if (event.type === "pointerup") board.press(path, from);
    isSpent = true;
  };
  svg.addEventListener("pointerup", release);
  svg.addEventListener("pointercancel", release);

  svg.addEventListener("click", (event) => {
    if (isSpent && event.detail) return;
    const path = event.target.closest("[data-hold]")?.dataset.hold;
    if (path) board.press(path, event.detail ? down ?? spot(event) : undefined); // no detail: a helper program's press
    else board.tap(down ?? spot(event), event.target.closest("[data-thing]")?.dataset.thing);
  });

  svg.addEventListener("keydown", (event) => {
    const path = event.target.closest("[data-hold]")?.dataset.hold;
    const way = ARROWS[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (way) board.nudge(path, way, event.shiftKey);
    else if (event.key === "Enter" || event.key === " ") path ? board.press(path) : board.putCross();
    else if (event.key === "Delete" || event.key === "Backspace") board.remove(path);
    else if (event.key === "Escape") board.leave();
    else return;
    event.preventDefault();
  });
}
