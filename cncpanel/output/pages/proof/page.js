// The page: what is picked, the clock, and what hands, keys and paper do to it.

const PACES = [1, 5, 20, 60, 200, 600]; // times as fast as the machine
const NOTCHES = 1e6; // of the scrubber
const CLICK = 4; // pixels a pointer may move and still have clicked
const READ = 80; // ms between two changes of the figures, which nobody reads faster
const LATE = 100; // ms; a frame that comes later than this does not carry the tool further

const part = (id) => document.getElementById(id);
const sheets = JSON.parse(part("data").textContent).sheets;
const plan = new Plan(part("plan"));
const tape = new Tape(document.querySelector("#tape canvas"));
const listing = new Listing(part("listing"), (line) => goTo(route.moveOfLine(program, line)));
const layers = { rapid: true, over: true, wanted: true, excess: true, hiddenTools: new Set() };
const unpackedSheets = [];
let relief = null, asking = 0;
let sheet, route, from, to, program, unit;
let time = 0, running = false, scrubbing = false, following = false, measuring = false, turning = false;
let colours, lastFrame = 0, lastTold = 0, stirred = true;

function stir() {
  stirred = true;
}

// ---- picking ----

async function pickSheet(number) {
  const asked = ++asking;
  document.body.setAttribute("aria-busy", "true");
  unpackedSheets[number] ??= await unpackedSheet(sheets[number]);
  if (asked !== asking) return; // another one was picked meanwhile
  sheet = unpackedSheets[number];
  unit = new Unit(sheet.inches);
  route = sheet.route ??= new Route(sheet.programs);
  layers.hiddenTools.clear();
  plan.marks = { chosen: null, measure: [], snap: null };
  part("measured").textContent = "";
  fillPrograms();
  fillVerdict();
  fillFindings();
  fillLayers();
  pickProgram(sheet.programs.length > 1 ? -1 : 0);
  if (relief?.works) relief.show(sheet, colours);
  document.body.removeAttribute("aria-busy");
}

/** One program by its number, or -1: all of them in their order. */
function pickProgram(number) {
  [from, to] = number < 0 ? [0, route.count] : [route.first[number], route.first[number + 1]];
  part("program").value = number;
  running = false;
  time = route.begin(from);
  program = -1;
  tell(...underWay()); // at once: a click may come before the next frame
  plan.show(sheet, route, from, to, layers, colours);
  tape.draw(plan);
  stir();
}

function fillPrograms() {
  const all = sheet.programs.length > 1 ? [new Option("all in order", -1)] : [];
  part("program").replaceChildren(...all, ...sheet.programs.map((one, i) => new Option(one.name, i)));
}

function fillVerdict() {
  const { verdict } = sheet;
  part("verdict").textContent = { pass: "Proven", "pass with remarks": "Proven, with remarks", fail: "Fails: do not cut" }[verdict] ?? verdict;
  part("verdict").className = verdict === "fail" ? "fail" : "";
}

// ---- findings ----

function fillFindings() {
  const { findings, dropped } = sheet;
  const count = findings.length + dropped;
  part("findings-head").textContent = count ? `Findings: ${count}${dropped ? `, ${dropped} of them not listed` : ""}` : "No findings";
  part("findings").replaceChildren(...findings.map(findingRow));
}

function findingRow(finding, i) {
  const row = document.createElement("li");
  const button = document.createElement("button");
  const where = document.createElement("small");
  const lines = finding.line ? `, line ${finding.line}` : "";
  const place = finding.x === null || finding.y === null ? "" : ` at X${unit.bare(finding.x, 1)} Y${unit.bare(finding.y, 1)}`;
  where.textContent = `${finding.severity}: ${finding.program || "the sheet"}${lines}${place}`;
  button.className = finding.severity;
  button.append(where, finding.text);
  button.addEventListener("click", () => jump(i));
  row.append(button);
  return row;
}

/** To a finding's line and place. */
function jump(i) {
  const finding = sheet.findings[i];
  plan.marks.chosen = finding;
  part("findings").querySelectorAll("button").forEach((button, k) => {
    button.toggleAttribute("aria-current", k === i);
    if (k === i) button.scrollIntoView({ block: "nearest" });
  });
  if (turning) turnRelief(false);
  const move = moveOfFinding(route, finding);
  if (move !== null && (move < from || move >= to)) pickProgram(route.programOf(move));
  if (move !== null) goTo(move);
  const place = finding.x !== null && finding.y !== null ? finding : move !== null ? route.place(move, 1) : null;
  if (place) plan.look(plan.view.centred(place.x, place.y, Math.max(plan.view.scale, 4)));
  stir();
}

function nextFinding(step) {
  const count = sheet.findings.length;
  if (!count) return;
  const at = sheet.findings.indexOf(plan.marks.chosen);
  jump(at < 0 ? (step > 0 ? 0 : count - 1) : (at + step + count) % count);
}

// ---- layers ----

function fillLayers() {
  const rows = [layer("Rapids", "rapid", "dashed", colours.rapid)];
  if (anyOverSheet()) rows.push(layer("Fed over the sheet", "over", "", colours.quiet));
  sheet.tools.forEach((tool, i) => rows.push(toolLayer(tool, colours.tools[i % 8])));
  if (sheet.outlines.length) rows.push(layer("Wanted shape", "wanted", "", colours.wanted));
  if (sheet.excess) rows.push(layer("Cut too deep, left standing", "excess", "block", `linear-gradient(90deg, ${colours.gouge} 50%, ${colours.left} 50%)`));
  part("layers").replaceChildren(...rows);
}

function anyOverSheet() {
  for (let i = 1; i < route.count; i++) {
    if (route.step[i] !== RAPID && route.step[i] !== JUMP && Math.min(route.z[i], route.z[i - 1]) > sheet.top + TOUCHING) return true;
  }
  return false;
}

function layer(words, name, look, colour) {
  return layerRow(words, look, colour, layers[name], (on) => (layers[name] = on));
}

function toolLayer(tool, colour) {
  const hidden = layers.hiddenTools;
  const set = (on) => (on ? hidden.delete(tool.number) : hidden.add(tool.number));
  return layerRow(`T${tool.number} ${tool.name}`, "", colour, !hidden.has(tool.number), set);
}

function layerRow(words, look, colour, on, set) {
  const label = document.createElement("label");
  const box = Object.assign(document.createElement("input"), { type: "checkbox", checked: on });
  const swatch = document.createElement("i");
  swatch.className = look;
  swatch.style[look === "block" ? "background" : "borderColor"] = colour;
  box.addEventListener("change", () => {
    set(box.checked);
    plan.renew();
    stir();
  });
  label.append(box, swatch, words);
  return label;
}

// ---- time ----

function goTo(move) {
  setTime(route.until[move]);
}

function setTime(wanted) {
  time = Math.min(Math.max(wanted, route.begin(from)), route.until[to - 1]);
  stir();
}

function run(on) {
  if (on && time >= route.until[to - 1]) time = route.begin(from);
  running = on;
  part("play").textContent = on ? "Stop" : "Run";
  part("play").setAttribute("aria-label", on ? "Stop" : "Run");
  stir();
}

/** To the end of the move under way or of the next one, or back to the end of the one before. */
function stepMove(by) {
  const move = route.moveAt(time, from, to);
  let target = by > 0 && time < route.until[move] ? move : move + by;
  while (target > from && target < to - 1 && route.seconds[target] === 0) target += by; // nobody sees those
  goTo(Math.min(Math.max(target, from), to - 1));
}

function paceBy(step) {
  const pace = part("pace");
  pace.selectedIndex = Math.min(PACES.length - 1, Math.max(0, pace.selectedIndex + step));
}

// ---- the frame ----

function frame(now) {
  const passed = Math.min(now - lastFrame, LATE) / 1000;
  lastFrame = now;
  if (running) advance(passed);
  if (sheet && (stirred || running)) stirred = draw(now);
  requestAnimationFrame(frame);
}

function advance(passed) {
  setTime(time + passed * Number(part("pace").value));
  if (time >= route.until[to - 1]) run(false);
}

/** The move that the clock stands in, and how much of it is done. */
function underWay() {
  const move = route.moveAt(time, from, to);
  const lasts = route.until[move] - route.begin(move);
  return [move, lasts > 0 ? (time - route.begin(move)) / lasts : 1];
}

/** Draws what is to be seen; whether it is not finished. */
function draw(now) {
  const [move, share] = underWay();
  const told = now - lastTold > READ;
  if (told) tell(move, share);
  if (told) lastTold = now;
  if (turning) return (relief.works && relief.frame(now)) || !told;
  const at = route.place(move, share);
  if (following && !plan.view.holds(at)) plan.look(plan.view.centred(at.x, at.y));
  return plan.frame(move, share, now) || !told;
}

function tell(move, share) {
  const now = route.programOf(move);
  if (now !== program) showText(now);
  listing.go(route.line[move]);
  const at = route.place(move, share);
  const tool = sheet.tools.find((one) => one.number === route.tool[move]);
  const feed = route.feed[move], rpm = route.rpm[move];
  const below = sheet.top - at.z;
  part("now-tool").textContent = tool ? `T${tool.number} ${tool.name}` : route.tool[move] ? `T${route.tool[move]}, not in the rack` : "none named yet";
  part("now-place").textContent = [at.x, at.y, at.z].map((value) => unit.bare(value, 3)).join("  ");
  part("now-depth").textContent = below > 0 ? `${unit.told(below, 2)} under the sheet's top` : `${unit.told(-below, 2)} over the sheet`;
  part("now-feed").textContent = route.step[move] === RAPID ? "rapid" : feed ? `${unit.told(feed, 0)}/min` : "none";
  part("now-rpm").textContent = rpm ? `${Math.round(rpm)} rpm` : "stands";
  part("now-load").textContent = tool && rpm && feed ? unit.told(feed / rpm / tool.flutes, 3) : "none";
  const begin = route.begin(from), whole = route.until[to - 1] - begin;
  if (!scrubbing) part("scrub").value = whole ? ((time - begin) / whole) * NOTCHES : 0;
  part("clock").textContent = `${clock(time - begin)} of ${clock(whole)}`;
}

function showText(number) {
  program = number;
  const { name, lines } = sheet.programs[number];
  part("text-head").textContent = `${name}, ${lines.length} lines`;
  const worst = { remark: 0, error: 1, safety: 2 };
  const flagged = new Map();
  for (const { program: of, line, severity } of sheet.findings) {
    if (of === name && line && !(worst[flagged.get(line)] > worst[severity])) flagged.set(line, severity);
  }
  listing.show(lines, flagged);
}

function clock(seconds) {
  const whole = Math.round(seconds);
  const two = (value) => String(value).padStart(2, "0");
  const minutes = Math.floor(whole / 60);
  return minutes < 60 ? `${minutes}:${two(whole % 60)}` : `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(whole % 60)}`;
}

// ---- hands ----

function onDrag(canvas, drag, click, hover) {
  let held = null;
  const at = (event) => {
    const box = canvas.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    held = { last: at(event), moved: 0 };
  });
  canvas.addEventListener("pointermove", (event) => {
    const [x, y] = at(event);
    if (!held) return hover(x, y, event);
    const [dx, dy] = [x - held.last[0], y - held.last[1]];
    held.moved += Math.abs(dx) + Math.abs(dy);
    held.last = [x, y];
    if (held.moved > CLICK) drag(dx, dy);
    stir();
  });
  canvas.addEventListener("pointerup", (event) => {
    if (held && held.moved <= CLICK) click(...at(event), event);
    held = null;
    stir();
  });
  canvas.addEventListener("pointercancel", () => (held = null));
}

function onWheel(canvas, zoom) {
  const wheel = (event) => {
    event.preventDefault();
    const box = canvas.getBoundingClientRect();
    zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0015)), event.clientX - box.left, event.clientY - box.top);
    stir();
  };
  canvas.addEventListener("wheel", wheel, { passive: false });
}

function onPlanClick(right, down, event) {
  const place = plan.view.place(right, down);
  if (measuring) return addMeasure(event.altKey ? place : plan.snapped(place));
  const move = route.nearest(place.x, place.y, 6 / plan.view.scale, from, to, (i) => plan.inkOf(i) >= 0);
  if (move !== null) goTo(move);
}

function onPlanHover(right, down, event) {
  const place = plan.view.place(right, down);
  const depth = depthAt(sheet.depth, place.x, place.y);
  const deep = depth === null ? "off the sheet" : depth >= sheet.thickness - 0.01 ? "cut through" : `${unit.told(depth, 2)} deep`;
  part("under").textContent = `X${unit.bare(place.x, 1)} Y${unit.bare(place.y, 1)}: ${deep}`;
  if (measuring) {
    plan.marks.snap = event.altKey ? place : plan.snapped(place);
    stir();
  }
}

function addMeasure(place) {
  const { marks } = plan;
  marks.measure = marks.measure.length === 2 ? [place] : [...marks.measure, place];
  part("measured").textContent = "second place?";
  if (marks.measure.length === 2) {
    const [one, other] = marks.measure;
    const along = (name) => unit.bare(Math.abs(other[name] - one[name]), 2);
    part("measured").textContent = `${unit.told(apart(one, other), 2)} (X ${along("x")}, Y ${along("y")})`;
  }
  stir();
}

function measure(on) {
  if (on && turning) turnRelief(false);
  measuring = on;
  plan.marks.measure = [];
  plan.marks.snap = null;
  part("measured").textContent = on ? "first place?" : "";
  part("measure-switch").setAttribute("aria-pressed", on);
  stir();
}

function turnRelief(on) {
  if (on && !relief) {
    relief = new Relief(part("relief"));
    if (relief.works) relief.show(sheet, colours);
  }
  turning = on;
  part("relief").hidden = !on || !relief.works;
  part("no-relief").hidden = !on || relief.works;
  part("lift-choice").hidden = !on || !relief.works;
  part("relief-switch").setAttribute("aria-pressed", on);
  if (on && relief.works) relief.again();
  stir();
}

function zoom(factor) {
  if (turning) relief.works && relief.nearer(factor);
  else plan.look(plan.view.zoomed(factor));
}

function help(on) {
  part("help").hidden = !on;
  part("help-switch").setAttribute("aria-expanded", on);
}

function wholeSheet() {
  following = false;
  if (turning) relief.works && relief.whole();
  else plan.look(View.whole(plan.view.width, plan.view.height, sheet));
}

// ---- light, dark, paper ----

function shade(dark) {
  document.documentElement.classList.toggle("dark", dark);
  part("shade-switch").textContent = dark ? "Light" : "Dark";
  colours = readColours();
  if (!sheet) return plan.blank(colours.ground);
  fillLayers();
  plan.show(sheet, route, from, to, layers, colours, { keepView: true });
  tape.draw(plan);
  if (relief?.works) relief.show(sheet, colours);
  stir();
}

let beforePaper = null;

function ontoPaper() {
  if (beforePaper || !sheet) return;
  beforePaper = { dark: document.documentElement.classList.contains("dark") };
  document.documentElement.classList.add("paper");
  shade(false);
  plan.settle(route.moveAt(time, from, to), 1);
}

function offPaper() {
  if (!beforePaper) return;
  document.documentElement.classList.remove("paper");
  shade(beforePaper.dark);
  beforePaper = null;
}

// ---- keys ----

const KEYS = {
  " ": () => run(!running),
  ArrowLeft: () => stepMove(-1),
  ArrowRight: () => stepMove(1),
  ",": () => setTime(time - 10),
  ".": () => setTime(time + 10),
  Home: () => setTime(0),
  End: () => setTime(Infinity),
  "[": () => paceBy(-1),
  "]": () => paceBy(1),
  n: () => nextFinding(1),
  b: () => nextFinding(-1),
  "+": () => zoom(1.4),
  "=": () => zoom(1.4),
  "-": () => zoom(1 / 1.4),
  0: wholeSheet,
  f: () => (following = !following),
  m: () => measure(!measuring),
  v: () => turnRelief(!turning),
  d: () => shade(!document.documentElement.classList.contains("dark")),
  k: () => help(part("help").hidden),
  Escape: () => (help(false), measure(false)),
};
const ARROWS = { ArrowLeft: [1, 0], ArrowRight: [-1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

function onKey(event) {
  const typing = ["SELECT", "BUTTON"].includes(event.target.tagName) && [" ", "Enter", "ArrowUp", "ArrowDown"].includes(event.key);
  if (typing || event.ctrlKey || event.metaKey || event.altKey || !sheet) return;
  const arrow = event.shiftKey && ARROWS[event.key];
  const act = arrow ? () => slide(...arrow) : KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (!act) return;
  event.preventDefault();
  act();
  stir();
}

function slide(right, down) {
  if (turning) relief.works && relief.turned(right * 0.12, down * 0.12);
  else plan.look(plan.view.panned(right * 80, down * 80));
}

// ---- begin ----

function listen() {
  part("sheet").addEventListener("change", (event) => pickSheet(Number(event.target.value)));
  part("program").addEventListener("change", (event) => pickProgram(Number(event.target.value)));
  part("scrub").addEventListener("input", (event) => {
    const begin = route.begin(from);
    setTime(begin + (event.target.value / NOTCHES) * (route.until[to - 1] - begin));
  });
  part("scrub").addEventListener("pointerdown", () => (scrubbing = true));
  addEventListener("pointerup", () => (scrubbing = false));
  part("play").addEventListener("click", () => run(!running));
  part("relief-switch").addEventListener("click", () => turnRelief(!turning));
  part("measure-switch").addEventListener("click", () => measure(!measuring));
  part("whole").addEventListener("click", () => (wholeSheet(), stir()));
  part("shade-switch").addEventListener("click", KEYS.d);
  part("help-switch").addEventListener("click", KEYS.k);
  part("lift").addEventListener("change", (event) => {
    relief.lift = Number(event.target.value);
    relief.again();
    stir();
  });
  onDrag(part("plan"), (dx, dy) => ((following = false), plan.look(plan.view.panned(dx, dy))), onPlanClick, onPlanHover);
  onWheel(part("plan"), (factor, right, down) => plan.look(plan.view.zoomed(factor, right, down)));
  onDrag(part("relief"), (dx, dy) => relief.turned(-dx * 0.008, dy * 0.008), () => {}, () => {});
  onWheel(part("relief"), (factor) => relief.nearer(factor));
  document.addEventListener("keydown", onKey);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", (event) => {
    if (beforePaper) beforePaper.dark = event.matches;
    else shade(event.matches);
  });
  addEventListener("beforeprint", ontoPaper);
  addEventListener("afterprint", offPaper);
  new ResizeObserver(() => {
    if (!sheet || beforePaper) return;
    plan.resize();
    if (relief?.works) relief.again();
    tape.draw(plan);
    stirred = draw(performance.now()); // at once: this frame's turn is over, and what was resized is black
  }).observe(document.querySelector("main"));
}

async function begin() {
  part("sheet").replaceChildren(...sheets.map((one, i) => new Option(one.name, i)));
  part("pace").replaceChildren(...PACES.map((pace) => new Option(pace === 1 ? "as it runs" : `${pace} times`, pace)));
  part("pace").selectedIndex = 2;
  shade(matchMedia("(prefers-color-scheme: dark)").matches);
  listen();
  await pickSheet(0);
  stirred = draw(performance.now()); // not only in the first frame, which a page out of sight is long without
  requestAnimationFrame(frame);
}

begin();
