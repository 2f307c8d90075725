// Moves drawn as lines on a canvas, a bounded stretch at a time, so that no frame waits for a long program.

const STRETCH = 500; // moves drawn between two looks at the clock
const LEAST = 0.7; // pixels; shorter moves run together into one line
const KEPT = 8; // pictures of the done part that are kept, so that going back does not begin at the start
const WORTH_KEEPING = 12000; // moves that are drawn again faster than a picture is copied

function blankCanvas(width, height) {
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, width);
  canvas.height = Math.max(1, height);
  return canvas;
}

/** Draws moves from..to-1. `ink(i)` is the number of a move's pen in `pens`, or -1 where it is not shown. */
function strokeMoves(pen, route, from, to, view, ink, pens) {
  const { x, y, step } = route;
  let using = -1;
  let lastRight = NaN, lastDown = NaN;
  const finish = () => {
    if (using >= 0) pen.stroke();
  };
  for (let i = from; i < to; i++) {
    const wanted = step[i] === JUMP || i === 0 ? -1 : ink(i);
    if (wanted < 0) continue;
    const right = view.right(x[i]), down = view.down(y[i]);
    const fromRight = view.right(x[i - 1]), fromDown = view.down(y[i - 1]);
    if (step[i] !== ARC && offView(view, fromRight, fromDown, right, down)) continue;
    if (wanted !== using) {
      finish();
      using = wanted;
      pen.strokeStyle = pens[wanted].colour;
      pen.lineWidth = pens[wanted].width;
      pen.setLineDash(pens[wanted].dash);
      pen.beginPath();
      lastRight = NaN;
    }
    const near = Math.abs(right - lastRight) + Math.abs(down - lastDown) < LEAST;
    const turn = Math.abs(route.arc.sweep[i]);
    if (near && i + 1 < to && (step[i] !== ARC || turn < 3)) continue;
    if (!(Math.abs(fromRight - lastRight) + Math.abs(fromDown - lastDown) < 2 * LEAST)) pen.moveTo(fromRight, fromDown);
    if (step[i] === ARC) strokeArc(pen, route, i, view, fromRight, fromDown);
    else pen.lineTo(right, down);
    lastRight = right;
    lastDown = down;
  }
  finish();
}

function strokeArc(pen, route, i, view, fromRight, fromDown, share = 1) {
  const right = view.right(route.arc.x[i]), down = view.down(route.arc.y[i]);
  const radius = Math.hypot(fromRight - right, fromDown - down);
  const begin = Math.atan2(fromDown - down, fromRight - right);
  const sweep = route.arc.sweep[i] * share;
  pen.arc(right, down, radius, begin, begin - sweep, sweep > 0); // down is turned about, so the other way round
}

function offView(view, x0, y0, x1, y1) {
  return (x0 < 0 && x1 < 0) || (y0 < 0 && y1 < 0) || (x0 > view.width && x1 > view.width) || (y0 > view.height && y1 > view.height);
}

/** A canvas on which moves from `first` on are drawn up to where they are wanted. */
class Strokes {
  constructor(route, first, last, view, density, ink, pens) {
    Object.assign(this, { route, first, last, view, density, ink, pens });
    this.canvas = blankCanvas(Math.round(view.width * density), Math.round(view.height * density));
    this.pen = this.canvas.getContext("2d", { willReadFrequently: true });
    this.pen.scale(density, density);
    this.pen.lineJoin = "bevel";
    this.drawn = first;
    this.every = Math.max(WORTH_KEEPING, Math.ceil((last - first) / KEPT));
    this.kept = new Map();
  }

  /** Draws on until move `to` or the deadline; whether it got there. */
  reach(to, deadline) {
    if (to < this.drawn) this.back(to);
    while (this.drawn < to) {
      if (performance.now() > deadline) return false;
      const block = this.first + (Math.floor((this.drawn - this.first) / this.every) + 1) * this.every;
      const next = Math.min(to, block, this.drawn + STRETCH);
      strokeMoves(this.pen, this.route, this.drawn, next, this.view, this.ink, this.pens);
      this.pen.getImageData(0, 0, 1, 1); // else a browser only notes the lines, and draws them when it is too late
      this.drawn = next;
      if (next === block && !this.kept.has(block)) this.kept.set(block, this.copy());
    }
    return true;
  }

  back(to) {
    const block = this.first + Math.floor((to - this.first) / this.every) * this.every;
    const from = [...this.kept.keys()].filter((start) => start <= block).sort((a, b) => b - a)[0];
    this.pen.save();
    this.pen.resetTransform();
    this.pen.clearRect(0, 0, this.canvas.width, this.canvas.height);
    if (from !== undefined) this.pen.drawImage(this.kept.get(from), 0, 0);
    this.pen.restore();
    this.drawn = from ?? this.first;
  }

  copy() {
    const canvas = blankCanvas(this.canvas.width, this.canvas.height);
    canvas.getContext("2d", { willReadFrequently: true }).drawImage(this.canvas, 0, 0);
    return canvas;
  }
}
