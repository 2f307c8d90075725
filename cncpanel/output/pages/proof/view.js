// What part of the sheet the plan shows: pixels a mm, and the place in the middle. Y goes up.

class View {
  constructor(width, height, scale, x, y) {
    Object.assign(this, { width, height, scale, x, y });
  }

  static whole(width, height, { size: [across, up], corner: [left, low] }) {
    const scale = Math.min((width - 48) / across, (height - 48) / up);
    return new View(width, height, Math.max(scale, 0.001), left + across / 2, low + up / 2);
  }

  right(x) {
    return this.width / 2 + (x - this.x) * this.scale;
  }

  down(y) {
    return this.height / 2 - (y - this.y) * this.scale;
  }

  place(right, down) {
    return { x: this.x + (right - this.width / 2) / this.scale, y: this.y - (down - this.height / 2) / this.scale };
  }

  /** Nearer or further by a factor; what is under a pixel stays there. */
  zoomed(factor, right = this.width / 2, down = this.height / 2) {
    const scale = Math.min(Math.max(this.scale * factor, 0.02), 2000);
    const under = this.place(right, down);
    const x = under.x - (right - this.width / 2) / scale;
    const y = under.y + (down - this.height / 2) / scale;
    return new View(this.width, this.height, scale, x, y);
  }

  panned(right, down) {
    return new View(this.width, this.height, this.scale, this.x - right / this.scale, this.y + down / this.scale);
  }

  centred(x, y, scale = this.scale) {
    return new View(this.width, this.height, scale, x, y);
  }

  /** Whether a place lies well inside, so that a view that follows it need not move yet. */
  holds({ x, y }) {
    return Math.abs(x - this.x) * this.scale < this.width * 0.35 && Math.abs(y - this.y) * this.scale < this.height * 0.35;
  }

  sized(width, height) {
    return new View(width, height, this.scale, this.x, this.y);
  }

  same(other) {
    return ["width", "height", "scale", "x", "y"].every((name) => this[name] === other[name]);
  }
}
