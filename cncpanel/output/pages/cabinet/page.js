// The page: where it is seen from, how far apart it is, where it is cut, which part is chosen.

const VIEWS = { askew: [0.6, 0.35], front: [0, 0], left: [Math.PI / 2, 0], back: [Math.PI, 0], above: [0, Math.PI / 2] };
const CUTS = { none: -1, "along the middle": 0, "across, upright": 1, level: 2 };
const KINDS_SHOWN = { panel: "panels", cleat: "cleats", fitting: "bought-in", load: "loads" };
const MOST_APART = 1.2; // times as far from the middle again
const ROOM = 1.12, STILL = 140; // of the view; ms without turning before it is drawn sharp
const TURN_A_PIXEL = 0.012; // radians a pixel

const element = (name) => document.getElementById(name);
const state = { turn: 0.6, tilt: 0.35, nearer: 1, shift: [0, 0], chosen: -1, dragged: null };
const picture = new Picture(element("picture"));
let cabinet, laidOpen, middle, hidden, timer, frame, painting;

function axes() {
  const { turn, tilt } = state;
  const towards = [Math.sin(turn) * Math.cos(tilt), Math.cos(turn) * Math.cos(tilt), Math.sin(tilt)];
  const right = [-Math.cos(turn), Math.sin(turn), 0];
  const up = [
    towards[1] * right[2] - towards[2] * right[1],
    towards[2] * right[0] - towards[0] * right[2],
    towards[0] * right[1] - towards[1] * right[0],
  ];
  return { right, up, towards };
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const apart = () => MOST_APART * Number(element("apart").value);

/** How far each solid is moved away from the middle. */
function moves() {
  const moved = new Float32Array(3 * cabinet.solids.length);
  cabinet.solids.forEach((solid, n) => {
    for (let axis = 0; axis < 3; axis++) moved[3 * n + axis] = apart() * (solid.middle[axis] - middle[axis]);
  });
  return moved;
}

function extent() {
  const low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
  for (const solid of cabinet.solids) {
    for (let n = 0; n < 3; n++) {
      low[n] = Math.min(low[n], solid.low[n]);
      high[n] = Math.max(high[n], solid.high[n]);
    }
  }
  return { low, high };
}

/** The camera that shows all of it, taken apart or not. */
function camera(width, height) {
  const { right, up, towards } = axes();
  const { low, high } = extent();
  const spread = 1 + apart();
  const centre = low.map((value, n) => (value + high[n]) / 2);
  const seen = (way) => spread * low.reduce((sum, value, n) => sum + (Math.abs(way[n]) * (high[n] - value)), 0);
  const scale = (state.nearer * Math.min(width / seen(right), height / seen(up))) / ROOM;
  const to = (way) => scale * dot(centre.map((value, n) => value + apart() * (value - middle[n])), way);
  return {
    right, up, towards, scale,
    middle: [width / 2 - to(right) + state.shift[0] * width, height / 2 + to(up) + state.shift[1] * height],
  };
}

function cut() {
  const axis = CUTS[element("cut").value];
  if (axis < 0) return null;
  const { low, high } = extent();
  const at = low[axis] + Number(element("place").value) * (high[axis] - low[axis]);
  const other = element("other").getAttribute("aria-pressed") === "true";
  element("place-told").textContent = `${AXES[axis]} ${at.toFixed(0)} mm`;
  return { axis, at, keep: other ? 1 : -1 }; // what is nearer to the first view goes
}

function draw(sharp) {
  const { clientWidth, clientHeight } = element("picture");
  const grain = sharp ? Math.max(2, window.devicePixelRatio) : 1;
  picture.raster.size(Math.max(1, Math.round(clientWidth * grain)), Math.max(1, Math.round(clientHeight * grain)));
  state.camera = camera(picture.raster.width, picture.raster.height);
  const where = cut();
  laidOpen = withCut(cabinet, where);
  picture.raster.draw(laidOpen, state.camera, moves(), hidden, where);
  paint();
}

function paint() {
  picture.paint(laidOpen, state.camera, colours(), state.chosen);
}

function colours() {
  const style = getComputedStyle(document.documentElement);
  const told = (name) => {
    const value = style.getPropertyValue(`--${name}`).trim();
    return [1, 3, 5].map((at) => parseInt(value.slice(at, at + 2), 16));
  };
  const names = ["ground", "cut", "chosen", "panel", "cleat", "fitting", "load"];
  return { ...Object.fromEntries(names.map((name) => [name, told(name)])), ink: told("line") };
}

/** Drawn coarsely at once and sharply when nothing moves. */
function again() {
  clearTimeout(timer);
  cancelAnimationFrame(frame);
  frame = requestAnimationFrame(() => draw(false));
  timer = setTimeout(() => draw(true), STILL);
}

function choose(number, scroll) {
  state.chosen = number;
  const solid = cabinet.solids[number];
  element("told").textContent = solid ? [solid.name, `${solid.size} mm`, kilograms(solid)].filter(Boolean).join(", ") : "";
  for (const [n, button] of document.querySelectorAll("#parts button").entries()) {
    button.setAttribute("aria-current", String(n === number));
    if (n === number && scroll) button.scrollIntoView({ block: "nearest" });
  }
  cancelAnimationFrame(painting);
  if (state.camera) painting = requestAnimationFrame(paint);
}

const kilograms = (solid) => (solid.mass === null ? "" : `${solid.mass.toFixed(solid.mass < 1 ? 2 : 1)} kg`);

function listed() {
  const parts = element("parts");
  cabinet.solids.forEach((solid, n) => {
    const button = Object.assign(document.createElement("button"), { type: "button" });
    const cells = [["span", solid.name], ["b", kilograms(solid)], ["small", solid.size]];
    button.append(...cells.map(([tag, text]) => Object.assign(document.createElement(tag), { textContent: text })));
    button.addEventListener("click", () => choose(n));
    button.addEventListener("dblclick", () => hide(n));
    parts.appendChild(document.createElement("li")).append(button);
  });
  for (const [kind, said] of Object.entries(KINDS_SHOWN)) {
    if (!cabinet.solids.some((solid) => solid.kind === kind)) continue;
    const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: true, id: `kind-${kind}` });
    box.addEventListener("change", () => hideKind(kind, !box.checked));
    const patch = document.createElement("i");
    patch.style.background = `var(--${kind})`;
    const label = document.createElement("label");
    label.append(box, patch, said);
    element("kinds").append(label);
  }
}

function hideKind(kind, away) {
  cabinet.solids.forEach((solid, n) => {
    if (solid.kind === kind) hidden[n] = away ? 1 : 0;
  });
  marked();
}

function hide(number) {
  if (number >= 0) hidden[number] = 1 - hidden[number];
  marked();
}

function marked() {
  for (const [n, button] of document.querySelectorAll("#parts button").entries()) button.classList.toggle("hidden", Boolean(hidden[n]));
  again();
}

function showAll() {
  hidden.fill(0);
  for (const box of document.querySelectorAll("#kinds input")) box.checked = true;
  marked();
}

function seenFrom(name) {
  [state.turn, state.tilt] = VIEWS[name];
  whole();
}

function whole() {
  Object.assign(state, { nearer: 1, shift: [0, 0] });
  again();
}

function cutChanged() {
  const none = element("cut").value === "none";
  for (const name of ["place-label", "other"]) element(name).hidden = none;
  again();
}

function turned(right, down) {
  state.turn += right * TURN_A_PIXEL;
  state.tilt = Math.min(Math.PI / 2, Math.max(-Math.PI / 2, state.tilt + down * TURN_A_PIXEL));
  again();
}

function shifted(right, down) {
  state.shift = [state.shift[0] + right, state.shift[1] + down];
  again();
}

function nearer(times) {
  state.nearer = Math.min(12, Math.max(0.4, state.nearer * times));
  again();
}

function shade() {
  const dark = document.documentElement.classList.toggle("dark");
  element("shade-switch").textContent = dark ? "Light" : "Dark";
  again();
}

/** Paper is light, whatever the screen is. */
function printed(begins) {
  const { classList } = document.documentElement;
  classList.toggle("paper", begins);
  classList.toggle("dark", !begins && element("shade-switch").textContent === "Light");
  draw(true);
}

function help(open) {
  element("help").hidden = !open;
  element("help-switch").setAttribute("aria-expanded", String(open));
}

function stepped(by) {
  const count = cabinet.solids.length;
  choose((state.chosen + by + count + (state.chosen < 0 && by < 0 ? 1 : 0)) % count, true);
}

function slid(name, by) {
  const slider = element(name);
  slider.value = Number(slider.value) + by;
  again();
}

function nextCut() {
  const box = element("cut");
  box.selectedIndex = (box.selectedIndex + 1) % box.options.length;
  cutChanged();
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const PRESSED = {
  "+": () => nearer(1.2), "=": () => nearer(1.2), "-": () => nearer(1 / 1.2), 0: whole,
  e: () => { element("apart").value = Number(element("apart").value) > 0.3 ? 0 : 0.7; again(); },
  x: nextCut, ",": () => slid("place", -0.02), ".": () => slid("place", 0.02),
  n: () => stepped(1), b: () => stepped(-1), h: () => hide(state.chosen), a: showAll,
  d: shade, k: () => help(element("help").hidden), Escape: () => { help(false); choose(-1); },
};

function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const own = event.target.matches?.("input, select");
  const arrow = ARROWS[event.key];
  if (arrow && own) return;
  const view = Object.keys(VIEWS)[Number(event.key) - 1];
  const deed = PRESSED[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (arrow && event.shiftKey) shifted(0.04 * arrow[0], 0.04 * arrow[1]);
  else if (arrow) turned(8 * arrow[0], 8 * arrow[1]);
  else if (view) { element("view").value = view; seenFrom(view); }
  else if (deed) deed();
  else return;
  event.preventDefault();
}

function pointed() {
  const canvas = element("picture");
  const at = (event) => {
    const box = canvas.getBoundingClientRect();
    return [((event.clientX - box.left) * canvas.width) / box.width, ((event.clientY - box.top) * canvas.height) / box.height];
  };
  canvas.addEventListener("pointerdown", (event) => {
    state.dragged = [event.clientX, event.clientY];
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!state.dragged) {
      const number = picture.solidAt(laidOpen, ...at(event));
      if (number !== state.chosen) choose(number, true);
      return;
    }
    const [right, down] = [event.clientX - state.dragged[0], event.clientY - state.dragged[1]];
    state.dragged = [event.clientX, event.clientY];
    if (event.shiftKey) shifted(right / canvas.clientWidth, down / canvas.clientHeight);
    else turned(right, down);
  });
  for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, () => (state.dragged = null));
  canvas.addEventListener("wheel", (event) => {
    nearer(event.deltaY < 0 ? 1.1 : 1 / 1.1);
    event.preventDefault();
  }, { passive: false });
}

function filled(name, values, changed) {
  element(name).append(...values.map((value) => new Option(value, value)));
  element(name).addEventListener("change", changed);
}

async function begin() {
  cabinet = await unpackedCabinet(JSON.parse(element("data").textContent));
  hidden = new Uint8Array(cabinet.solids.length);
  const { low, high } = extent();
  middle = low.map((value, n) => (value + high[n]) / 2);
  filled("view", Object.keys(VIEWS), () => seenFrom(element("view").value));
  filled("cut", Object.keys(CUTS), cutChanged);
  for (const name of ["apart", "place"]) element(name).addEventListener("input", again);
  element("other").addEventListener("click", () => {
    const button = element("other");
    button.setAttribute("aria-pressed", String(button.getAttribute("aria-pressed") !== "true"));
    again();
  });
  element("shade-switch").addEventListener("click", shade);
  element("help-switch").addEventListener("click", () => help(element("help").hidden));
  document.addEventListener("keydown", pressed);
  window.addEventListener("beforeprint", () => printed(true));
  window.addEventListener("afterprint", () => printed(false));
  new ResizeObserver(again).observe(element("picture"));
  listed();
  pointed();
  if (window.matchMedia("(prefers-color-scheme: dark)").matches) shade();
  draw(true);
  document.documentElement.dataset.ready = "yes";
}

begin();
