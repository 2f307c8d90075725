"""The demo jobs laid out but not cut, and how tests measure what was printed of them."""

import re
import shutil
import tempfile
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path

import pypdfium2
from pypdfium2 import raw

from cncpanel.geometry.segment import Bounds
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, prepare

FIXTURES = Path(__file__).parents[1] / "fixtures" / "jobs"
# jobs for the saw alone name no machine
JOBS = sorted(path.stem for path in FIXTURES.glob("*.toml") if "\nmachine = " in path.read_text(encoding="utf-8"))
POINT = 25.4 / 72  # mm
MARGIN = 14.5  # mm; nothing of the set is set nearer to the page's edge
DESCENT = 0.6  # mm; how far letters of the foot reach under their line


@cache
def laid_out(job: str, *changes: tuple[str, str]) -> Made:
    """A demo job without its programs, words of its file changed."""
    text = (FIXTURES / f"{job}.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    with tempfile.TemporaryDirectory() as folder:
        for drawing in FIXTURES.glob("*.dxf"):
            shutil.copy(drawing, folder)
        path = Path(folder) / f"{job}.toml"
        path.write_text(text, encoding="utf-8")
        prepared = prepare(path, Choice(), lambda _: None)
    return Made(
        read=prepared.read,
        machine=prepared.machine,
        panels=prepared.panels,
        plans=prepared.plans,
        layout=prepared.layout,
        sheets=(),
        gathering=prepared.gathering,
    )


def told(text: str) -> Fraction:
    """The number that a dimension tells, its sign (R, Ø, 4 x R) left out; an error behind a fraction is added."""
    bare = re.sub(r"^(\d+ x )?[RØ]?", "", text) if re.match(r"^(\d+ x )?[RØ]", text) else text
    match = re.fullmatch(r"(-?)(\d+(?:\.\d+)?(?= |$))?(?: ?(\d+/\d+))?(?: ([+-]\d+\.\d+))?", bare)
    assert match, text
    size = Fraction(match[2] or 0) + Fraction(match[3] or 0)
    return (-size if match[1] else size) + Fraction(match[4] or 0)


def texts(data: bytes) -> Iterator[tuple[int, tuple[float, float], list[tuple[Bounds, str]]]]:
    """Page number, size and every text with its box, in mm."""
    document = pypdfium2.PdfDocument(data)
    for number, page in enumerate(document, start=1):
        words = page.get_textpage()
        found = []
        for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
            left, low, right, high = (value * POINT for value in item.get_bounds())
            if right - left > 0.01:
                length = raw.FPDFTextObj_GetText(item, words, None, 0)
                buffer = (raw.FPDF_WCHAR * (length // 2 + 1))()
                raw.FPDFTextObj_GetText(item, words, buffer, length)
                found.append(((left, low, right, high), bytes(buffer).decode("utf-16-le").strip("\0")))
        width, height = page.get_size()
        yield number, (width * POINT, height * POINT), found


def overlapping(boxes: list[tuple[Bounds, str]]) -> list[tuple[str, str]]:
    """Texts that lie on each other."""
    return [(p, q) for (a, p), (b, q) in combinations(boxes, 2) if _overlap(a, b)]


def _overlap(a: Bounds, b: Bounds) -> bool:
    air = 0.05  # mm; boxes that touch do not overlap
    return min(a[2], b[2]) - max(a[0], b[0]) > air and min(a[3], b[3]) - max(a[1], b[1]) > air


def assert_clear(data: bytes) -> None:
    """No text on another, none beyond the margins."""
    pages = list(texts(data))
    assert len(pages) > 3
    for number, (width, height), found in pages:
        assert [] == overlapping(found), number
        for (left, low, right, high), text in found:
            assert MARGIN <= left, text
            assert MARGIN - DESCENT <= low, text
            assert right <= width - MARGIN + 0.6, text
            assert high <= height - MARGIN, text
