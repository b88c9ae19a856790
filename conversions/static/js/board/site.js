// The drawing as data: the site document, the place of each thing in it ("patches.0.corners.2"), and what changes it.
// Nothing here knows the screen. Metres; x runs right, y runs up.

import { area, edge } from "../parts/area.js";

const BEDS = "beds";

export function uid() {
  const bytes = crypto.getRandomValues(new Uint8Array(16)); // randomUUID is for https only
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

export const round = (value) => Math.round(value * 1000) / 1000 + 0;

export function at(site, path) {
  return path.split(".").reduce((found, step) => found?.[step], site);
}

export function split(path) {
  const dot = path.lastIndexOf(".");
  return [path.slice(0, Math.max(dot, 0)), path.slice(dot + 1)]; // "north_deg" stands in the document itself
}

export function put(site, path, value) {
  const [parent, step] = split(path);
  (parent ? at(site, parent) : site)[step] = value;
}

// [path, kind, thing] of everything on one patch, in the order of the list.
export function things(site, number) {
  const patch = site.patches[number];
  const here = `patches.${number}`;
  const out = [[here, "patch", patch]];
  (patch.corners ?? []).forEach((corner, i) => out.push([`${here}.corners.${i}`, "corner", corner]));
  if (patch.circle) out.push([`${here}.circle`, "circle", patch.circle]);
  (patch.typed?.measured ?? []).forEach((row, i) => out.push([`${here}.typed.measured.${i}`, "across", row]));
  (site.beds ?? []).forEach((bed, i) => {
    if (bed.patch === patch.uid) out.push([`${BEDS}.${i}`, kindOf(bed), bed]);
  });
  for (const rows of ["features", "marks"]) (patch[rows] ?? []).forEach((thing, i) => out.push([`${here}.${rows}.${i}`, thing.kind, thing]));
  return out;
}

const kindOf = (thing) => (thing.path?.length ? "along" : thing.kind);

export const outline = (patch) => (patch.corners ?? []).map(({ x, y }) => [x, y]);

function lettered(n) {
  return (n < 26 ? "" : String.fromCharCode(64 + Math.floor(n / 26))) + String.fromCharCode(65 + (n % 26));
}

function freeLetter(corners) {
  for (let n = 0; ; n += 1) if (!corners.some(({ id }) => id === lettered(n))) return lettered(n);
}

export function newPatch(site, points) {
  const zones = site.patches.map(({ zone }) => zone);
  const zone = ["front", "back", "side"].find((name) => !zones.includes(name)) ?? "other";
  const corners = points.map(([x, y], n) => ({ id: lettered(n), x, y, beyond: "open", typed: "" }));
  site.patches.push({ uid: uid(), label: "", zone, ground_before: "lawn", shape: "outline", typed: {}, corners, circle: null, features: [] });
  return `patches.${site.patches.length - 1}`;
}

// One more corner in the side nearest to the point; returns its place.
export function cornerAt(site, number, [x, y]) {
  const { corners } = site.patches[number];
  const off = corners.map((a, n) => fromLine([x, y], [a.x, a.y], [corners[(n + 1) % corners.length].x, corners[(n + 1) % corners.length].y]));
  const n = off.indexOf(Math.min(...off));
  corners.splice(n + 1, 0, { id: freeLetter(corners), x, y, beyond: corners[n].beyond, typed: "" });
  return `patches.${number}.corners.${n + 1}`;
}

export function cornerAfter(site, path) {
  const [rows, n] = split(path);
  const corners = at(site, rows);
  const [a, b] = [corners[n], corners[(Number(n) + 1) % corners.length]];
  corners.splice(Number(n) + 1, 0, { id: freeLetter(corners), x: round((a.x + b.x) / 2), y: round((a.y + b.y) / 2), beyond: a.beyond, typed: "" });
  return `${rows}.${Number(n) + 1}`;
}

// A bed, a feature or a mark of `kind`, with its middle at a point or along points; returns its place.
export function add(site, number, kind, spec, points, extra = {}) {
  const patch = site.patches[number];
  const { rows, points: key, usual } = spec.kinds[kind];
  const spot = key ? { [key]: points } : { x: points[0][0], y: points[0][1] };
  if (rows === BEDS) {
    site.beds ??= [];
    site.beds.push({ uid: uid(), patch: patch.uid, kind: kind === "along" ? "mounded" : kind, ...spot, ...usual, ...extra });
    return `${BEDS}.${site.beds.length - 1}`;
  }
  patch[rows] ??= [];
  patch[rows].push({ kind, ...spot, ...usual, ...extra });
  return `patches.${number}.${rows}.${patch[rows].length - 1}`;
}

export function addAcross(site, number) {
  const patch = site.patches[number];
  const ids = patch.corners.map(({ id }) => id);
  patch.typed ??= {};
  patch.typed.measured ??= [];
  patch.typed.measured.push({ from: ids[0], to: ids[2], tape_m: null });
  return `patches.${number}.typed.measured.${patch.typed.measured.length - 1}`;
}

// How many of a list must stay: an outline needs three corners, a line two points.
export function fewest(site, rows, spec) {
  const [parent, key] = split(rows);
  if (key === "corners") return spec.few;
  if (key === "points" || key === "path") return spec.kinds[kindOf(at(site, parent))].few;
  return 0;
}

export function remove(site, path, spec) {
  const [rows, n] = split(path);
  const list = at(site, rows);
  if (!Array.isArray(list) || rows === "patches" || list.length <= fewest(site, rows, spec)) return false;
  const [gone] = list.splice(Number(n), 1);
  const [parent, key] = split(rows);
  if (key === "corners") withoutTapes(at(site, parent), gone.id);
  return true;
}

// What was measured across from a corner goes with it: the next new corner takes its letter.
function withoutTapes(patch, letter) {
  if (patch.typed?.measured) patch.typed.measured = patch.typed.measured.filter(({ from, to }) => ![from, to].includes(letter));
}

// ---- measures

// Area and edge of all patches, worked out here alone; the server has the last word.
export function measured(site) {
  return site.patches.reduce(({ m2, m }, patch) => {
    const holes = (patch.features ?? []).filter(({ kind, points }) => kind === "hole" && points?.length > 2);
    const off = holes.reduce((sum, { points }) => sum + area(points), 0);
    if (patch.circle) return { m2: m2 + (Math.PI * patch.circle.diameter ** 2) / 4 - off, m: m + Math.PI * patch.circle.diameter };
    return { m2: m2 + area(outline(patch)) - off, m: m + edge(outline(patch)) };
  }, { m2: 0, m: 0 });
}

function fromLine([x, y], [ax, ay], [bx, by]) {
  const [dx, dy] = [bx - ax, by - ay];
  const long = dx * dx + dy * dy;
  const share = long ? Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / long)) : 0;
  return Math.hypot(x - ax - share * dx, y - ay - share * dy);
}

// Left, low, right and high of everything on a patch.
export function bounds(site, number) {
  const xs = [];
  const ys = [];
  const take = (x, y, reach = 0) => { xs.push(x - reach, x + reach); ys.push(y - reach, y + reach); };
  for (const [, kind, thing] of things(site, number)) {
    if (kind === "circle") take(thing.x, thing.y, thing.diameter / 2);
    else if (kind === "corner") take(thing.x, thing.y);
    else if (thing.path ?? thing.points) for (const [x, y] of thing.path ?? thing.points) take(x, y);
    else if (thing.x !== undefined) take(thing.x, thing.y, (thing.length_m ?? thing.top_m ?? 0) / 2);
  }
  return xs.length ? [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] : null;
}
