"""Cleats against the panel that carries them: one that leaves it or covers an opening is warned of."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from cncpanel.errors import Gathering
from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.job.read import ReadJob
from cncpanel.panel.panel import Panel
from cncpanel.panel.placed_cleat import PlacedCleat, placed_cleats
from cncpanel.units import shown

TOLD = 0.05  # mm; less is nothing to a strip of wood


def judge_cleats(read: ReadJob, panels: Sequence[Panel], gathering: Gathering) -> None:
    """Warn of every place of a cleat that does not lie on its panel, with how much of it does not."""
    by_index = {panel.index: panel for panel in panels}
    for placed in placed_cleats(read.job.cleat, panels):
        panel, place = by_index[placed.panel], read.file.place(placed.keys)
        for does, area, where in _strays(placed, panel):
            if min(_size(area, placed)) > TOLD:
                size = " x ".join(shown(round(side, 2), read.job.job.units) for side in _size(area, placed))
                hint = "at is its corner, it lies to the left of its way, flat or on edge"
                gathering.warn(place, f"cleat {placed.number} {does} {size} {where}", hint)


@lru_cache(maxsize=512)
def _strays(placed: PlacedCleat, panel: Panel) -> tuple[tuple[str, Area, str], ...]:
    """All of them, once for a cleat and a panel that stay as they are."""
    return tuple(_looked_for(placed, panel))


def _looked_for(placed: PlacedCleat, panel: Panel) -> Iterator[tuple[str, Area, str]]:
    """Each area where it does not lie on the panel, with the words before and after its size."""
    strip, named = Area.of([region_of(placed.contour)]), f'panel "{panel.name}"'
    yield "lies", strip.minus(Area.of([region_of(panel.outline)])), f"outside {named}"
    for opening in panel.openings:
        yield "covers", strip.within(Area.of([region_of(opening.contour)])), f'of "{opening.name}" in {named}'


def _size(area: Area, placed: PlacedCleat) -> tuple[float, float]:
    """How far the area reaches along the cleat and across it; nothing for an empty one."""
    if area.is_empty:
        return 0.0, 0.0
    left, low, right, high = area.turned(-placed.direction_deg, Point(0.0, 0.0)).bounds
    return right - left, high - low
