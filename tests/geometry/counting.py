"""How many lines and arcs a result has: what the tests of offsets and combinations compare."""

from collections.abc import Iterable

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region


def elements(contour: Contour) -> tuple[int, int]:
    """(lines, arcs)."""
    arcs = sum(segment.is_arc for segment in contour.segments)
    return len(contour.vertices) - arcs, arcs


def counted(regions: Iterable[Region]) -> list[list[tuple[int, int]]]:
    """(lines, arcs) of every contour of every region."""
    return [[elements(contour) for contour in region.contours] for region in regions]
