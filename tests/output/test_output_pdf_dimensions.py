"""Drawings measured as printed: the PDF is opened, each extension line found, its number held against the paper.

pypdfium2 reads paths and texts; the scale is the one that the title block prints. Running dimensions as ISO 129-1 has
them: each from the one datum corner.
"""

import ctypes
import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import atan2, degrees, dist, hypot
from pathlib import Path

import pypdfium2
import pytest
from paper_samples import job as resolved_job
from paper_samples import of_text
from print_samples import POINT, texts, told
from pypdfium2 import raw

from cncpanel.geometry.segment import Bounds
from cncpanel.make.paper_set import drawing_document
from cncpanel.output.pdf import pdf

Spot = tuple[float, float]
EXTENSION, OUTLINE = 0.1, 0.5  # mm; the pens
REACH = 1.6  # mm from a line's end to the ink of the number that it leads to: a gap of 0.8 and a 1's white
OFF = 0.02  # mm on paper; the page's own decimals
NUMBER = re.compile(r"-?\d[\d./ ]*( [+-]0\.\d+)?")
RADIUS = re.compile(r"(\d+ x )?R[\d./ ]+")
JOBS = ("loop_board", "millrace", "serving_board", "story_dial", "trail_plaque")

PLATE = """[[panel]]
name = "plate"
stock = "board"
outline = [[0, 0], { to = [412, 0], radius = 30 }, [412, 290], { to = [70.5, 350], through = [250, 380] }, [0, 200]]
opening = [{ name = "port", centre = [200, 220], size = [91.25, 40], radius = 5 }]
groove = [{ name = "housing", path = [[0, 60], [300, 60]], width = 18.3, depth = 6, ends = ["open", "round"] }]
hole = [
    { name = "cam", centre = [47.3, 120], diameter = 15, depth = 12, face = "back", row = { count = 3, pitch = 96 } },
    { name = "bolt", centre = [360, 150], diameter = 6.5 },
]

[[panel]]
name = "button"
stock = "board"
size = [44, 31.5]
radius = 6
"""


@dataclass(frozen=True)
class Line:
    """A path of straight strokes on paper, mm."""

    points: tuple[Spot, ...]
    width: float


def lines(page: pypdfium2.PdfPage) -> list[Line]:
    found = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        m = item.get_matrix()
        width = ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(item, width)
        points = []
        for index in range(raw.FPDFPath_CountSegments(item)):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(item, index), x, y)
            points.append(tuple(value * POINT for value in m.on_point(x.value, y.value)))
        found.append(Line(tuple(points), width.value * hypot(m.a, m.b) * POINT))
    return found


@dataclass(frozen=True)
class Sheet:
    """A drawing's first page."""

    scale: float
    outline: Line
    extensions: list[Line]
    words: list[tuple[Bounds, str]]

    @property
    def datum(self) -> Spot:
        return min(x for x, _ in self.outline.points), min(y for _, y in self.outline.points)


def sheet(data: bytes) -> Sheet:
    page = pypdfium2.PdfDocument(data)[0]
    drawn = lines(page)
    (_, _, found), *_ = texts(data)
    words = [(box, text.strip()) for box, text in found]
    (scale,) = [text for _, text in words if re.fullmatch(r"\d+:\d+", text)]
    small, large = map(int, scale.split(":"))
    (outline,) = [line for line in drawn if line.width == pytest.approx(OUTLINE, abs=0.01)]
    pens = [line for line in drawn if line.width == pytest.approx(EXTENSION, abs=0.01) and len(line.points) == 3]
    return Sheet(small / large, outline, pens, words)


def number_at(found: Sheet, end: Spot) -> str:
    """The one number that a line leads to."""
    near = [text for box, text in found.words if NUMBER.fullmatch(text) and _away(box, end) < REACH]
    assert len(near) == 1, (end, near)
    return near[0]


def _away(box: Bounds, at: Spot) -> float:
    left, low, right, high = box
    return hypot(max(left - at[0], 0.0, at[0] - right), max(low - at[1], 0.0, at[1] - high))


def wrong(found: Sheet, unit: float, last: float) -> list[tuple[str, float]]:
    """Numbers with what they span in the job's unit, where these differ by more than the last decimals."""
    bad = []
    for line in found.extensions:
        (x, y), bend, end = line.points
        spanned = y - found.datum[1] if abs(bend[1] - y) < OFF else x - found.datum[0]
        text = number_at(found, end)
        if abs(float(told(text)) * unit - spanned / found.scale) > last + OFF / found.scale:
            bad.append((text, spanned / found.scale / unit))
    return bad


def radii(found: Sheet) -> list[float]:
    """Of circles through three neighbours on the outline where it bends gently, at full size."""
    points = found.outline.points
    made = []
    for (a, b), (_, c) in pairwise(pairwise(points)):
        turn = degrees(atan2(c[1] - b[1], c[0] - b[0]) - atan2(b[1] - a[1], b[0] - a[0]))
        twice = abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]))
        if 0.5 < abs((turn + 180) % 360 - 180) < 30 and twice > 0:
            made.append(dist(a, b) * dist(b, c) * dist(a, c) / (2 * twice) / found.scale)
    return made


@cache
def demo(job: str) -> list[Sheet]:
    read, panels = resolved_job(job)
    return [sheet(pdf(drawing_document(read, panel))) for panel in panels]


@pytest.mark.parametrize("job", JOBS)
def test_every_number_on_paper_is_the_distance_that_its_line_lies_from_the_datum(job: str) -> None:
    for found in demo(job):
        assert len(found.extensions) >= 4
        assert [] == wrong(found, 1.0, 0.005)


@pytest.mark.parametrize(
    ("unit", "length", "last"), [("mm", 1.0, 0.005), ("inch", 25.4, 0.0127), ("fraction", 25.4, 0.0127)]
)
def test_every_number_is_the_distance_in_the_units_that_the_job_asks_for(
    tmp_path: Path, unit: str, length: float, last: float
) -> None:
    read, panels = of_text(tmp_path, PLATE, f'[settings]\ndimensions = "{unit}"\n')
    sheets = [sheet(pdf(drawing_document(read, panel))) for panel in panels]
    assert len(sheets[0].extensions) >= 15  # both ends, port, housing, corners, four holes' places
    for found in sheets:
        assert [] == wrong(found, length, last)


def test_every_radius_told_is_an_arc_of_the_outline() -> None:
    count = 0
    for found in (one for job in JOBS for one in demo(job)):
        bent = radii(found)
        for text in (text for _, text in found.words if RADIUS.fullmatch(text)):
            radius = float(told(text))
            if any(abs(radius - size) < 0.03 * radius for size in bent):
                count += 1
            else:
                assert text in _table_words(found), text
    assert count >= 10


def _table_words(found: Sheet) -> set[str]:
    """Radii told lower than the drawing, in tables: of cuts, and of corners once more."""
    lowest = min(line.points[2][1] for line in found.extensions)
    return {text for (_, _, _, high), text in found.words if RADIUS.fullmatch(text) and high < lowest}


def test_a_drawing_of_another_scale_and_a_shifted_line_are_found() -> None:
    (found, *_) = demo("loop_board")
    assert wrong(Sheet(found.scale * 1.02, found.outline, found.extensions, found.words), 1.0, 0.005)
    line = found.extensions[-1]
    moved = Line(tuple((x + 0.1, y + 0.1) for x, y in line.points), line.width)
    assert 1 == len(wrong(Sheet(found.scale, found.outline, [*found.extensions[:-1], moved], found.words), 1.0, 0.005))
