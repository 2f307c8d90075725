// The plan: the cut sheet with the tool's way over it. What stands still is kept as pictures (a scene) that a new
// view replaces when it is ready; only the done part, the tool and the marks are drawn again for each frame.

const BUDGET = 5; // ms of a frame spent on drawing on
const REST = 90; // ms without a change before a new view is drawn sharp
const MOST_PIXELS = 3e6; // of a kept picture
const WANTED_DASH = [6, 3];
const OVER = 9; // the pen of what is fed over the sheet, after rapids and eight tools
const TOUCHING = 0.001; // mm; not over the sheet

/** Two pictures of one view: the sheet under all its moves, and the moves done. */
class Scene {
  constructor(plan) {
    const { route, from, to, view, density } = plan;
    const ink = (i) => plan.inkOf(i);
    this.view = view;
    this.density = density;
    this.all = new Strokes(route, from, to, view, density, ink, plan.pens.ahead);
    this.done = new Strokes(route, from, to, view, density, ink, plan.pens.done);
    this.all.every = Infinity; // it only ever goes forward
    this.to = to;
    plan.drawGround(this.all.pen, view);
  }

  /** Draws on; whether it is complete with everything before move `reached` done. */
  grow(reached, deadline) {
    return this.all.reach(this.to, deadline) && this.done.reach(reached, deadline);
  }
}

class Plan {
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d", { alpha: false });
    this.changed = 0;
    this.marks = { chosen: null, measure: [], snap: null };
  }

  /** Nothing but the ground, while the sheet is still being unpacked: a canvas is black until something is drawn. */
  blank(colour) {
    this.pen.fillStyle = colour;
    this.pen.fillRect(0, 0, this.canvas.width, this.canvas.height);
  }

  /** Another sheet, program or choice of layers. `layers`: rapid, over, hiddenTools (a set of numbers), wanted, excess. */
  show(sheet, route, from, to, layers, colours, { keepView = false } = {}) {
    Object.assign(this, { sheet, route, from, to, layers, colours });
    this.unit = new Unit(sheet.inches);
    this.images = { depth: depthImage(sheet.depth, sheet.thickness, colours) };
    if (sheet.excess) this.images.excess = excessImage(sheet.excess, colours);
    this.resize();
    if (!keepView) this.look(View.whole(this.view.width, this.view.height, sheet));
    this.renew();
  }

  setPens() {
    const order = this.sheet.tools.map((tool) => tool.number);
    this.penOf = new Int8Array(256).fill(1);
    order.forEach((number, i) => (this.penOf[number] = 1 + (i % 8)));
    const pen = (colour, width, dash = []) => ({ colour, width, dash });
    const { tools, rapid, quiet } = this.colours;
    const thin = 1 / this.density; // lines of one pixel are drawn ten times as fast as wider ones
    this.pens = {
      ahead: [pen(rapid + "a0", thin, [3, 4]), ...tools.map((colour) => pen(colour + "50", thin)), pen(quiet + "80", thin)],
      done: [pen(rapid, thin, [3, 4]), ...tools.map((colour) => pen(colour, thin)), pen(quiet, thin)],
    };
  }

  colourOf(tool) {
    return this.colours.tools[this.penOf[tool] - 1];
  }

  inkOf(i) {
    if (this.route.step[i] === RAPID) return this.layers.rapid ? 0 : -1;
    if (this.overSheet(i)) return this.layers.over ? OVER : -1;
    const tool = this.route.tool[i];
    return this.layers.hiddenTools.has(tool) ? -1 : this.penOf[tool];
  }

  /** Whether the tool is fed over the sheet all along, as it is where it only shows its way. */
  overSheet(i) {
    const { z } = this.route;
    return Math.min(z[i], z[i - 1]) > this.sheet.top + TOUCHING;
  }

  resize() {
    const box = this.canvas.getBoundingClientRect();
    const width = Math.max(50, Math.round(box.width)), height = Math.max(50, Math.round(box.height));
    this.density = Math.min(window.devicePixelRatio || 1, Math.sqrt(MOST_PIXELS / (width * height)));
    this.canvas.width = Math.round(width * this.density);
    this.canvas.height = Math.round(height * this.density);
    this.setPens();
    this.look((this.view ?? new View(width, height, 1, 0, 0)).sized(width, height));
  }

  look(view) {
    this.view = view;
    this.next = null;
    this.changed = performance.now();
  }

  /** Layers, colours or moves are others: the picture that stands is no longer true. */
  renew() {
    this.scene = this.next = null;
    this.changed = -Infinity;
  }

  drawGround(pen, view) {
    const { colours, sheet, images } = this;
    pen.fillStyle = colours.ground;
    pen.fillRect(0, 0, view.width, view.height);
    this.drawMap(pen, view, images.depth, sheet.depth);
    if (this.layers.excess && images.excess) this.drawMap(pen, view, images.excess, sheet.excess);
    const [across, up] = sheet.size, [left, low] = sheet.corner;
    pen.strokeStyle = colours.ink;
    pen.lineWidth = 1.2;
    pen.strokeRect(view.right(left), view.down(low + up), across * view.scale, up * view.scale);
    if (this.layers.wanted) this.drawOutlines(pen, view);
  }

  drawMap(pen, view, image, map) {
    const width = map.columns * map.cell * view.scale, height = map.rows * map.cell * view.scale;
    pen.imageSmoothingEnabled = map.cell * view.scale < 2;
    pen.imageSmoothingQuality = "medium";
    pen.drawImage(image, view.right(map.origin[0]), view.down(map.origin[1]) - height, width, height);
  }

  drawOutlines(pen, view) {
    pen.save();
    for (const ring of this.sheet.outlines) {
      const tab = ring.kind === "tab";
      pen.strokeStyle = tab ? this.colours.ink : this.colours.wanted;
      pen.lineWidth = tab ? 4 : ring.kind === "piece" ? 1.6 : 1;
      pen.setLineDash(ring.kind === "recess" || ring.kind === "mark" ? WANTED_DASH : []);
      pen.beginPath();
      for (let i = 0; i < ring.x.length; i++) pen.lineTo(view.right(ring.x[i]), view.down(ring.y[i]));
      pen.stroke();
    }
    pen.restore();
  }

  /** One frame: `move` is under way and `share` of it done. Whether anything is still to be drawn sharper. */
  frame(move, share, now) {
    const deadline = performance.now() + BUDGET;
    if (!this.scene) this.next ??= this.scene = new Scene(this);
    const stale = !this.scene.view.same(this.view) || this.scene.density !== this.density;
    if (stale && !this.next && now - this.changed > REST) this.next = new Scene(this);
    if (this.next?.grow(move, deadline)) {
      this.scene = this.next;
      this.next = null;
    } else if (!this.next) {
      this.scene.grow(move, deadline);
    }
    this.compose(move, share);
    return stale || this.next !== null || this.scene.done.drawn !== move;
  }

  /** Everything at once, however long it takes: for paper. */
  settle(move, share) {
    this.scene = new Scene(this);
    this.next = null;
    this.scene.grow(move, Infinity);
    this.compose(move, share);
  }

  compose(move, share) {
    const { pen, view, scene } = this;
    pen.setTransform(this.density, 0, 0, this.density, 0, 0);
    pen.fillStyle = this.colours.ground;
    pen.fillRect(0, 0, view.width, view.height);
    const times = view.scale / scene.view.scale;
    const corner = scene.view.place(0, 0);
    const box = [view.right(corner.x), view.down(corner.y), scene.view.width * times, scene.view.height * times];
    pen.imageSmoothingEnabled = false; // a picture on its way to another view is drawn quickly rather than finely
    pen.drawImage(scene.all.canvas, ...box);
    pen.drawImage(scene.done.canvas, ...box);
    this.drawUnderWay(move, share);
    this.drawFindings();
    this.drawMeasure();
    this.drawRule();
  }

  drawUnderWay(move, share) {
    const { pen, view, route } = this;
    const at = route.place(move, share);
    const ink = this.route.step[move] === JUMP || move === 0 ? -1 : this.inkOf(move);
    if (ink >= 0) {
      const style = this.pens.done[ink];
      const right = view.right(route.x[move - 1]), down = view.down(route.y[move - 1]);
      Object.assign(pen, { strokeStyle: style.colour, lineWidth: style.width });
      pen.beginPath();
      pen.moveTo(right, down);
      if (route.step[move] === ARC) strokeArc(pen, route, move, view, right, down, share);
      else pen.lineTo(view.right(at.x), view.down(at.y));
      pen.stroke();
    }
    this.drawTool(at, route.tool[move]);
  }

  drawTool(at, number) {
    const { pen, view } = this;
    const diameter = this.sheet.tools.find((tool) => tool.number === number)?.diameter ?? 0;
    const right = view.right(at.x), down = view.down(at.y);
    const radius = Math.max(5, (diameter / 2) * view.scale);
    const below = at.z < this.sheet.top;
    pen.lineWidth = 2;
    pen.strokeStyle = this.colours.tool;
    pen.fillStyle = this.colours.tool + (below ? "a0" : "20");
    pen.beginPath();
    pen.arc(right, down, radius, 0, 2 * Math.PI);
    pen.fill();
    pen.stroke();
    pen.beginPath();
    for (const [x, y] of [[1, 0], [-1, 0], [0, 1], [0, -1]]) {
      pen.moveTo(right + x * (radius + 2), down + y * (radius + 2));
      pen.lineTo(right + x * (radius + 9), down + y * (radius + 9));
    }
    pen.stroke();
  }

  /** Safety: a triangle; error: a square; remark: a ring. */
  drawFindings() {
    const { pen, view, colours, marks } = this;
    for (const finding of this.sheet.findings) {
      if (finding.x === null || finding.y === null) continue;
      const right = view.right(finding.x), down = view.down(finding.y);
      const size = finding === marks.chosen ? 11 : 7;
      pen.beginPath();
      if (finding.severity === "remark") pen.arc(right, down, size, 0, 2 * Math.PI);
      else if (finding.severity === "error") pen.rect(right - size, down - size, 2 * size, 2 * size);
      else {
        pen.moveTo(right, down - size * 1.2);
        pen.lineTo(right + size * 1.1, down + size * 0.8);
        pen.lineTo(right - size * 1.1, down + size * 0.8);
        pen.closePath();
      }
      pen.strokeStyle = colours.ground;
      pen.lineWidth = 5;
      pen.stroke();
      pen.strokeStyle = colours[finding.severity];
      pen.lineWidth = finding === marks.chosen ? 3 : 2;
      pen.stroke();
    }
  }

  drawMeasure() {
    const { pen, view, colours, marks } = this;
    const ends = marks.snap && marks.measure.length < 2 ? [...marks.measure, marks.snap] : marks.measure;
    if (!ends.length) return;
    pen.strokeStyle = pen.fillStyle = colours.measure;
    pen.lineWidth = 1.5;
    pen.beginPath();
    ends.forEach((end) => pen.lineTo(view.right(end.x), view.down(end.y)));
    pen.stroke();
    for (const end of ends) pen.fillRect(view.right(end.x) - 3, view.down(end.y) - 3, 6, 6);
    if (ends.length < 2) return;
    const text = this.unit.told(apart(...ends), 2);
    this.drawLabel(text, view.right((ends[0].x + ends[1].x) / 2), view.down((ends[0].y + ends[1].y) / 2));
  }

  drawLabel(text, right, down) {
    const { pen, colours } = this;
    pen.font = "600 13px system-ui, sans-serif";
    const width = pen.measureText(text).width + 12;
    pen.fillStyle = colours.ground;
    pen.fillRect(right - width / 2, down - 26, width, 20);
    pen.fillStyle = colours.measure;
    pen.textAlign = "center";
    pen.fillText(text, right, down - 11);
  }

  /** A rule in the lower left corner, of a round length. */
  drawRule() {
    const { pen, view, colours, unit } = this;
    const most = 140 / view.scale / unit.size;
    const ten = 10 ** Math.floor(Math.log10(most));
    const length = [5, 2, 1].map((times) => times * ten).find((value) => value <= most);
    const down = view.height - 14, right = 14 + length * unit.size * view.scale;
    pen.font = "12px system-ui, sans-serif";
    const text = `${length} ${unit.name}`;
    pen.fillStyle = colours.ground + "d0";
    pen.fillRect(8, down - 10, right + pen.measureText(text).width + 10, 20);
    pen.strokeStyle = pen.fillStyle = colours.ink;
    pen.lineWidth = 1.5;
    pen.beginPath();
    for (const [x, y] of [[14, down - 5], [14, down], [right, down], [right, down - 5]]) pen.lineTo(x, y);
    pen.stroke();
    pen.textAlign = "left";
    pen.fillText(text, right + 8, down + 4);
  }

  /** The end of a move or the corner of an outline within 8 pixels of a place, else the place itself. */
  snapped(place) {
    let best = place, least = (8 / this.view.scale) ** 2;
    const look = (x, y) => {
      const d = (x - place.x) ** 2 + (y - place.y) ** 2;
      if (d < least) [best, least] = [{ x, y }, d];
    };
    if (this.layers.wanted) for (const ring of this.sheet.outlines) ring.x.forEach((x, i) => look(x, ring.y[i]));
    for (let i = this.from; i < this.to; i++) if (this.inkOf(i) >= 0) look(this.route.x[i], this.route.y[i]);
    return best;
  }
}

function apart(one, other) {
  return Math.hypot(other.x - one.x, other.y - one.y);
}
