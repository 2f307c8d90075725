"""A target asked by depth: what must stay just below a depth, which bars must be left."""

from collections.abc import Iterable

import shapely

from cncpanel.proof.target import Floor, Tab, Target

SAME_DEPTH = 1e-6  # mm
PROBE = 0.5  # mm off the wall; narrower than any kerf
INTO = 3.0  # mm; how far a bar goes on into the part beyond the kerf, whose rim may lie askew
FINE_QUARTER = 64  # chords a quarter turn: within 0.001 mm for the widest rounding
WIDEST = 25.0  # mm; two kerfs of common router bits: a bar over scrap that meets no part


class WantedShape:
    """A Target with the pieces' and floors' shapes united once for each depth that is asked for."""

    def __init__(self, target: Target, floors: Iterable[Floor]) -> None:
        """`floors` are the target's, changed where a drill made a hole."""
        self.target = target
        self.floors = tuple(floors)
        self._pieces = shapely.union_all([piece.shape for piece in target.pieces])
        self._stay: dict[float, shapely.Geometry] = {}

    @property
    def underside(self) -> float:
        """A depth just above the sheet's underside."""
        return self.target.thickness - 2 * SAME_DEPTH

    @property
    def starts(self) -> tuple[float, ...]:
        """The depths at which what must stay changes: the face, and every floor that is not the underside."""
        depths = {round(f.depth, 6) for f in self.floors if f.depth < self.target.thickness - SAME_DEPTH}
        depths |= {round(rim.depth, 6) for rim in self.target.rims if rim.depth < self.target.thickness - SAME_DEPTH}
        return tuple(sorted({0.0, *depths}))

    def must_stay(self, depth: float) -> shapely.Geometry:
        """What of the parts is wanted just below `depth`."""
        key = round(depth, 6)
        if key not in self._stay:
            open_there = [floor.shape for floor in self.floors if floor.depth > key + SAME_DEPTH]
            open_there += rim_bands(self.target, key)
            gone = shapely.union_all(open_there) if open_there else shapely.Polygon()
            self._stay[key] = shapely.difference(self._pieces, gone)
        return self._stay[key]

    def must_stay_beside(self, depth: float) -> shapely.Geometry:
        """The same for tools that go in under the face: less the slots that are open at that depth."""
        slots = [one for slot in self.target.slots if slot.holds(depth) for one in (slot.shape, slot.beyond)]
        stay = self.must_stay(depth)
        return shapely.difference(stay, shapely.union_all(slots)) if slots else stay

    def piece_at(self, point: shapely.Point) -> str:
        """The name of the part at a point, for sentences."""
        inside = [piece.name for piece in self.target.pieces if piece.shape.distance(point) < 0.5]
        return inside[0] if inside else "the sheet"


def rim_bands(target: Target, depth: float) -> list[shapely.Geometry]:
    """What rounded and bevelled rims take from the parts just below a depth: bands along their walls."""
    return [
        shapely.buffer(rim.path, rim.inset(depth), quad_segs=FINE_QUARTER, cap_style="flat")
        for rim in target.rims
        if rim.inset(depth) > SAME_DEPTH
    ]


def bar(tab: Tab, wanted: WantedShape, width: float, across: float) -> shapely.Polygon:
    """The tab's bar, `width` along the wall, from the wall `across` mm into the scrap."""
    along, away = tab.along, _away(tab, wanted)
    places = ((-width / 2, 0.0), (width / 2, 0.0), (width / 2, across), (-width / 2, across))
    return shapely.Polygon(
        [(tab.x + along[0] * s + away[0] * d, tab.y + along[1] * s + away[1] * d) for s, d in places]
    )


def whole_bar(tab: Tab, wanted: WantedShape, reach: float = WIDEST) -> shapely.Polygon:
    """The tab's bar at the underside: to the next part within `reach` mm, wholly into it, or WIDEST over scrap."""
    foot = tab.foot(wanted.target.thickness)
    away, half = _away(tab, wanted), foot / 2
    parts = wanted.must_stay(wanted.underside)
    ways = [_way_to(tab, away, side, max(reach, WIDEST), parts) for side in (-half, 0.0, half)]
    met = [way for way in ways if way is not None]
    return bar(tab, wanted, foot, max(met) + INTO if met else WIDEST)


def _way_to(tab: Tab, away: tuple[float, float], side: float, reach: float, parts: shapely.Geometry) -> float | None:
    """How far it is from the wall to the next part, `side` mm along the wall from the tab's middle."""
    x, y = tab.x + tab.along[0] * side, tab.y + tab.along[1] * side
    first, last = (shapely.Point(x + away[0] * way, y + away[1] * way) for way in (PROBE, reach))
    met = shapely.intersection(shapely.LineString([first, last]), parts)
    return None if met.is_empty else PROBE + float(first.distance(met))


def _away(tab: Tab, wanted: WantedShape) -> tuple[float, float]:
    """From the wall into the scrap."""
    away = (-tab.along[1], tab.along[0])
    probe = shapely.Point(tab.x + away[0] * PROBE, tab.y + away[1] * PROBE)
    is_part = wanted.must_stay(wanted.underside).distance(probe) == 0
    return (-away[0], -away[1]) if is_part else away
