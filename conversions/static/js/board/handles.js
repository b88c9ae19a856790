// The handles of what is drawn: points that can be taken hold of. A handle: {path, name, at: [x, y], to([x, y])},
// path being the place of its point; `to` moves it and what hangs on it.
import { round, things } from "./site.js";

const LEAST = 0.2; // metres: a bed or a circle is not dragged smaller

function along(bed, far) {
  const turn = ((bed.turn_deg ?? 0) * Math.PI) / 180;
  const half = (far * bed.length_m) / 2;
  return [bed.x + half * Math.cos(turn), bed.y + half * Math.sin(turn)];
}

// One end is dragged and the other one stays where it is; near to level, upright or a slant of 45 degrees it snaps.
function drawEnd(bed, [x, y], isFine) {
  const [fx, fy] = along(bed, -1);
  let turn = (Math.atan2(y - fy, x - fx) * 180) / Math.PI;
  const near = Math.round(turn / 45) * 45;
  if (!isFine && Math.abs(turn - near) < 4) turn = near;
  const exact = Math.hypot(x - fx, y - fy);
  const long = Math.max(LEAST, isFine ? exact : Math.round(exact * 20) / 20);
  const way = (turn * Math.PI) / 180;
  bed.length_m = round(long);
  bed.turn_deg = Math.round(turn * 10) / 10;
  bed.x = round(fx + (long / 2) * Math.cos(way));
  bed.y = round(fy + (long / 2) * Math.sin(way));
}

// The middle of the longest stretch, where no point of the line is.
function middleOf(points) {
  const long = (n) => Math.hypot(points[n + 1][0] - points[n][0], points[n + 1][1] - points[n][1]);
  const n = points.slice(1).reduce((best, _, i) => (long(i) > long(best) ? i : best), 0);
  return points[n].map((value, axis) => (value + points[n + 1][axis]) / 2);
}

function shift(thing, key, [dx, dy]) {
  thing[key] = thing[key].map(([x, y]) => [round(x + dx), round(y + dy)]);
}

export function handles(site, number, spec, nameOf) {
  const out = [];
  const words = spec.words;
  const move = (thing) => ([x, y]) => { thing.x = x; thing.y = y; };
  for (const [path, kind, thing] of things(site, number)) {
    const name = nameOf(path, kind, thing);
    const key = spec.kinds[kind]?.points;
    if (key) {
      thing[key].forEach((point, n) => out.push({
        path: `${path}.${key}.${n}`, thing: path, kind, name: `${name}, ${words.point.replace("{x}", n + 1)}`, at: point,
        to: (spot) => { thing[key][n] = spot; },
      }));
      const middle = middleOf(thing[key]);
      if (kind === "along") out.push({ path, thing: path, kind, name, at: middle.map(round), whole: true, to: ([x, y]) => shift(thing, key, [x - middle[0], y - middle[1]]) });
    } else if (thing.x !== undefined) {
      out.push({ path, thing: path, kind, name, at: [thing.x, thing.y], to: move(thing) });
      if (kind === "mounded" || kind === "framed") {
        out.push({ path: `${path}.end`, thing: path, kind: "end", name: `${name}, ${words.end}`, at: along(thing, 1), free: true, to: (spot, isFine) => drawEnd(thing, spot, isFine) });
      }
      if (kind === "circle") {
        out.push({
          path: `${path}.rim`, thing: path, kind: "end", name: `${name}, ${words.rim}`, at: [thing.x + thing.diameter / 2, thing.y],
          to: ([x, y]) => { thing.diameter = Math.max(LEAST, round(2 * Math.hypot(x - thing.x, y - thing.y))); },
        });
      }
    }
  }
  return out;
}
