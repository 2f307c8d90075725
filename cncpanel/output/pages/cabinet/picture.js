// From nearest triangles to a picture: shaded faces, cut faces hatched, a line where one face ends.

const TURNED = 0.9; // cosine; faces that lean further than this from each other have a line between them
const STEP = 4; // mm; so much nearer or further on the same face is an edge too
const HATCH = 9; // px between the lines of a cut face

class Picture {
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d");
    this.raster = new Raster();
  }

  /** Whose pixel is at a place of the canvas (px); -1 for nobody's. */
  solidAt(cabinet, x, y) {
    const { width, height, nearest } = this.raster;
    const i = Math.floor(x), j = Math.floor(y);
    if (i < 0 || j < 0 || i >= width || j >= height) return -1;
    const triangle = nearest[j * width + i];
    return triangle < 0 ? -1 : cabinet.triangles.owner[triangle];
  }

  /** `colours`: ground, ink, cut, chosen and one a kind, each red, green, blue. */
  paint(cabinet, camera, colours, chosen) {
    const { width, height, nearest, depth } = this.raster;
    const { owner, normal } = cabinet.triangles;
    if (this.canvas.width !== width || this.canvas.height !== height) Object.assign(this.canvas, { width, height });
    const image = this.pen.createImageData(width, height);
    const shown = new Uint32Array(image.data.buffer);
    const faces = this.faces(cabinet, camera, colours, chosen);
    const ground = packedColour(colours.ground, 1), ink = packedColour(colours.ink, 1);
    for (let j = 0, i = 0; j < height; j++) {
      for (let k = 0; k < width; k++, i++) {
        const t = nearest[i];
        const beside = k + 1 < width ? nearest[i + 1] : t, below = j + 1 < height ? nearest[i + width] : t;
        const edge =
          (beside !== t && this.isEdge(t, beside, i, i + 1, owner, normal, faces, depth)) ||
          (below !== t && this.isEdge(t, below, i, i + width, owner, normal, faces, depth));
        if (edge) shown[i] = ink;
        else if (t < 0) shown[i] = ground;
        else if (faces.cut[t] && (j + k) % HATCH < 1) shown[i] = ink;
        else shown[i] = faces.colour[t];
      }
    }
    this.pen.putImageData(image, 0, 0);
  }

  isEdge(a, b, i, j, owner, normal, faces, depth) {
    if (a < 0 || b < 0 || owner[a] !== owner[b] || faces.cut[a] !== faces.cut[b]) return true;
    if (faces.cut[a]) return false;
    const n = 3 * a, m = 3 * b;
    const leaning = normal[n] * normal[m] + normal[n + 1] * normal[m + 1] + normal[n + 2] * normal[m + 2];
    return leaning < TURNED || (leaning > 0.999 && Math.abs(depth[i] - depth[j]) > STEP * this.steepness(normal, n));
  }

  steepness(normal, n) {
    const [a, b, c] = this.towards;
    return 1 / Math.max(0.05, normal[n] * a + normal[n + 1] * b + normal[n + 2] * c);
  }

  /** Every triangle's colour, and whether a cut has laid it open. */
  faces({ triangles, solids }, camera, colours, chosen) {
    const { count, whole, normal, owner } = triangles;
    const { right, up, towards } = camera;
    this.towards = towards;
    const light = [0, 1, 2].map((n) => 0.35 * up[n] - 0.3 * right[n] + 0.89 * towards[n]);
    const colour = new Uint32Array(count), cut = new Uint8Array(count);
    for (let t = 0, n = 0; t < count; t++, n += 3) {
      const solid = owner[t];
      const kind = solid === chosen ? colours.chosen : colours[solids[solid].kind];
      cut[t] = t >= whole ? 1 : 0;
      const lit = normal[n] * light[0] + normal[n + 1] * light[1] + normal[n + 2] * light[2];
      colour[t] = cut[t] ? packedColour(solid === chosen ? kind : colours.cut, 1) : packedColour(kind, 0.55 + 0.47 * Math.max(0, lit));
    }
    return { colour, cut };
  }
}

function packedColour([red, green, blue], times) {
  const part = (value) => Math.min(255, Math.round(value * times));
  return (255 << 24) | (part(blue) << 16) | (part(green) << 8) | part(red);
}
