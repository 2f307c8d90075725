// The page's data, unpacked: columns of numbers and texts that were deflated and written in base64.

const KINDS = { u8: Uint8Array, u16: Uint16Array, i16: Int16Array, i32: Int32Array, f32: Float32Array };
const MICRONS = 1000; // places are told in whole thousandths of a mm
const HUNDREDTHS = 100; // depths of a map in hundredths

async function inflated(base64) {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return new Response(stream).arrayBuffer();
}

async function column(packed) {
  const values = new KINDS[packed.kind](await inflated(packed.data));
  if (packed.running) for (let i = 1; i < values.length; i++) values[i] += values[i - 1];
  return values;
}

async function millimetres(packed) {
  return Float32Array.from(await column(packed), (value) => value / MICRONS);
}

async function unpackedTrack(track) {
  const names = Object.keys(track);
  const places = new Set(["x", "y", "z", "centreX", "centreY"]);
  const columns = await Promise.all(names.map((n) => (places.has(n) ? millimetres(track[n]) : column(track[n]))));
  return Object.fromEntries(names.map((name, i) => [name, columns[i]]));
}

async function unpackedProgram(program) {
  const text = new TextDecoder().decode(await inflated(program.text));
  return { name: program.name, lines: text.split("\n"), track: await unpackedTrack(program.track) };
}

async function unpackedOutlines(outlines) {
  const [x, y] = await Promise.all([millimetres(outlines.x), millimetres(outlines.y)]);
  let at = 0;
  return outlines.rings.map(([kind, name, count]) => {
    const ring = { kind, name, x: x.subarray(at, at + count), y: y.subarray(at, at + count) };
    at += count;
    return ring;
  });
}

async function unpackedMap(map) {
  return map && { ...map, depth: await column(map.depth) };
}

/** A sheet with its programs, outlines and maps ready to draw. */
async function unpackedSheet(sheet) {
  const [programs, outlines, depth, excess] = await Promise.all([
    Promise.all(sheet.programs.map(unpackedProgram)),
    unpackedOutlines(sheet.outlines),
    unpackedMap(sheet.depth),
    unpackedMap(sheet.excess),
  ]);
  return { ...sheet, programs, outlines, depth, excess };
}

/** Depth in mm at a place of a map; null off it. */
function depthAt(map, x, y) {
  const i = Math.floor((x - map.origin[0]) / map.cell);
  const j = Math.floor((y - map.origin[1]) / map.cell);
  if (i < 0 || j < 0 || i >= map.columns || j >= map.rows) return null;
  return map.depth[j * map.columns + i] / HUNDREDTHS;
}
