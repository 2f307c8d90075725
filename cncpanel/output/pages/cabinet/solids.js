// The cabinet's solids as triangles: every cell has two ends of as many corners, and walls between them.

const AXES = ["x", "y", "z"];

/** Solids with their names, and all triangles: corners, normals, whose they are. Lengths in mm. */
async function unpackedCabinet(data) {
  const [corners, ...places] = await Promise.all([column(data.corners), ...AXES.map((a) => millimetres(data[a]))]);
  const count = corners.reduce((sum, n) => sum + 2 * (n - 2) + 2 * n, 0);
  const triangles = { count, at: new Float32Array(9 * count), normal: new Float32Array(3 * count), owner: new Uint16Array(count) };
  const cells = [];
  let point = 0, cell = 0, made = 0;
  data.solids.forEach((solid, number) => {
    solid.low = [Infinity, Infinity, Infinity];
    solid.high = [-Infinity, -Infinity, -Infinity];
    for (let own = 0; own < solid.cells; own++, cell++) {
      const half = corners[cell];
      for (let p = point; p < point + 2 * half; p++) reach(solid, places, p);
      cells.push({ owner: number, half, point });
      for (const triple of cellTriangles(half)) addTriangle(triangles, made++, triple.map((n) => n + point), places, number);
      point += 2 * half;
    }
  });
  return { solids: data.solids, triangles, cells, places };
}

/** The same triangles and, after them, what a cut lays open: a convex face of every cell that it goes through. */
function withCut({ solids, triangles, cells, places }, cut) {
  if (!cut) return { solids, triangles };
  const found = cells.flatMap((cell) => (cutState(solids[cell.owner], cut) === "through" ? cutFace(cell, places, cut) : []));
  const count = triangles.count + found.length;
  const grown = (Kind, old, each) => {
    const longer = new Kind(each * count);
    longer.set(old);
    return longer;
  };
  const more = {
    count, whole: triangles.count, at: grown(Float32Array, triangles.at, 9),
    normal: grown(Float32Array, triangles.normal, 3), owner: grown(Uint16Array, triangles.owner, 1),
  };
  found.forEach(({ owner, corners }, n) => {
    const made = triangles.count + n;
    more.owner[made] = owner;
    more.normal[3 * made + cut.axis] = -cut.keep;
    more.at.set(corners.flat(), 9 * made);
  });
  return { solids, triangles: more };
}

/** Where the plane goes through a cell, as triangles fanned from one corner. */
function cutFace({ owner, half, point }, places, cut) {
  const spot = (n) => places.map((axis) => axis[point + n]);
  const met = [];
  for (const [a, b] of cellEdges(half)) {
    const [p, q] = [spot(a), spot(b)];
    const [u, v] = [p[cut.axis] - cut.at, q[cut.axis] - cut.at];
    if (u < 0 !== v < 0) met.push(p.map((value, n) => value + ((q[n] - value) * u) / (u - v)));
  }
  if (met.length < 3) return [];
  const [b, c] = [(cut.axis + 1) % 3, (cut.axis + 2) % 3];
  const middle = [b, c].map((n) => met.reduce((sum, one) => sum + one[n], 0) / met.length);
  const angle = (one) => Math.atan2(one[c] - middle[1], one[b] - middle[0]);
  met.sort((one, other) => angle(one) - angle(other));
  return met.slice(2).map((one, n) => ({ owner, corners: [met[0], met[n + 1], one] }));
}

function* cellEdges(half) {
  for (let n = 0; n < half; n++) {
    const next = (n + 1) % half;
    yield [n, next];
    yield [n + half, next + half];
    yield [n, n + half];
  }
}

/** Whether a cut leaves a solid whole, goes through it, or takes it away. */
function cutState(solid, cut) {
  const { axis, keep, at } = cut;
  const kept = keep > 0 ? [solid.low[axis], solid.high[axis]] : [-solid.high[axis], -solid.low[axis]];
  return kept[0] >= keep * at ? "whole" : kept[1] <= keep * at ? "gone" : "through";
}

function reach(solid, places, point) {
  for (let axis = 0; axis < 3; axis++) {
    solid.low[axis] = Math.min(solid.low[axis], places[axis][point]);
    solid.high[axis] = Math.max(solid.high[axis], places[axis][point]);
  }
}

/** Corner numbers of a cell's triangles, counter-clockwise as seen from outside. */
function* cellTriangles(half) {
  for (let n = 1; n < half - 1; n++) {
    yield [0, n, n + 1];
    yield [2 * half - 1, 2 * half - 1 - n, 2 * half - 2 - n];
  }
  for (let n = 0; n < half; n++) {
    const next = (n + 1) % half;
    yield [n, n + half, next + half];
    yield [n, next + half, next];
  }
}

function addTriangle(triangles, made, numbers, places, owner) {
  const { at, normal } = triangles;
  numbers.forEach((number, corner) => {
    for (let axis = 0; axis < 3; axis++) at[9 * made + 3 * corner + axis] = places[axis][number];
  });
  const side = (corner, axis) => at[9 * made + 3 * corner + axis] - at[9 * made + axis];
  const across = [0, 1, 2].map((axis) => {
    const [b, c] = [(axis + 1) % 3, (axis + 2) % 3];
    return side(1, b) * side(2, c) - side(1, c) * side(2, b);
  });
  const length = Math.hypot(...across) || 1;
  across.forEach((value, axis) => (normal[3 * made + axis] = value / length));
  triangles.owner[made] = owner;
}
