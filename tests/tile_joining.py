"""Tiles read from a PDF and laid mark on mark, as somebody at a bench does; correction taken off again."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import atan2, degrees, hypot

import pytest
import shapely
from pdf_measure import Box, Measured, Spot, measured

MATCH = 0.18  # the pen's width, as match_marks has it
OFF = 0.05  # mm; what joined tiles may be off over the whole panel


@dataclass(frozen=True)
class Mark:
    """A cross with the way that its slanting stroke goes, in degrees."""

    at: Spot
    slant_deg: float


def tile_pages(content: bytes) -> list[Measured]:
    """The tile pages, without the explaining ones."""
    return [page for page in measured(content) if any(" (row " in text.text for text in page.texts)]


def tile_name(page: Measured) -> str:
    """`B3`, as the page's head has it."""
    return next(text.text.partition("  (row ")[0] for text in page.texts if " (row " in text.text)


def inside(box: Box, clip: Box | None) -> bool:
    return clip is None or (box[0] >= clip[0] and box[1] >= clip[1] and box[2] <= clip[2] and box[3] <= clip[3])


def marks(page: Measured) -> dict[str, Mark]:
    """Each match mark that the page shows whole, by its name."""
    lines = [s.points for s in page.strokes if s.width == pytest.approx(MATCH, rel=0.06) and len(s.points) == 2]
    slants = [p for p in lines if abs(p[0][0] - p[1][0]) > 0.1 and abs(p[0][1] - p[1][1]) > 0.1]
    names = [t for t in page.texts if t.clip is not None and t.text.count("-") == 1 and t.text[-1] in "ab"]
    found = {}
    for text in names:
        if inside(text.box, text.clip) and slants:
            start, end = min(slants, key=lambda p: hypot(p[0][0] - text.at[0], p[0][1] - text.at[1]))
            found[text.text] = Mark(start, degrees(atan2(end[1] - start[1], end[0] - start[0])))
    return found


def joined(pages: list[Measured]) -> Iterator[tuple[Measured, Spot]]:
    """Each page with where its origin lies once all are joined mark on mark, the first at (0, 0)."""
    placed = {0: (0.0, 0.0)}
    todo = [0]
    found = [marks(page) for page in pages]
    while todo:
        here = todo.pop()
        for other, other_marks in enumerate(found):
            shared = sorted(set(found[here]) & set(other_marks))
            if other in placed or not shared:
                continue
            moves = [tuple(found[here][n].at[k] - other_marks[n].at[k] for k in (0, 1)) for n in shared]
            assert len(shared) == 2, "a joint has two marks"
            assert moves[0] == pytest.approx(moves[1], abs=1e-3), "both marks of a joint agree"
            placed[other] = tuple(placed[here][k] + moves[0][k] for k in (0, 1))
            todo.append(other)
    assert len(placed) == len(pages), "every tile is joined to the others"
    for number, page in enumerate(pages):
        yield page, placed[number]


def assert_gives_back(
    pages: list[Measured], lines: Iterable[shapely.Geometry], width: float, correction: Spot = (1.0, 1.0)
) -> None:
    """The strokes of a pen on the joined tiles, as a printer with that error prints them, are the wanted lines."""
    pieces = []
    for page, (dx, dy) in joined(pages):
        for stroke in page.strokes:
            if stroke.width == pytest.approx(width * correction[0], rel=0.06) and stroke.clip is not None:
                line = shapely.LineString(stroke.points).intersection(shapely.box(*stroke.clip))
                pieces.append(shapely.affinity.translate(line, dx, dy))
    together = shapely.affinity.scale(shapely.union_all(pieces), 1 / correction[0], 1 / correction[1], origin=(0, 0))
    drawn = shapely.union_all(list(lines))
    x, y = together.bounds[0] - drawn.bounds[0], together.bounds[1] - drawn.bounds[1]
    drawn = shapely.affinity.translate(drawn, x, y)
    assert drawn.difference(together.buffer(OFF)).length == 0, "every line is there whole"
    assert together.difference(drawn.buffer(OFF)).length == 0, "and nothing else in its pen"
