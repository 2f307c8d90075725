// All moves of a sheet's programs, one after another, and where the tool is at each moment.

const RAPID = 0, ARC = 2, JUMP = 3;

/** First index of the sorted values that is not below `wanted`. */
function firstNotBelow(values, wanted, from = 0, to = values.length) {
  let low = from, high = to;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (values[middle] < wanted) low = middle + 1;
    else high = middle;
  }
  return low;
}

class Route {
  constructor(programs) {
    this.programs = programs;
    const counts = programs.map((program) => program.track.x.length);
    this.count = counts.reduce((sum, count) => sum + count, 0);
    const kinds = {
      x: Float32Array, y: Float32Array, z: Float32Array, step: Uint8Array, tool: Uint8Array,
      line: Int32Array, feed: Float32Array, rpm: Float32Array, seconds: Float32Array,
    };
    for (const [name, Kind] of Object.entries(kinds)) this[name] = new Kind(this.count);
    this.arc = { x: new Float32Array(this.count), y: new Float32Array(this.count), sweep: new Float32Array(this.count) };
    this.first = []; // of each program
    let at = 0;
    for (const { track } of programs) {
      this.first.push(at);
      for (const name of Object.keys(kinds)) this[name].set(track[name], at);
      this.placeArcs(track, at);
      at += track.x.length;
    }
    this.first.push(at);
    this.until = new Float64Array(this.count); // seconds from the start to each move's end
    let time = 0;
    for (let i = 0; i < this.count; i++) this.until[i] = time += this.seconds[i];
  }

  placeArcs(track, at) {
    for (let i = 0, k = 0; i < track.step.length; i++) {
      if (track.step[i] !== ARC) continue;
      this.arc.x[at + i] = track.centreX[k];
      this.arc.y[at + i] = track.centreY[k];
      this.arc.sweep[at + i] = track.sweep[k++];
    }
  }

  programOf(i) {
    return Math.max(0, firstNotBelow(this.first, i + 1) - 1);
  }

  begin(i) {
    return i > 0 ? this.until[i - 1] : 0;
  }

  /** The move under way at a time, among moves from..to-1. */
  moveAt(time, from, to) {
    return Math.min(firstNotBelow(this.until, time, from, to), to - 1);
  }

  /** Where the tip is when `share` of move i is done. */
  place(i, share) {
    const p = i > 0 && this.step[i] !== JUMP ? i - 1 : i;
    const z = this.z[p] + (this.z[i] - this.z[p]) * share;
    if (this.step[i] !== ARC || share >= 1) {
      return { x: this.x[p] + (this.x[i] - this.x[p]) * share, y: this.y[p] + (this.y[i] - this.y[p]) * share, z };
    }
    const cx = this.arc.x[i], cy = this.arc.y[i];
    const angle = Math.atan2(this.y[p] - cy, this.x[p] - cx) + this.arc.sweep[i] * share;
    const radius = Math.hypot(this.x[p] - cx, this.y[p] - cy);
    return { x: cx + radius * Math.cos(angle), y: cy + radius * Math.sin(angle), z };
  }

  /** The first move made by a line of a program, or by the next line that moves. */
  moveOfLine(program, line) {
    const from = this.first[program], to = this.first[program + 1];
    const i = firstNotBelow(this.line, line, from, to);
    return Math.min(this.line[i] === line && this.step[i] === JUMP && this.line[i + 1] === line ? i + 1 : i, to - 1);
  }

  /** The move that ends nearest to a place, of those that `shown` lets through; null beyond `reach` mm. */
  nearest(x, y, reach, from, to, shown) {
    let best = null, least = reach * reach;
    for (let i = from + 1; i < to; i++) {
      if (this.step[i] === JUMP) continue;
      const d = this.distance(i, x, y);
      if (d < least && shown(i)) {
        least = d;
        best = i;
      }
    }
    return best;
  }

  /** Squared distance from a place to a move, an arc taken by its ends and middle. */
  distance(i, x, y) {
    if (this.step[i] === ARC) {
      const middle = this.place(i, 0.5);
      const off = Math.hypot(x - this.arc.x[i], y - this.arc.y[i]) - Math.hypot(middle.x - this.arc.x[i], middle.y - this.arc.y[i]);
      const chord = Math.hypot(middle.x - this.x[i], middle.y - this.y[i]);
      return Math.hypot(x - middle.x, y - middle.y) <= chord ? off * off : Infinity;
    }
    const ax = this.x[i - 1], ay = this.y[i - 1], dx = this.x[i] - ax, dy = this.y[i] - ay;
    const length = dx * dx + dy * dy;
    const share = length > 0 ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / length)) : 0;
    return (x - ax - share * dx) ** 2 + (y - ay - share * dy) ** 2;
  }
}
