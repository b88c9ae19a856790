// Where words can stand on the drawing so that none lies on another one.

const WIDE = 0.66; // of a letter's height: about how wide a letter is; our own measure of the face the board is set in

export class Room {
  constructor(width, height) {
    Object.assign(this, { width, height, taken: [] });
  }

  // `weight`: how much worse than other words it is to lie on this.
  take(x, y, halfWide, halfHigh = halfWide, weight = 1) {
    this.taken.push([x - halfWide, y - halfHigh, x + halfWide, y + halfHigh, weight]);
  }

  // The first of these spots at which the words lie on nothing and within the frame; else the one with least below them.
  // `turn`: by how many degrees the words are turned.
  put(words, spots, turn = 0, size = 12) {
    const [wide, high] = [(words.length * size * WIDE) / 2 + 2, size / 2 + 2];
    const [cos, sin] = [Math.cos, Math.sin].map((of) => Math.abs(of((turn * Math.PI) / 180)));
    const half = [wide * cos + high * sin, wide * sin + high * cos];
    const best = spots.map((spot) => [this.covered(spot, half), spot]).reduce((a, b) => (b[0] < a[0] ? b : a));
    this.take(...best[1], ...half);
    return best[1];
  }

  covered([x, y], [halfWide, halfHigh]) {
    const [left, top, right, low] = [x - halfWide, y - halfHigh, x + halfWide, y + halfHigh];
    const over = ([a, b, c, d]) => Math.max(0, Math.min(right, c) - Math.max(left, a)) * Math.max(0, Math.min(low, d) - Math.max(top, b));
    const inside = over([0, 0, this.width, this.height]);
    return this.taken.reduce((sum, box) => sum + over(box) * box[4], (4 * halfWide * halfHigh - inside) * 3);
  }
}
