// Colours, from the page's style so that light, dark and paper have one place; and the maps as pictures.

const THROUGH = 1; // hundredths of a mm from the underside
const SHADES = 256;

function readColours() {
  const style = getComputedStyle(document.documentElement);
  const of = (name) => style.getPropertyValue(`--${name}`).trim();
  const names = ["ground", "face", "shallow", "deep", "through", "ink", "quiet", "rapid", "wanted", "safety", "error", "remark", "gouge", "left", "tool", "measure"];
  const colours = Object.fromEntries(names.map((name) => [name, of(name)]));
  colours.tools = Array.from({ length: 8 }, (_, i) => of(`tool-${i}`));
  return colours;
}

/** "#rrggbb" as three numbers 0..255. */
function rgb(colour) {
  return [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16));
}

function mixed(one, other, share) {
  return one.map((value, i) => value + (other[i] - value) * share);
}

/** A map of depths as a canvas, a pixel a cell, row 0 at the top; walls to the lower right are in shadow. */
function depthImage(map, thickness, colours) {
  const [face, shallow, deep, through] = [colours.face, colours.shallow, colours.deep, colours.through].map(rgb);
  const scale = Array.from({ length: SHADES }, (_, i) => (i === 0 ? face : mixed(shallow, deep, i / (SHADES - 1))));
  const underside = Math.round(thickness * HUNDREDTHS) - THROUGH;
  return mapImage(map, (value, pixels, at, beside) => {
    const share = Math.min(1, Math.max(0, value / underside));
    const colour = value >= underside ? through : scale[value <= 0 ? 0 : Math.max(1, Math.round(share * (SHADES - 1)))];
    const lit = Math.max(-1, Math.min(1, ((beside - value) / underside) * 3)) * 30;
    for (let k = 0; k < 3; k++) pixels[at + k] = colour[k] + lit;
    pixels[at + 3] = 255;
  });
}

/** Where too much went and where something was left; clear where all is well. */
function excessImage(map, colours) {
  const [gouge, left] = [colours.gouge, colours.left].map(rgb);
  return mapImage(map, (value, pixels, at) => {
    if (value === 0) return;
    (value > 0 ? gouge : left).forEach((part, k) => (pixels[at + k] = part));
    pixels[at + 3] = 255;
  });
}

function mapImage(map, paint) {
  const { rows, columns, depth } = map;
  const canvas = blankCanvas(columns, rows);
  const pen = canvas.getContext("2d");
  const image = pen.createImageData(columns, rows);
  for (let j = 0; j < rows; j++) {
    const above = j + 1 < rows ? columns : 0;
    for (let i = 0; i < columns; i++) {
      const cell = j * columns + i;
      paint(depth[cell], image.data, ((rows - 1 - j) * columns + i) * 4, depth[cell + above - (i > 0 ? 1 : 0)]);
    }
  }
  pen.putImageData(image, 0, 0);
  return canvas;
}
