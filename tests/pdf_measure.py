"""PDF pages measured: every stroke and text of a page in millimetres on paper, read by pypdf, placed by the
operators' own matrices (ISO 32000-1, 8.3.4). It shares nothing with the writer."""

from dataclasses import dataclass, field
from io import BytesIO
from itertools import pairwise
from math import acos, atan2, ceil, cos, hypot, pi, sin, sqrt

from pypdf import PdfReader
from pypdf.generic import ContentStream
from reportlab.pdfbase.pdfmetrics import stringWidth

Matrix = tuple[float, float, float, float, float, float]
Spot = tuple[float, float]
Box = tuple[float, float, float, float]
POINT = 25.4 / 72
SAMPLES = 24  # points on a curve at least
SAGITTA = 2e-5  # mm; so fine that two ways round one circle enclose the same area
FONTS = {"/F1": "Helvetica", "/F2": "Helvetica-Bold"}


@dataclass
class Stroke:
    """A subpath: its points on paper, width and dashes there, its ink, the clip that it is seen through."""

    points: list[Spot]
    closed: bool
    width: float
    dash: list[float]
    ink: str
    filled: bool
    clip: Box | None

    @property
    def length(self) -> float:
        return sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(self.points, self.points[1:], strict=False))


@dataclass
class Written:
    """A text: where its line begins, its box on paper."""

    text: str
    at: Spot
    box: Box
    clip: Box | None


@dataclass
class Measured:
    """A page in mm."""

    width: float
    height: float
    unit: float
    boxes: dict[str, Box]
    strokes: list[Stroke] = field(default_factory=list)
    texts: list[Written] = field(default_factory=list)
    operators: set[str] = field(default_factory=set)


def measured(content: bytes) -> list[Measured]:
    """Every page of a PDF."""
    reader = PdfReader(BytesIO(content))
    return [_page(page, reader) for page in reader.pages]


def times(a: Matrix, b: Matrix) -> Matrix:
    """First a, then b."""
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def at(matrix: Matrix, x: float, y: float) -> Spot:
    return x * matrix[0] + y * matrix[2] + matrix[4], x * matrix[1] + y * matrix[3] + matrix[5]


def box_of(points: list[Spot]) -> Box:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _page(page, reader) -> Measured:
    unit = float(page.get("/UserUnit", 1.0))
    scale = POINT * unit
    boxes = {
        name: tuple(float(value) * scale for value in page[f"/{name}"])
        for name in ("MediaBox", "BleedBox", "TrimBox")
        if f"/{name}" in page
    }
    left, low, right, high = boxes["MediaBox"]
    found = Measured(right - left, high - low, unit, boxes)
    state = {"m": (scale, 0.0, 0.0, scale, 0.0, 0.0), "w": 1.0, "d": [], "ink": "", "clip": None, "font": None}
    stack: list[dict] = []
    paths: list[list] = []
    clip_next = None
    text_matrix: Matrix = (1, 0, 0, 1, 0, 0)
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        name = operator.decode()
        found.operators.add(name)
        m = state["m"]
        if name in ("m", "l", "c", "re", "cm", "w", "Tm"):
            v = [float(x) for x in operands]
        if name == "q":
            stack.append(dict(state))
        elif name == "Q":
            state = stack.pop()
        elif name == "cm":
            state["m"] = times(tuple(v), m)
        elif name == "w":
            state["w"] = v[0]
        elif name == "d":
            state["d"] = [float(x) for x in operands[0]]
        elif name in ("G", "RG", "K", "SCN"):
            state["ink"] = f"{name} {' '.join(map(str, operands))}"
        elif name == "m":
            paths.append([[at(m, *v)], False, (v[0], v[1])])
        elif name == "l":
            paths[-1][0].append(at(m, *v))
            paths[-1][2] = (v[0], v[1])
        elif name == "c":
            paths[-1][0].extend(_curve(m, (paths[-1][2], (v[0], v[1]), (v[2], v[3]), (v[4], v[5]))))
            paths[-1][2] = (v[4], v[5])
        elif name == "h":
            paths[-1][1] = True
        elif name == "re":
            clip_next = box_of([at(m, v[0], v[1]), at(m, v[0] + v[2], v[1] + v[3])])
        elif name == "W":
            state["clip"] = clip_next
        elif name in ("S", "f", "B"):
            factor = hypot(m[0], m[1])
            for points, closed, _ in paths:
                dash = [length * factor for length in state["d"]]
                if closed:
                    points = [*points, points[0]]
                found.strokes.append(
                    Stroke(points, closed, state["w"] * factor, dash, state["ink"], name != "S", state["clip"])
                )
            paths = []
        elif name == "n":
            paths = []
        elif name == "Tf":
            state["font"] = FONTS[operands[0]], float(operands[1])
        elif name == "Tm":
            text_matrix = times(tuple(v), m)
        elif name == "Tj":
            font, size = state["font"]
            words = str(operands[0])
            width = stringWidth(words, font, size)
            corners = [at(text_matrix, x, y) for x in (0, width) for y in (-0.21 * size, 0.72 * size)]
            found.texts.append(Written(words, at(text_matrix, 0, 0), box_of(corners), state["clip"]))
    return found


def _curve(matrix: Matrix, p: tuple[Spot, Spot, Spot, Spot]) -> list[Spot]:
    points = []
    corners = [at(matrix, *spot) for spot in p]
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(corners))
    count = max(SAMPLES, ceil(sqrt(40 * length)))  # a quarter circle's chords are 0.005 mm off at most
    for i in range(1, count + 1):
        t, u = i / count, 1 - i / count
        weights = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        points.append(at(matrix, *(sum(w * q[axis] for w, q in zip(weights, p, strict=True)) for axis in (0, 1))))
    return points


def svg_arc(start: Spot, radius: float, large: int, sweep: int, end: Spot) -> list[Spot]:
    """Points of an SVG arc after the start, chords SAGITTA off: the centre by SVG 1.1, F.6.5."""
    x, y = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    square = max(radius**2 * radius**2 - radius**2 * y * y - radius**2 * x * x, 0.0) / (radius**2 * (x * x + y * y))
    sign = -1 if large == sweep else 1
    cx, cy = sign * sqrt(square) * y, -sign * sqrt(square) * x
    first = atan2(y - cy, x - cx)
    last = atan2(-y - cy, -x - cx)
    turn = last - first
    if sweep and turn < 0:
        turn += 2 * pi
    if not sweep and turn > 0:
        turn -= 2 * pi
    centre = cx + (start[0] + end[0]) / 2, cy + (start[1] + end[1]) / 2
    count = max(ceil(abs(turn) / (2 * acos(1 - SAGITTA / radius))), 2)
    angles = [first + turn * i / count for i in range(1, count + 1)]
    return [(centre[0] + radius * cos(a), centre[1] + radius * sin(a)) for a in angles]
