// Area and edge of a walked shape, worked out on the phone alone; the server works it out again and has the last word.
import { feetInches, readLength } from "./lengths.js";

const FT2 = 0.09290304; // m² in a square foot, exactly

// Above nothing for corners that run anticlockwise, where y runs up.
export const signedArea = (points) => points.reduce((sum, [x, y], n) => {
  const [u, v] = points[(n + 1) % points.length];
  return sum + x * v - u * y;
}, 0) / 2;

export const area = (points) => Math.abs(signedArea(points));

export const edge = (points) => points.reduce((sum, [x, y], n) => {
  const [u, v] = points[(n + 1) % points.length];
  return sum + Math.hypot(u - x, v - y);
}, 0);

// An L walked with the lawn on the right: six sides, five corners turn right and one left; of the sides that run the
// same way one may be blank. Returns its corners, or nothing while it does not close.
function walkL(sides, turns) {
  let way = 0; // quarter turns
  const ways = sides.map((_, n) => { if (n) way += turns[n - 1] === "left" ? -1 : 1; return ((way % 4) + 4) % 4; });
  for (const axis of [0, 1]) {
    const along = ways.map((w, n) => [w, n]).filter(([w]) => w % 2 === axis);
    const blank = along.filter(([, n]) => sides[n] === null);
    const sum = along.reduce((total, [w, n]) => total + (sides[n] ?? 0) * (w < 2 ? 1 : -1), 0);
    if (blank.length > 1) return null;
    if (blank.length === 1) sides[blank[0][1]] = -sum * (blank[0][0] < 2 ? 1 : -1);
    else if (Math.abs(sum) > 0.02) return null;
  }
  if (sides.some((side) => !(side > 0))) return null;
  let [x, y] = [0, 0];
  return ways.map((w, n) => {
    const corner = [x, y];
    x += [1, 0, -1, 0][w] * sides[n];
    y += [0, -1, 0, 1][w] * sides[n];
    return corner;
  });
}

// {m2, m} of a form with shape, length_… and turn_… fields, or null while something is missing or does not close.
export function measured(form) {
  const of = (name) => {
    const field = form.querySelector(`[name="length_${name}"]`);
    return field?.value.trim() ? readLength(field.value, field.dataset.length) : null;
  };
  const shape = form.querySelector("[name=shape]").value;
  if (shape === "circle") {
    const across = of("across");
    return across > 0 ? { m2: (Math.PI * across ** 2) / 4, m: Math.PI * across } : null;
  }
  let points = null;
  if (shape === "rectangle") {
    const [a, b] = [of("A"), of("B")];
    if (a > 0 && b > 0) points = [[0, 0], [a, 0], [a, b], [0, b]];
  } else if (shape === "triangle") {
    const [a, b, c] = [of("A"), of("B"), of("C")];
    if (a > 0 && b > 0 && c > 0 && a < b + c && b < a + c && c < a + b) {
      const x = (a * a + c * c - b * b) / (2 * a);
      points = [[0, 0], [a, 0], [x, Math.sqrt(c * c - x * x)]];
    }
  } else if (shape === "trapezium") {
    const [a, c, apart, off] = [of("A"), of("C"), of("distance"), of("offset") ?? 0];
    if (a > 0 && c > 0 && apart > 0) points = [[0, 0], [a, 0], [off + c, apart], [off, apart]];
  } else if (shape === "L") {
    const turns = [..."BCDEF"].map((corner) => form.querySelector(`[name="turn_${corner}"]:checked`)?.value);
    const sides = [..."ABCDEF"].map(of);
    if (!sides.some(Number.isNaN)) points = walkL(sides, turns);
  }
  return points && { m2: area(points), m: edge(points) };
}

const say = (value, digits) => value.toLocaleString(document.documentElement.lang, { minimumFractionDigits: digits, maximumFractionDigits: digits });

const both = (units, metric, imperial) => (units === "imperial" ? `${imperial} (${metric})` : `${metric} (${imperial})`);

export const areaWords = (m2, units = "metric") => both(units, `${say(m2, 1)} m²`, `${say(m2 / FT2, 0)} sq ft`);

export const lengthWords = (m, units = "metric") => both(units, `${say(m, 2)} m`, feetInches(m));

export const inWords = ({ m2, m }) => `${areaWords(m2)}, ${lengthWords(m)}`;
