"""Left and right hands: what a mirrored copy of a panel needs, and whether it differs from a plain one at all."""

from collections.abc import Iterable, Sequence

from cncpanel.geometry.combine import overlap_area
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.panel.draft import Draft
from cncpanel.panel.panel import Hole, Panel

SAME = 0.01  # mm; shapes and places that agree so nearly are one part in the hand

Round = tuple[float, float, float, float]


def judge_hand(panel: Panel, draft: Draft) -> None:
    """Tell mirrored copies of a panel that equals its mirror image, its other face reckoned too."""
    if panel.mirrored and is_symmetric(panel):
        draft.subject.warn("it is symmetric: mirrored copies are the same as plain ones", "", "mirrored")


def is_symmetric(panel: Panel) -> bool:
    """Whether a mirrored copy, turned as need be, is the panel itself; marks are not looked at."""
    sides = [panel] if panel.reverse is None else [panel, panel.reverse]
    return any(all(_agrees(side, placement) for side in sides) for placement in _mirrors(panel))


def _mirrors(panel: Panel) -> Iterable[Placement]:
    """The mirrored placements, a quarter turn apart, that put the outline's box onto itself."""
    _, _, width, height = panel.outline.bounds
    quarters = (0.0, 90.0, 180.0, 270.0) if abs(width - height) <= SAME else (0.0, 180.0)
    for angle in quarters:
        turned = Placement(angle_deg=angle, mirrored=True)
        x, y = Point(width / 2, height / 2).minus(turned.point((width / 2, height / 2)))
        yield Placement(x=x, y=y, angle_deg=angle, mirrored=True)


def _agrees(panel: Panel, placement: Placement) -> bool:
    layers: dict[float, list[Region]] = {0.0: [Region(panel.outline)]}
    layers[-1.0] = [Region(opening.contour) for opening in panel.openings]
    for recess in panel.recesses:
        layers.setdefault(round(recess.depth, 3), []).append(recess.region)
    return _same_holes(panel.holes, placement) and all(_same_regions(found, placement) for found in layers.values())


def _same_regions(regions: Sequence[Region], placement: Placement) -> bool:
    """Whether each region has its image among the others; regions of one layer never overlap."""
    return all(any(_same(region.placed(placement), other) for other in regions) for region in regions)


def _same(a: Region, b: Region) -> bool:
    if max(abs(p - q) for p, q in zip(a.bounds, b.bounds, strict=True)) > SAME or abs(a.area - b.area) > _film(a):
        return False
    return a.area - overlap_area(a, b) <= _film(a)


def _film(region: Region) -> float:
    return SAME * sum(contour.length for contour in region.contours)


def _same_holes(holes: Sequence[Hole], placement: Placement) -> bool:
    """Whether the holes fall on each other; places are compared to hundredths, and to the hundredths beside."""
    plain = {_key(hole, hole.centre, 0.0, 0.0) for hole in holes}
    nudges = [(x, y) for x in (0.0, SAME, -SAME) for y in (0.0, SAME, -SAME)]
    return all(any(_key(hole, placement.point(hole.centre), *nudge) in plain for nudge in nudges) for hole in holes)


def _key(hole: Hole, centre: Point, x: float, y: float) -> Round:
    depth = -1.0 if hole.depth is None else hole.depth
    return (
        round(centre.x + x, 2) + 0.0,
        round(centre.y + y, 2) + 0.0,
        round(hole.diameter, 3),
        round(depth, 3),
    )
