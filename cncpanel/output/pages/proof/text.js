// The program's text: only the lines in sight are in the page, so that a million lines scroll as ten do.

const ROW = 19; // pixels, as in the style sheet
const SPARE = 4; // lines ready above and below

class Listing {
  constructor(box, pick) {
    this.box = box;
    this.roll = box.firstElementChild;
    this.lines = [];
    this.flagged = new Map();
    this.top = this.height = 0; // kept, because asking the page for them makes it reckon its layout anew
    box.addEventListener("scroll", () => this.scrolled());
    new ResizeObserver(() => this.scrolled()).observe(box);
    box.addEventListener("click", (event) => {
      const row = event.target.closest("[data-line]");
      if (row) pick(Number(row.dataset.line));
    });
  }

  /** Another program; `flagged`: line -> severity. */
  show(lines, flagged) {
    Object.assign(this, { lines, flagged, at: 0 });
    this.roll.style.height = `${lines.length * ROW}px`;
    this.draw();
  }

  /** The line that runs now, kept in the middle. */
  go(line) {
    if (line === this.at) return;
    this.at = line;
    this.top = Math.max(0, Math.min((line - 0.5) * ROW - this.height / 2, this.lines.length * ROW - this.height));
    this.draw();
    this.box.scrollTop = this.top;
  }

  scrolled() {
    const { scrollTop, clientHeight } = this.box;
    if (Math.abs(scrollTop - this.top) < 1 && clientHeight === this.height) return;
    this.top = scrollTop;
    this.height = clientHeight;
    this.draw();
  }

  draw() {
    const first = Math.max(0, Math.floor(this.top / ROW) - SPARE);
    const last = Math.min(this.lines.length, first + Math.ceil(this.height / ROW) + 2 * SPARE);
    const rows = [];
    for (let i = first; i < last; i++) rows.push(this.row(i));
    this.roll.replaceChildren(...rows);
  }

  row(i) {
    const row = document.createElement("div");
    row.dataset.line = i + 1;
    row.style.top = `${i * ROW}px`;
    if (i + 1 === this.at) row.setAttribute("aria-current", "true");
    if (this.flagged.has(i + 1)) row.className = this.flagged.get(i + 1);
    const number = document.createElement("span");
    number.textContent = i + 1;
    row.append(number, this.lines[i].slice(0, 300));
    return row;
  }
}
