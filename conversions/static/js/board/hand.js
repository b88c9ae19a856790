// Finger, mouse and keyboard on the drawing. `board` is asked to grip, drag, let go, press, tap, slide, nudge and remove.

const STILL = 5; // pixels a finger may tremble and still tap
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function listen(svg, board) {
  const fingers = new Map(); // where each one is: pointer id to [x, y]
  let held = null; // {path, from, id, hasMoved}; without a path it is the ground that is held
  let down = null; // where a finger came down on the ground: its click may be drawn to a handle near by
  let isSpent = false; // the click that follows a drag or a choice is not a tap on the ground, however late it comes

  const spot = ({ clientX, clientY }) => {
    const box = svg.getBoundingClientRect();
    return [((clientX - box.left) / box.width) * board.view.width, ((clientY - box.top) / box.height) * board.view.height];
  };
  const apart = ([ax, ay], [bx, by]) => Math.hypot(ax - bx, ay - by);
  const between = ([ax, ay], [bx, by]) => [(ax + bx) / 2, (ay + by) / 2];

  // A finger on a point drags it, and two fingers look closer: neither moves the page. touch-action is not heeded on
  // what is inside an SVG.
  svg.addEventListener("touchstart", (event) => {
    if (event.touches.length > 1 || event.target.closest("[data-hold]")) event.preventDefault();
  }, { passive: false });

  svg.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    if (event.isPrimary) fingers.clear();
    fingers.set(event.pointerId, spot(event));
    if (fingers.size > 1) return twoFingers();
    const path = event.target.closest("[data-hold]") && board.nearest(spot(event));
    down = path ? null : spot(event);
    isSpent = false;
    held = path || board.isClose ? { path, from: spot(event), id: event.pointerId, hasMoved: false } : null;
    if (path) svg.setPointerCapture(event.pointerId); // the ground's click must still know what it fell on
  });

  function twoFingers() {
    if (held?.path && held.hasMoved) board.letGo(false);
    held = null;
    isSpent = true;
    for (const id of fingers.keys()) svg.setPointerCapture(id);
  }

  svg.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const now = spot(event);
    const other = [...fingers].find(([id]) => id !== event.pointerId)?.[1];
    if (other) board.slide(between(before, other), between(now, other), apart(now, other) / Math.max(apart(before, other), 1));
    else if (held) move(now, before);
    fingers.set(event.pointerId, now);
  });

  function move(now, before) {
    if (!held.hasMoved && apart(now, held.from) < STILL) return;
    if (!held.hasMoved && held.path) board.grip(held.path);
    if (!held.hasMoved) svg.setPointerCapture(held.id);
    if (held.path) board.drag(now);
    else board.slide(held.hasMoved ? before : held.from, now);
    held.hasMoved = true;
  }

  const release = (event) => {
    fingers.delete(event.pointerId);
    if (!held || event.pointerId !== held.id) return;
    const { path, hasMoved, from } = held;
    const isMeant = event.type === "pointerup";
    held = null;
    if (path || hasMoved) isSpent = true;
    if (path && hasMoved) board.letGo(isMeant);
    else if (path && isMeant) board.press(path, from);
  };
  for (const end of ["pointerup", "pointercancel", "pointerleave"]) svg.addEventListener(end, release);

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
