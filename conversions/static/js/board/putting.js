// What the hand does on the board: puts things, takes hold of them, moves, turns and removes them.
import { Face } from "./face.js";
import { add, at, cornerAt, newPatch, outline, remove, round } from "./site.js";

const NEAR = 7; // pixels at which a corner falls into line with another one
const ON = 12; // pixels within which a point of a line is put onto another point
const AGAIN = new Set(["corner", "pocket"]); // put one after the other; after anything else the hand moves again

export class Putting extends Face {
  near(point, path) {
    const grid = (value) => round(Math.round(value / this.step.grid) * this.step.grid);
    const spot = point.map(grid);
    const isEdge = this.isNew || this.put === "corner" || path?.includes(".corners.");
    if (!isEdge) return spot;
    const others = [...this.taps, ...outline(this.patch ?? {}).filter((_, n) => path !== `patches.${this.number}.corners.${n}`)];
    return spot.map((value, axis) => {
      const off = others.map((other) => [Math.abs(other[axis] - point[axis]) * this.view.scale, other[axis]]).sort((a, b) => a[0] - b[0])[0];
      return off && off[0] < NEAR ? off[1] : value;
    });
  }

  // Of points so close that a finger covers several, the one nearest to its middle.
  nearest(pixel) {
    const off = ({ at: spot }) => { const [x, y] = this.view.at(spot); return Math.hypot(x - pixel[0], y - pixel[1]); };
    return this.grips.reduce((best, one) => (off(one) < off(best) ? one : best), this.grips[0])?.path;
  }

  grip(path) {
    this.held = path;
    this.chosen = path;
  }

  drag(pixel) {
    const one = this.grips.find(({ path }) => path === this.held);
    if (!one) return;
    const point = this.view.from(pixel);
    one.to(one.free ? point : this.near(point, one.path));
    this.redraw();
  }

  letGo(isMeant) {
    this.held = null;
    if (isMeant) this.changed();
    else this.site = this.past.site;
    this.show();
  }

  // A tap on a point: taken hold of; while something is put, it goes where the finger is, or onto the point itself.
  press(path, pixel) {
    const one = this.grips.find((grip) => grip.path === path);
    const isPutting = this.isNew || (this.put && !(this.put === "corner" && one?.kind === "corner"));
    if (!one || !isPutting || !(pixel || this.spec.kinds[this.put]?.points)) return this.choose(path);
    const [x, y] = this.view.at(one.at);
    const isOnIt = !pixel || Math.hypot(pixel[0] - x, pixel[1] - y) < ON;
    if (isOnIt && this.spec.kinds[this.put]?.points) return this.place([...one.at]);
    return this.place(this.near(this.view.from(pixel ?? [x, y])));
  }

  choose(path) {
    this.chosen = path;
    const one = this.grips.find((grip) => grip.path === path);
    if (one) {
      this.say(this.fill(this.spec.words.chosen, { name: one.name }));
      this.list.open(one.thing);
    }
    this.see(path);
  }

  // What is chosen comes into sight, however close the drawing is looked at.
  see(path) {
    if (this.isOutOfSight(path)) {
      this.chosen = path;
      this.middle = this.grips.find((grip) => grip.path === path).at;
      this.refit();
    }
    this.redraw();
  }

  isOutOfSight(path) {
    const one = this.grips.find((grip) => grip.path === path);
    return one && !one.turn && this.isClose && this.isOff(one.at);
  }

  leave() {
    if (this.taps.length) return this.undo(); // point by point, so that a slip of Escape loses one
    this.cross = null;
    this.pick("");
    this.choose("");
  }

  tap(pixel, thing) {
    if (this.put || this.isNew) return this.place(this.near(this.view.from(pixel)));
    const grip = this.grips.find((one) => one.path === thing) ?? this.grips.find((one) => one.thing === thing);
    this.choose(grip?.path ?? "");
  }

  pick(kind) {
    if (this.taps.length && this.taps.length >= this.few) this.done();
    if (!kind && this.isAnother && !this.taps.length) this.stay();
    this.put = kind;
    if (!this.isNew) this.taps = [];
    this.cross = null;
    document.querySelector(`[name=put][value="${kind}"]`).checked = true;
    const service = this.one("[data-service]");
    service.hidden = kind !== "line";
    if (kind === "line") service.scrollIntoView({ block: "nearest" }); // it opens below the row, and on a phone below the fold
    if (kind) this.say(this.isNew ? this.spec.words.first : this.spec.words[kind === "north" ? "north" : "put"]);
    this.redraw();
  }

  sayTaps() {
    const { first, put, point1, points } = this.spec.words;
    const none = this.isNew ? first : put;
    this.say([none, point1][this.taps.length] ?? this.fill(points, { n: this.taps.length }));
  }

  // No further patch after all.
  stay() {
    this.isNew = false;
    this.said = "";
    this.refit();
    this.show();
  }

  place(point) {
    const hasPoints = this.isNew || this.spec.kinds[this.put].points;
    if (hasPoints) {
      this.taps.push(point);
      this.sayTaps();
      if (this.isOff(point)) this.refit();
      return this.redraw();
    }
    if (this.put === "corner" && this.patch.circle) return this.say(this.spec.words.round);
    if (this.put === "north") {
      this.pointNorth(point, this.view.from([this.view.width / 2, this.view.height / 2]));
      this.chosen = "north_deg";
      return this.placed();
    }
    this.chosen = this.put === "corner" ? cornerAt(this.site, this.number, point) : add(this.site, this.number, this.put, this.spec, [point]);
    return this.placed();
  }

  placed() {
    if (!AGAIN.has(this.put)) this.pick("");
    this.changed();
    this.list.open(this.grips.find(({ path }) => path === this.chosen)?.thing ?? this.chosen);
  }

  done() {
    const [points, kind] = [this.taps, this.put];
    this.taps = [];
    if (this.isNew) {
      this.isNew = false;
      newPatch(this.site, points);
      this.number = this.site.patches.length - 1;
      this.chosen = "";
    } else {
      this.chosen = add(this.site, this.number, kind, this.spec, points, kind === "line" ? { service: this.one("#service").value } : {});
    }
    this.cross = null;
    this.zoom = 1;
    this.refit();
    this.put = "";
    this.placed();
    this.svg.focus({ preventScroll: true });
  }

  another() {
    this.taps = [];
    this.leave();
    this.isNew = true;
    this.zoom = 1;
    this.refit();
    this.show();
    this.say(this.spec.words.first);
    this.redraw();
    this.svg.focus();
  }

  // Arrow keys move what they are on by a hand's width, with Shift by a stride; on the drawing itself, the cross.
  nudge(path, [dx, dy], isLarge) {
    const by = isLarge ? this.step.large : this.step.small;
    const one = this.grips.find((grip) => grip.path === path);
    if (one?.turn) {
      this.site.north_deg = (this.site.north_deg + (dx || -dy) * (isLarge ? 15 : 1) + 360) % 360;
      this.changed();
    } else if (one) {
      this.chosen = path;
      one.to([round(one.at[0] + dx * by), round(one.at[1] + dy * by)], true);
      this.changed();
      this.see(path);
    } else if (this.put || this.isNew) {
      const [x, y] = this.cross ?? this.near(this.view.from([this.view.width / 2, this.view.height / 2]));
      this.cross = this.cross ? [round(x + dx * by), round(y + dy * by)] : [x, y];
      this.say(this.fill(this.spec.words.cross, { x: this.length(this.cross[0]), y: this.length(this.cross[1]) }));
      if (this.isOff(this.cross)) { this.taps.push(this.cross); this.middle = this.cross; this.refit(); this.taps.pop(); }
      this.redraw();
    } else if (this.isClose) {
      const [x, y] = [this.view.width / 2, this.view.height / 2];
      this.slide([x, y], [x - dx * x / 4, y + dy * y / 4]);
    }
  }

  putCross() {
    if (this.cross && (this.put || this.isNew)) this.place(this.cross);
  }

  turn() {
    const bed = at(this.site, this.grips.find(({ path }) => path === this.chosen)?.thing ?? "");
    if (!bed?.length_m) return;
    bed.turn_deg = ((bed.turn_deg ?? 0) + 15) % 180;
    this.changed();
  }

  remove(path = this.chosen) {
    const place = typeof path === "string" && path ? path : this.chosen;
    const one = this.grips.find((grip) => grip.path === place);
    const name = one?.name ?? "";
    if (place === "north_deg") this.site.north_deg = null;
    else if (!place || !remove(this.site, place, this.spec)) return;
    this.chosen = "";
    this.list.forget(); // what could not be read would come to stand with another thing
    this.problems = {}; // places have shifted; they are told anew
    const isByButton = document.activeElement?.closest("[data-nudges]"); // which goes away with what was chosen
    this.changed(this.fill(this.spec.words.gone, { name }));
    if (isByButton) this.svg.focus({ preventScroll: true });
  }

  closer() { this.zoomBy(1.5); }

  wider() { this.zoomBy(1 / 1.5); }

  zoomBy(times) {
    const chosen = this.grips.find(({ path, turn }) => path === this.chosen && !turn);
    this.middle = chosen?.at ?? this.view.middle;
    this.zoomTo(this.zoom * times);
  }

  zoomTo(zoom) {
    this.zoom = Math.max(0.2, Math.min(12, zoom));
    this.refit();
    this.redraw();
  }

  // What lay under one spot of the frame comes to lie under another one, the drawing seen so many times closer.
  slide(from, to, times = 1) {
    const spot = this.view.from(from);
    this.zoomTo(this.zoom * times);
    const [x, y] = this.view.from(to);
    this.middle = [this.view.middle[0] + spot[0] - x, this.view.middle[1] + spot[1] - y];
    this.refit();
    this.redraw();
  }
}
