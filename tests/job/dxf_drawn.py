"""Small drawings made on the spot by ezdxf, and what the reader makes of them."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf

from cncpanel.errors import Gathering, Place
from cncpanel.job.dxf import DxfShape, read_dxf

PLACE = Place("bench.toml", 7, "panel[0].dxf")


@dataclass(frozen=True)
class Outcome:
    """Shapes or None, and the texts said, without the place and the file's name."""

    shapes: tuple[DxfShape, ...] | None
    problems: list[str]
    warnings: list[str]

    @property
    def only(self) -> DxfShape:
        """The one shape of a drawing that reads without a word."""
        assert self.problems == []
        assert self.shapes is not None
        assert len(self.shapes) == 1
        return self.shapes[0]


def read(path: Path, layer: str | None = None, unit: str | None = None, tolerance: float = 0.05) -> Outcome:
    """Read the file as the job `bench.toml` would."""
    gathering = Gathering()
    shapes = read_dxf(path, layer=layer, unit=unit, tolerance=tolerance, place=PLACE, gathering=gathering)
    assert all(p.place == PLACE for p in gathering.found)
    head = f"{path.name}: "
    assert all(p.text.startswith(head) for p in gathering.found)
    said = [[str(p).split(head, 1)[1] for p in kind] for kind in (gathering.problems, gathering.warnings)]
    assert (shapes is None) == bool(said[0])
    return Outcome(shapes, *said)


def drawn(
    folder: Path,
    draw: Callable[[Any], object],
    *,
    version: str = "R2010",
    units: int = 4,
    layer: str | None = None,
    unit: str | None = None,
    tolerance: float = 0.05,
) -> Outcome:
    """Draw with `draw(modelspace)`, write, read back."""
    document = ezdxf.new(version, units=units)
    draw(document.modelspace())
    path = folder / "drawn.dxf"
    document.saveas(path)
    return read(path, layer, unit, tolerance)


def box(space: Any, x: float, y: float, width: float, height: float, **attributes: object) -> None:
    """A closed rectangle."""
    corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    space.add_lwpolyline(corners, close=True, dxfattribs=attributes)


def lines(space: Any, *points: tuple[float, float], **attributes: object) -> None:
    """Lines from point to point."""
    for start, end in pairwise(points):
        space.add_line(start, end, dxfattribs=attributes)
