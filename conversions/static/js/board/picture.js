// Draws one patch of the site document as SVG: ground, what stands on it, lengths along the edge, and its handles.
import { signedArea } from "../parts/area.js";
import { Room } from "./room.js";
import { outline, things } from "./site.js";

const NS = "http://www.w3.org/2000/svg";
const TOUCH = 22; // half a finger, in pixels
const PAD = 46; // pixels round the ground: for lengths and letters
const EMPTY = [0, 0, 10, 7];
const INK = "#1d1a14";
const WHITE = "#fff";
const HOUSE = "#c9c3b0"; // a house is no material
const WRONG = "#a1261b";
const MARKS = new Set(["tap", "heap", "downspout"]);
const CLEAR = new Set([...MARKS, "pocket", "tree", "north"]); // their handle is a ring, so that they are seen below it
const FOOT = 0.3048;

export function el(name, attributes = {}, ...inside) {
  const node = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.append(...inside);
  return node;
}

// From metres to pixels of a frame that holds `bounds`, at `zoom` times the scale at which all of it is seen; looked at
// from closer, round `middle`, which never leaves the bounds.
export class View {
  constructor(width, height, bounds, zoom = 1, middle = null) {
    const [left, low, right, high] = bounds ?? EMPTY;
    this.width = width;
    this.height = height;
    const fit = Math.min((width - 2 * PAD) / Math.max(right - left, 1), (height - 2 * PAD) / Math.max(high - low, 1));
    this.scale = fit * zoom;
    this.north = [width - 40, 40]; // where its arrow turns
    const kept = ([x, y]) => [Math.min(right, Math.max(left, x)), Math.min(high, Math.max(low, y))];
    this.middle = zoom > 1 && middle ? kept(middle) : [(left + right) / 2, (low + high) / 2];
  }

  at([x, y]) {
    return [this.width / 2 + (x - this.middle[0]) * this.scale, this.height / 2 - (y - this.middle[1]) * this.scale];
  }

  from([px, py]) {
    return [this.middle[0] + (px - this.width / 2) / this.scale, this.middle[1] - (py - this.height / 2) / this.scale];
  }
}

const text = (x, y, words, extra = {}) => {
  const base = { x, y, "text-anchor": "middle", "dominant-baseline": "central", ...extra };
  return el("g", { "aria-hidden": "true" }, el("text", { ...base, class: "halo" }, words), el("text", base, words));
};

const d = (view, points, close = "") => `M${points.map((point) => view.at(point).map((v) => v.toFixed(1)).join(" ")).join("L")}${close}`;

function textured(shape, texture, stroke = INK) {
  shape.setAttribute("fill", `url(#tx-${texture})`);
  if (stroke) shape.setAttribute("stroke", stroke);
  shape.setAttribute("stroke-width", 1.5);
  return shape;
}

// A pattern does not fill a stroke in every browser at once with its outline: a wide dark line below, the texture above.
function band(view, points, wide, texture) {
  const line = (stroke, width) => el("path", { d: d(view, points), fill: "none", stroke, "stroke-width": width, "stroke-linecap": "round", "stroke-linejoin": "round" });
  return el("g", {}, line(INK, wide * view.scale + 3), line(`url(#tx-${texture})`, wide * view.scale));
}

function turned(view, bed, wide) {
  const [x, y] = view.at([bed.x, bed.y]);
  const [w, h] = [bed.length_m * view.scale, wide * view.scale];
  return { x: x - w / 2, y: y - h / 2, width: w, height: h, transform: `rotate(${-(bed.turn_deg ?? 0)} ${x} ${y})` };
}

const DRAWERS = {
  mounded: (view, bed) => {
    const half = bed.ends === "square" ? 0 : (Math.min(bed.width_m, bed.length_m) / 2) * view.scale;
    return textured(el("rect", { ...turned(view, bed, bed.width_m), rx: half }), "compost");
  },
  along: (view, bed) => band(view, bed.path, bed.width_m, "compost"),
  framed: (view, bed) => {
    const board = Math.max(2.5, (bed.board_m ?? 0.038) * view.scale);
    const inner = { ...bed, length_m: Math.max(0.01, bed.length_m - (2 * board) / view.scale) };
    return el("g", {}, textured(el("rect", turned(view, bed, bed.width_m)), "timber"),
      textured(el("rect", turned(view, inner, Math.max(0.01, bed.width_m - (2 * board) / view.scale))), "compost"));
  },
  pocket: (view, bed) => { const [x, y] = view.at([bed.x, bed.y]); return textured(el("circle", { cx: x, cy: y, r: Math.max(7, (bed.top_m / 2) * view.scale) }), "plant"); },
  tree: (view, tree, spec) => {
    const [x, y] = view.at([tree.x, tree.y]);
    const ring = Math.max(spec.treeFactor * tree.trunk_m, spec.treeLeast) * view.scale;
    return el("g", {}, el("circle", { cx: x, cy: y, r: ring, fill: "none", stroke: "#2b6537", "stroke-width": 1.5, "stroke-dasharray": "6 5" }),
      textured(el("circle", { cx: x, cy: y, r: Math.max(7, (tree.trunk_m / 2) * view.scale) }), "timber"));
  },
  line: (view, line, spec) => {
    const shown = spec.colours[line.service] ?? WHITE;
    const draw = (stroke, width) => el("path", { d: d(view, line.points), fill: "none", stroke, "stroke-width": width, "stroke-linejoin": "round" });
    return el("g", {}, draw(INK, 6), draw(shown, 3.5));
  },
  hole: (view, hole) => textured(el("path", { d: d(view, hole.points, "Z") }), "neutral"),
};

// Beside a marked line hand tools alone go in: the ground round it, below everything that is put there.
function tools(view, line, spec) {
  const wide = 2 * (line.width_m || spec.band) * view.scale;
  return el("path", { d: d(view, line.points), class: "hand-tools", "stroke-width": wide });
}

function mark(view, thing) {
  const [x, y] = view.at([thing.x, thing.y]);
  const textures = { tap: "water", heap: "chip", downspout: "hard" };
  return textured(el("path", { d: `M${x} ${y + 9}L${x - 9} ${y - 7}L${x + 9} ${y - 7}Z` }), textures[thing.kind] ?? "neutral");
}

const around = ([x, y]) => [[x, y - 18], [x, y + 20], [x + 46, y], [x - 46, y], [x + 40, y - 18], [x - 40, y - 18], [x + 40, y + 20], [x - 40, y + 20], [x, y - 34], [x, y + 36]];

// What a mark, a tree or a marked line is called, where there is room for the word.
function names(view, found, spec, room) {
  const out = [];
  for (const [, kind, thing] of found) {
    if (!MARKS.has(kind) && kind !== "tree" && kind !== "line") continue;
    const words = ((kind === "line" && spec.services[thing.service]) || spec.kinds[kind].words).replace(/ \(.*\)$/, ""); // the colour is seen
    const spots = kind === "line"
      ? thing.points.slice(1).flatMap((end, n) => [0.5, 0.3, 0.7, 0.15, 0.85].flatMap((share) => around(view.at(thing.points[n].map((v, axis) => v + (end[axis] - v) * share)))))
      : around(view.at([thing.x, thing.y]));
    if (kind === "tree" && !isIn(view, view.at([thing.x, thing.y]))) continue;
    out.push(text(...room.put(words, spots), words, { class: "small-words" }));
  }
  return out;
}

const isIn = (view, [x, y]) => x >= 0 && y >= 0 && x <= view.width && y <= view.height;

// 1 for corners that run anticlockwise, -1 for clockwise.
const way = (points) => Math.sign(signedArea(points)) || -1;

function ground(view, patch, spec) {
  const out = [];
  if (patch.circle) {
    const [x, y] = view.at([patch.circle.x, patch.circle.y]);
    out.push(textured(el("circle", { cx: x, cy: y, r: (patch.circle.diameter / 2) * view.scale }), "lawn"));
    return out;
  }
  const points = outline(patch);
  if (points.length < 3) return out;
  const turn = -way(points); // on the screen y runs down
  out.push(textured(el("path", { d: d(view, points, "Z") }), "lawn", ""));
  patch.corners.forEach((corner, n) => {
    const next = patch.corners[(n + 1) % patch.corners.length];
    const [[ax, ay], [bx, by]] = [view.at([corner.x, corner.y]), view.at([next.x, next.y])];
    const long = Math.hypot(bx - ax, by - ay) || 1;
    const [ox, oy] = [((by - ay) / long) * turn, (-(bx - ax) / long) * turn]; // away from the lawn
    const beyond = el("path", { d: `M${ax} ${ay}L${bx} ${by}L${bx + ox * 10} ${by + oy * 10}L${ax + ox * 10} ${ay + oy * 10}Z` });
    if (corner.beyond === "house") beyond.setAttribute("fill", HOUSE);
    else if (corner.beyond !== "open") textured(beyond, spec.textures[corner.beyond] ?? "neutral", "");
    if (corner.beyond !== "open") out.push(beyond);
    out.push(el("path", { d: `M${ax} ${ay}L${bx} ${by}`, stroke: INK, "stroke-width": 2, "stroke-dasharray": corner.beyond === "open" ? "7 5" : "none" }));
  });
  return out;
}

// The length of each stretch, along it and off to its left; where another one stands there, on its other side.
function lengths(view, points, say, room) {
  const out = [];
  for (const [n, end] of points.slice(1).entries()) {
    const [start, [ax, ay], [bx, by]] = [points[n], view.at(points[n]), view.at(end)];
    const long = Math.hypot(bx - ax, by - ay);
    if (long <= 34) continue;
    const [ux, uy] = [(bx - ax) / long, (by - ay) / long];
    const spot = (share, off) => [ax + (bx - ax) * share + uy * off, ay + (by - ay) * share - ux * off];
    const spots = [[0.5, 22], [0.5, -20], [0.3, 22], [0.7, 22], [0.3, -20], [0.7, -20]].map((one) => spot(...one));
    const words = say(Math.hypot(end[0] - start[0], end[1] - start[1]));
    let angle = (Math.atan2(by - ay, bx - ax) * 180) / Math.PI;
    if (angle > 90 || angle <= -90) angle += 180;
    const [x, y] = room.put(words, spots, angle);
    out.push(text(x, y, words, { transform: `rotate(${angle} ${x} ${y})`, class: "tape" }));
  }
  return out;
}

function squares(view, units) {
  const one = units === "imperial" ? FOOT : 1;
  const many = [1, 5, 10, 50, 100].find((n) => n * one * view.scale >= 18) ?? 500;
  const step = many * one;
  const [left, high] = view.from([0, 0]);
  const [right, low] = view.from([view.width, view.height]);
  let path = "";
  for (let x = Math.ceil(left / step) * step; x <= right; x += step) path += `M${view.at([x, 0])[0].toFixed(1)} 0v${view.height}`;
  for (let y = Math.ceil(low / step) * step; y <= high; y += step) path += `M0 ${view.at([0, y])[1].toFixed(1)}h${view.width}`;
  const [x, y] = view.at([0, 0]);
  const [foot, wide] = [view.height - 10, step * view.scale];
  return [el("path", { d: path, class: "squares" }), el("path", { d: `M${x - 20} ${y}h40M${x} ${y - 20}v40`, stroke: INK, "stroke-width": 2 }),
    el("path", { d: `M8 ${foot - 5}v5h${wide}v-5`, fill: "none", stroke: INK, "stroke-width": 2 }),
    text(14 + wide, foot - 3, `${many} ${units === "imperial" ? "ft" : "m"}`, { class: "small-words", "text-anchor": "start" })];
}

function north(view, degrees) {
  const [x, y] = view.north;
  const way = (degrees * Math.PI) / 180;
  return el("g", { "aria-hidden": "true" },
    el("path", { d: `M${x} ${y - 16}l7 28l-7 -6l-7 6Z`, fill: INK, transform: `rotate(${degrees} ${x} ${y})` }),
    text(x + 24 * Math.sin(way), y - 24 * Math.cos(way), "N", { class: "small-words" }));
}

function handle(view, one, chosen) {
  const [x, y] = view.at(one.at);
  const is = one.path === chosen;
  if (one.wrong) one.said += `. ${one.wrong}`;
  const node = el("g", { class: `hold${is ? " now" : ""}`, "data-hold": one.path, tabindex: 0, role: "button", "aria-label": one.said, "aria-pressed": is });
  node.append(el("circle", { cx: x, cy: y, r: TOUCH, fill: "transparent" }));
  if (one.wrong) node.append(el("circle", { cx: x, cy: y, r: 15, fill: "none", stroke: WRONG, "stroke-width": 4, class: "wrong" }));
  if (one.kind === "corner") node.append(el("circle", { cx: x, cy: y, r: 8, class: "dot" }), text(x + (one.out?.[0] ?? 0) * 17, y + (one.out?.[1] ?? -1) * 17, one.letter, { class: "letter" }));
  else if (CLEAR.has(one.kind)) node.append(el("circle", { cx: x, cy: y, r: 12, class: "dot clear" }));
  else if (one.kind === "end") node.append(el("path", { d: `M${x - 6} ${y}h12M${x} ${y - 6}v12`, class: "dot cross" }));
  else node.append(el("circle", { cx: x, cy: y, r: 6, class: "dot" }));
  return node;
}

function cornersOut(patch) {
  const points = outline(patch);
  const turn = way(points);
  return points.map(([x, y], n) => {
    const [a, b] = [points.at(n - 1), points[(n + 1) % points.length]];
    const away = ([ux, uy], [vx, vy]) => { const long = Math.hypot(vx - ux, vy - uy) || 1; return [((vy - uy) / long) * turn, (-(vx - ux) / long) * turn]; };
    const [[px, py], [qx, qy]] = [away(a, [x, y]), away([x, y], b)];
    const isInward = (px * qy - py * qx) * turn < -1e-9; // two lengths stand in that crook already: the letter goes inside
    const long = (Math.hypot(px + qx, py + qy) || 1) * (isInward ? -1 : 1);
    return [(px + qx) / long, -(py + qy) / long];
  });
}

// No word over a point that can be taken hold of, over its letter, or over the north arrow.
function keepFree(view, room, handles, { north_deg }) {
  for (const { at, out, letter } of handles) {
    const [x, y] = view.at(at);
    room.take(x, y, 10, 10, 4);
    if (letter) room.take(x + (out?.[0] ?? 0) * 17, y + (out?.[1] ?? -1) * 17, 8);
  }
  if (north_deg !== null && north_deg !== undefined) room.take(...view.north, 34);
}

// Everything into one <svg>. state: {site, number, view, handles, chosen, taps, cross}.
export function draw(svg, { site, number, view, handles, chosen, taps, cross, spec, say }) {
  svg.setAttribute("viewBox", `0 0 ${view.width} ${view.height}`);
  const parts = squares(view, spec.units);
  const patch = site.patches[number];
  const room = new Room(view.width, view.height);
  if (patch) {
    const out = cornersOut(patch);
    handles.filter(({ kind }) => kind === "corner").forEach((one, n) => { one.out = out[n]; one.letter = patch.corners[n].id; });
    const found = things(site, number);
    keepFree(view, room, handles, site);
    parts.push(...ground(view, patch, spec));
    for (const [, kind, thing] of found) if (kind === "line" && !spec.noBand.includes(thing.service)) parts.push(tools(view, thing, spec));
    for (const kind of ["hole", "mounded", "along", "framed", "pocket", "tree", "line"]) {
      for (const [path, k, thing] of found) if (k === kind) parts.push(el("g", { "data-thing": path }, DRAWERS[kind](view, thing, spec)));
    }
    for (const [path, k, thing] of found) if (MARKS.has(k)) parts.push(el("g", { "data-thing": path }, mark(view, thing)));
    const points = outline(patch);
    if (points.length > 2) parts.push(...lengths(view, way(points) > 0 ? [...points, points[0]].reverse() : [...points, points[0]], say, room));
    parts.push(...names(view, found, spec, room));
  }
  if (site.north_deg !== null && site.north_deg !== undefined) parts.push(north(view, site.north_deg));
  if (taps.length) {
    parts.push(el("path", { d: d(view, taps), fill: "none", stroke: INK, "stroke-width": 2, "stroke-dasharray": "5 4" }));
    for (const point of taps) { const [x, y] = view.at(point); parts.push(el("circle", { cx: x, cy: y, r: 6, class: "dot" })); }
    parts.push(...lengths(view, taps, say, room));
  }
  parts.push(...handles.map((one) => handle(view, one, chosen)));
  if (cross) { const [x, y] = view.at(cross); parts.push(el("path", { d: `M${x - 16} ${y}h32M${x} ${y - 16}v32`, class: "cross-hair" })); }
  const held = document.activeElement?.dataset?.hold;
  svg.replaceChildren(...parts);
  if (held) (svg.querySelector(`[data-hold="${CSS.escape(held)}"]`) ?? svg).focus({ preventScroll: true });
}
