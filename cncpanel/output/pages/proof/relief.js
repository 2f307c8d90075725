// The cut sheet in three dimensions: every pixel follows its ray from cell to cell of the map until it meets one.

const STILL = 160; // ms without turning before the picture is drawn sharp
const SLOW_MS = 21, PAUSE = 300; // ms between frames while it is turned; longer ones tell nothing
const TURNING = [12000, 24000, 48000, 96000, 192000, 384000], MOST_RESTING = 1500000; // pixels
const TRIAL = 60, MOST_TRIAL = 1920; // frames in time before more pixels are tried; each that fails makes the next rarer
const FIELD = 0.6; // radians the camera sees, up and down
const CORNERS = `#version 300 es
void main() { gl_Position = vec4(gl_VertexID == 1 ? 3.0 : -1.0, gl_VertexID == 2 ? 3.0 : -1.0, 0.0, 1.0); }`;

// Lengths in cells, the sheet's corner at zero, its top at height 0. `lift` cells make a mm of depth.
const RAYS = `#version 300 es
precision highp float;
precision highp int;
uniform highp sampler2D depths;
uniform ivec2 cells;
uniform vec2 pixels;
uniform float thickness, lift;
uniform vec3 eye, right, upward, ahead, ground, face, shallow, deep, through;
out vec4 colour;

float depth(ivec2 cell) { return texelFetch(depths, clamp(cell, ivec2(0), cells - 1), 0).r; }

// Walls and steps stay flat; a slope that is no steeper than a ball's or a bevel's is rounded by its neighbours.
vec3 floorNormal(ivec2 cell) {
  float here = depth(cell);
  vec2 low = vec2(depth(cell - ivec2(1, 0)), depth(cell - ivec2(0, 1))) - here;
  vec2 high = vec2(depth(cell + ivec2(1, 0)), depth(cell + ivec2(0, 1))) - here;
  vec2 gentle = step(max(abs(low), abs(high)), vec2(2.5));
  return normalize(vec3((high - low) * gentle * lift / 2.0, 1.0));
}

vec3 lit(vec3 tint, vec3 normal) {
  return tint * (0.5 + 0.5 * max(0.0, dot(normal, normalize(vec3(-0.45, 0.4, 0.8)))) / 0.8);
}

vec3 floorTint(float down) {
  if (down < 0.01) return face;
  return down > thickness - 0.02 ? through : mix(shallow, deep, down / thickness);
}

void main() {
  vec2 at = (2.0 * gl_FragCoord.xy - pixels) / pixels.y;
  vec3 ray = normalize(ahead + at.x * right + at.y * upward);
  ray += vec3(equal(ray, vec3(0.0))) * 1e-9;
  vec3 high = vec3(vec2(cells), 0.0), low = vec3(0.0, 0.0, -thickness * lift);
  vec3 one = (low - eye) / ray, other = (high - eye) / ray;
  vec3 enter = min(one, other), leave = max(one, other);
  float t = max(max(enter.x, enter.y), max(enter.z, 0.0));
  float last = min(leave.x, min(leave.y, leave.z));
  colour = vec4(ground, 1.0);
  if (t >= last) return;
  vec3 wall = t == enter.x ? vec3(-sign(ray.x), 0.0, 0.0) : vec3(0.0, -sign(ray.y), 0.0);
  ivec2 cell = clamp(ivec2(floor(eye.xy + ray.xy * t)), ivec2(0), cells - 1);
  ivec2 onward = ivec2(sign(ray.xy));
  vec2 next = (vec2(cell) + max(vec2(onward), 0.0) - eye.xy) / ray.xy;
  vec2 apart = abs(1.0 / ray.xy);
  for (int count = 0; count < 4096; count++) {
    float down = depth(cell), height = -down * lift;
    if (eye.z + ray.z * t < height - 1e-3) { // into the side of this cell
      float below = -(eye.z + ray.z * t) / lift;
      colour = vec4(lit(mix(face, deep, 0.25 + 0.35 * below / thickness), wall), 1.0);
      return;
    }
    float out_at = min(next.x, next.y);
    if (eye.z + ray.z * out_at <= height + 1e-3) { // onto its floor
      colour = vec4(lit(floorTint(down), floorNormal(cell)), 1.0);
      return;
    }
    t = out_at;
    if (next.x < next.y) {
      cell.x += onward.x;
      next.x += apart.x;
      wall = vec3(-float(onward.x), 0.0, 0.0);
    } else {
      cell.y += onward.y;
      next.y += apart.y;
      wall = vec3(0.0, -float(onward.y), 0.0);
    }
    if (any(lessThan(cell, ivec2(0))) || any(greaterThanEqual(cell, cells))) return;
  }
}`;

class Relief {
  constructor(canvas) {
    this.canvas = canvas;
    this.gl = canvas.getContext("webgl2", { antialias: false, depth: false, preserveDrawingBuffer: true });
    if (!this.gl) return;
    this.program = this.linked(CORNERS, RAYS);
    this.where = {};
    this.lift = 3;
    this.last = -Infinity;
    this.level = 2; // of TURNING: as many pixels as this computer draws in time
    this.quick = 0; // frames in time since the level changed
    this.trial = TRIAL;
    this.whole();
  }

  get works() {
    return Boolean(this.gl);
  }

  whole() {
    this.turn = -0.5; // radians about the vertical, from looking along Y
    this.tilt = 0.85; // radians up from the table
    this.times = 1; // nearer or further
    this.again();
  }

  linked(...sources) {
    const { gl } = this;
    const program = gl.createProgram();
    sources.forEach((source, i) => {
      const shader = gl.createShader([gl.VERTEX_SHADER, gl.FRAGMENT_SHADER][i]);
      gl.shaderSource(shader, source);
      gl.compileShader(shader);
      if (!gl.getShaderParameter(shader, gl.COMPILE_STATUS)) throw new Error(gl.getShaderInfoLog(shader));
      gl.attachShader(program, shader);
    });
    gl.linkProgram(program);
    if (!gl.getProgramParameter(program, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(program));
    return program;
  }

  show(sheet, colours) {
    const { gl } = this;
    if (this.sheet !== sheet) {
      this.map = this.fitting(sheet.depth);
      this.load(this.map);
    }
    Object.assign(this, { sheet, colours });
    this.again();
  }

  load(map) {
    const { gl } = this;
    this.texture ??= gl.createTexture();
    gl.bindTexture(gl.TEXTURE_2D, this.texture);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.NEAREST);
    gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.NEAREST);
    const depths = Float32Array.from(map.depth, (value) => value / HUNDREDTHS);
    gl.texImage2D(gl.TEXTURE_2D, 0, gl.R32F, map.columns, map.rows, 0, gl.RED, gl.FLOAT, depths);
  }

  /** The map itself, or every nth cell of it where the card cannot hold it. */
  fitting(map) {
    const most = this.gl.getParameter(this.gl.MAX_TEXTURE_SIZE);
    const times = Math.ceil(Math.max(map.columns, map.rows) / most);
    if (times === 1) return map;
    const columns = Math.floor(map.columns / times), rows = Math.floor(map.rows / times);
    const depth = new Int16Array(columns * rows);
    for (let cell = 0; cell < depth.length; cell++) {
      depth[cell] = map.depth[Math.floor(cell / columns) * times * map.columns + (cell % columns) * times];
    }
    return { ...map, columns, rows, depth, cell: map.cell * times };
  }

  /** Something else is to be seen: roughly at once, sharp when it rests. */
  again() {
    this.moving = true;
    this.changed = performance.now();
    this.sharp = false;
  }

  turned(turn, tilt) {
    this.turn += turn;
    this.tilt = Math.min(1.55, Math.max(0.12, this.tilt + tilt));
    this.again();
  }

  nearer(times) {
    this.times = Math.min(20, Math.max(0.3, this.times * times));
    this.again();
  }

  /** One frame; whether a sharper one is still to come. */
  frame(now) {
    if (this.sharp) return false;
    if (this.moving) this.pace(now);
    else if (now - this.changed > STILL) this.sharp = true;
    if (this.sharp) this.draw(MOST_RESTING);
    this.moving = false;
    return !this.sharp;
  }

  /** Draws as sharp as there is time for. The canvas keeps its size for many frames: a new one costs a frame. */
  pace(now) {
    const took = now - this.last;
    this.last = now;
    if (took < SLOW_MS) this.quick++;
    else if (took < PAUSE) this.coarser();
    if (this.quick >= this.trial) this.finer();
    this.draw(TURNING[this.level]);
  }

  coarser() {
    if (this.tried && this.quick < TRIAL) this.trial = Math.min(MOST_TRIAL, 2 * this.trial);
    this.level = Math.max(0, this.level - 1);
    this.tried = false;
    this.quick = 0;
  }

  finer() {
    this.level = Math.min(TURNING.length - 1, this.level + 1);
    this.tried = true;
    this.quick = 0;
  }

  draw(most) {
    const { gl, canvas, map, sheet, colours } = this;
    const box = canvas.getBoundingClientRect();
    const density = Math.min(2, Math.sqrt(most / (box.width * box.height)));
    const width = Math.max(2, Math.round(box.width * density)), height = Math.max(2, Math.round(box.height * density));
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    gl.viewport(0, 0, canvas.width, canvas.height);
    gl.useProgram(this.program);
    gl.uniform2i(this.uniform("cells"), map.columns, map.rows);
    gl.uniform2f(this.uniform("pixels"), canvas.width, canvas.height);
    gl.uniform1f(this.uniform("thickness"), sheet.thickness);
    gl.uniform1f(this.uniform("lift"), this.lift / map.cell);
    for (const name of ["ground", "face", "shallow", "deep", "through"]) {
      gl.uniform3f(this.uniform(name), ...rgb(colours[name]).map((part) => part / 255));
    }
    for (const [name, vector] of Object.entries(this.camera(box.width / box.height))) gl.uniform3f(this.uniform(name), ...vector);
    gl.drawArrays(gl.TRIANGLES, 0, 3);
  }

  uniform(name) {
    return (this.where[name] ??= this.gl.getUniformLocation(this.program, name));
  }

  /** Where the eye is and what is right, up and ahead of it, as long as half the picture's height. */
  camera(aspect) {
    const { columns, rows } = this.map;
    const [ct, st, ce, se] = [Math.cos(this.turn), Math.sin(this.turn), Math.cos(this.tilt), Math.sin(this.tilt)];
    const half = Math.tan(FIELD / 2);
    const across = Math.abs(columns * ct) + Math.abs(rows * st), up = Math.abs(columns * st) + Math.abs(rows * ct);
    const high = (this.sheet.thickness * this.lift) / this.map.cell;
    const away = (Math.max(across / aspect, up * se + 2 * high * ce) / 2 / half + (up * ce) / 2) * (1.06 / this.times);
    return {
      eye: [columns / 2 + st * ce * away, rows / 2 - ct * ce * away, se * away],
      right: [ct * half, st * half, 0],
      upward: [-st * se * half, ct * se * half, ce * half],
      ahead: [-st * ce, ct * ce, -se],
    };
  }
}
