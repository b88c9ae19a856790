// What was drawn while a save was on its way, put onto the drawing as the server settled it: moved to 0, 0, its corners
// clockwise, its ground known again. All three are site documents: `drawn` now, `sent` then, `stands` on the server.
import { outline, round } from "./site.js";

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

export function rebase(drawn, sent, stands) {
  const moves = new Map(sent.patches.map((patch, n) => [patch.uid, { was: patch, is: stands.patches[n], by: shiftOf(patch, stands.patches[n]) }]));
  const beds = new Map((sent.beds ?? []).map((bed, n) => [bed.uid, { was: bed, is: stands.beds[n] }]));
  return {
    ...stands,
    north_deg: drawn.north_deg,
    patches: drawn.patches.map((patch) => (moves.has(patch.uid) ? onto(patch, moves.get(patch.uid)) : patch)),
    beds: (drawn.beds ?? []).map((bed) => {
      const known = beds.get(bed.uid);
      if (known && same(bed, known.was)) return known.is;
      const move = moves.get(bed.patch);
      return move ? { ...shifted(bed, move.by), patch: move.is.uid } : bed;
    }),
  };
}

// How far a patch was moved: the lower left of its corners, or the middle of its circle.
export function shiftOf(was, is) {
  if (!was || !is) return [0, 0];
  const spot = ({ circle, corners }) => (circle ? [circle.x, circle.y] : [0, 1].map((axis) => Math.min(...outline({ corners }).map((at) => at[axis]))));
  const [from, to] = [spot(was), spot(is)];
  return [round(to[0] - from[0]), round(to[1] - from[1])];
}

function shifted(thing, [dx, dy]) {
  const out = { ...thing };
  if (thing.y !== undefined) [out.x, out.y] = [round(thing.x + dx), round(thing.y + dy)];
  for (const key of ["path", "points"]) if (thing[key]) out[key] = thing[key].map(([x, y]) => [round(x + dx), round(y + dy)]);
  return out;
}

function onto(patch, { was, is, by }) {
  if (same(patch, was)) return is;
  const out = { ...patch, uid: is.uid, label: patch.label === was.label ? is.label : patch.label };
  for (const rows of ["features", "marks"]) if (patch[rows]) out[rows] = patch[rows].map((thing) => shifted(thing, by));
  if (patch.typed?.measured) out.typed = { ...is.typed, measured: patch.typed.measured };
  else out.typed = Object.fromEntries(Object.entries(is.typed).filter(([key]) => key !== "measured"));
  if (same([patch.corners, patch.circle], [was.corners, was.circle])) return { ...out, shape: is.shape, corners: is.corners, circle: is.circle };
  if (patch.circle) return { ...out, circle: shifted(patch.circle, by) };
  return { ...out, shape: is.shape, corners: corners(patch, was, is, by) };
}

// Each side keeps what lies beyond it; the length typed for it is what the server left of it.
function corners(patch, was, is, by) {
  const typed = new Map(is.corners.map((corner) => [corner.id, corner.typed]));
  let rows = patch.corners.map((corner) => shifted(corner, by));
  if (isTurned(was, is)) rows = rows.map((corner, n) => ({ ...corner, beyond: rows.at(n - 1).beyond })).reverse();
  return rows.map((corner) => ({ ...corner, typed: typed.get(corner.id) ?? "" }));
}

const isTurned = (was, is) => was.corners.length > 2 && was.corners[0].id === is.corners.at(-1).id;
