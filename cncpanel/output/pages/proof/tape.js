// The tape under the plan: time from left to right, how deep the tool is, which tool, and where findings lie.

class Tape {
  constructor(canvas) {
    this.canvas = canvas;
    this.pen = canvas.getContext("2d");
  }

  draw(plan) {
    const box = this.canvas.getBoundingClientRect();
    const density = window.devicePixelRatio || 1;
    const width = Math.max(50, Math.round(box.width)), height = Math.max(20, Math.round(box.height));
    this.canvas.width = width * density;
    this.canvas.height = height * density;
    this.pen.setTransform(density, 0, 0, density, 0, 0);
    this.drawDepths(plan, width, height);
    this.drawFindings(plan, width);
  }

  drawDepths(plan, width, height) {
    const { route, from, to, sheet, colours } = plan;
    const begin = route.begin(from), whole = Math.max(route.until[to - 1] - begin, 1e-9);
    const deepest = new Float32Array(width), tool = new Int16Array(width).fill(-1);
    for (let i = from; i < to; i++) {
      const first = Math.floor(((route.begin(i) - begin) / whole) * width);
      const last = Math.min(width - 1, Math.floor(((route.until[i] - begin) / whole) * width));
      const deep = route.step[i] === JUMP ? 0 : sheet.top - Math.min(route.z[i], route.z[Math.max(i - 1, 0)]);
      for (let column = first; column <= last; column++) {
        tool[column] = route.tool[i];
        deepest[column] = Math.max(deepest[column], deep);
      }
    }
    const line = 14, room = height - line - 3;
    this.pen.fillStyle = colours.quiet;
    this.pen.fillRect(0, line, width, 1);
    for (let column = 0; column < width; column++) {
      if (tool[column] < 0) continue;
      this.pen.fillStyle = plan.colourOf(tool[column]);
      const deep = Math.min(1.1, deepest[column] / sheet.thickness);
      this.pen.fillRect(column, line, 1, Math.max(2, deep * room * 0.9));
    }
  }

  drawFindings(plan, width) {
    const { route, from, to, sheet, colours } = plan;
    const begin = route.begin(from), whole = Math.max(route.until[to - 1] - begin, 1e-9);
    for (const finding of sheet.findings) {
      const move = moveOfFinding(route, finding);
      if (move === null || move < from || move >= to) continue;
      const column = ((route.until[move] - begin) / whole) * width;
      this.pen.fillStyle = colours[finding.severity];
      this.pen.beginPath();
      this.pen.moveTo(column - 5, 1);
      this.pen.lineTo(column + 5, 1);
      this.pen.lineTo(column, 12);
      this.pen.fill();
    }
  }
}

/** The move to show for a finding; null where it names no line. */
function moveOfFinding(route, finding) {
  const program = route.programs.findIndex((one) => one.name === finding.program);
  return program < 0 || !finding.line || route.first[program] === route.first[program + 1]
    ? null
    : route.moveOfLine(program, finding.line);
}
