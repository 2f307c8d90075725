// Triangles to pixels with a depth each, without a graphics card: which one is nearest, and what a cut lays open.

const LYING = 1e-9; // twice the area, px2, of a triangle that is seen on its edge

/** The nearest triangle at every pixel: its number, -1 for none; depth in mm towards the eye. */
class Raster {
  constructor() {
    this.size(1, 1);
  }

  size(width, height) {
    if (this.width === width && this.height === height) return;
    Object.assign(this, { width, height });
    this.depth = new Float32Array(width * height);
    this.nearest = new Int32Array(width * height);
  }

  /**
   * `camera`: right, up, towards (unit vectors), scale (px a mm), middle (px). `moved`: three mm a solid; `hidden`: one
   * flag a solid. `cut`: null, or axis, at, keep (1 keeps what lies above `at`, -1 what lies below), before any move;
   * triangles from number `whole` on are its faces.
   */
  draw({ solids, triangles }, camera, moved, hidden, cut) {
    this.depth.fill(-Infinity);
    this.nearest.fill(-1);
    const { right, up, towards, scale, middle } = camera;
    const { at, normal, owner, count, whole } = triangles;
    const x = [0, 0, 0], y = [0, 0, 0], d = [0, 0, 0], c = [0, 0, 0];
    for (let t = 0; t < count; t++) {
      const solid = owner[t];
      if (hidden[solid]) continue;
      const state = cut && t < whole ? cutState(solids[solid], cut) : "whole";
      if (state === "gone") continue;
      const n = 3 * t;
      const facing = normal[n] * towards[0] + normal[n + 1] * towards[1] + normal[n + 2] * towards[2];
      if (facing <= 0) continue;
      for (let k = 0; k < 3; k++) {
        const p = 9 * t + 3 * k, m = 3 * solid;
        const px = at[p] + moved[m], py = at[p + 1] + moved[m + 1], pz = at[p + 2] + moved[m + 2];
        x[k] = middle[0] + scale * (px * right[0] + py * right[1] + pz * right[2]);
        y[k] = middle[1] - scale * (px * up[0] + py * up[1] + pz * up[2]);
        d[k] = px * towards[0] + py * towards[1] + pz * towards[2];
        if (cut) c[k] = cut.keep * (at[p + cut.axis] - cut.at);
      }
      this.fill(t, x, y, d, state === "through" ? c : null);
    }
  }

  fill(triangle, x, y, d, c) {
    const area = (x[1] - x[0]) * (y[2] - y[0]) - (x[2] - x[0]) * (y[1] - y[0]);
    if (Math.abs(area) < LYING) return;
    const { width, height, depth, nearest } = this;
    const low = Math.max(0, Math.ceil(Math.min(y[0], y[1], y[2]) - 0.5));
    const high = Math.min(height - 1, Math.floor(Math.max(y[0], y[1], y[2]) - 0.5));
    const over = (v, w) => (v[1] - v[0]) * (w[2] - w[0]) - (v[2] - v[0]) * (w[1] - w[0]);
    const dx = over(d, y) / area, dy = over(x, d) / area;
    const cx = c ? over(c, y) / area : 0, cy = c ? over(x, c) / area : 0;
    for (let row = low; row <= high; row++) {
      const middle = row + 0.5;
      let from = Infinity, to = -Infinity;
      for (let k = 0; k < 3; k++) {
        const j = k === 2 ? 0 : k + 1;
        if ((y[k] <= middle) === (y[j] <= middle)) continue;
        const where = x[k] + ((middle - y[k]) * (x[j] - x[k])) / (y[j] - y[k]);
        from = Math.min(from, where);
        to = Math.max(to, where);
      }
      const first = Math.max(0, Math.ceil(from - 0.5)), last = Math.min(width - 1, Math.floor(to - 0.5));
      let z = d[0] + (first + 0.5 - x[0]) * dx + (middle - y[0]) * dy;
      let kept = c ? c[0] + (first + 0.5 - x[0]) * cx + (middle - y[0]) * cy : 0;
      for (let i = row * width + first, end = row * width + last; i <= end; i++, z += dx, kept += cx) {
        if (kept >= 0 && z > depth[i]) {
          depth[i] = z;
          nearest[i] = triangle;
        }
      }
    }
  }
}
