"""Rounded and bevelled rims judged by sections straight across them, from the programs read back and the tools' forms.

In each section the wanted surface is asked at angles from the wall to the face: TOLERANCE outside it everything must
have been cut, TOLERANCE inside it nothing. A map of heights would err where the surface stands upright; this does not.
A level way's distance is exact but for its arcs' chords; a sloped one counts at the height of its higher end, piece by
piece, so that it never hides what is left.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, pi, radians, sin

import numpy as np
import numpy.typing as npt
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.cuts import SAME, Cut, boxes
from cncpanel.proof.finding import Finding
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Rim, Target
from cncpanel.proof.tool_form import form_of

TOLERANCE = 0.02  # mm straight off the surface: half of what a hand feels, and under every scallop that is asked for
ANGLES = 19  # places across a section: 5 degrees of a rounding
PIECE = 1.0  # mm; a sloped way is looked at in pieces no longer
CHORD = 0.0005  # mm; arcs as chords
CLOSEST = 12  # halvings of an amount that is told: within 0.002 mm
MOST = 8.0  # mm; an amount is told up to here
LOOKED_AT = 100  # wrong places of one rim and kind that are measured, evenly spread
SHOWN = 25  # findings told for one rim and kind; the rest is counted
FORMED = ("round-over", "v-bit", "core-box")  # tools that have an edge's form; where only a ball came by, it is ridged
CLEAR_SPOT = 0.5  # mm beyond a named inside corner and the form's width
NEAR = 1e-3  # mm; a place that lies nearer to another stretch of rim than to its own section's belongs to that

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Swept:
    """Ways of one tool at one height: `depth` of its tip below the face."""

    tool: Tool
    depth: float
    way: shapely.Geometry
    cuts: tuple[Cut, ...]
    ways: tuple[shapely.Geometry, ...]

    def margin(self, x: Floats, y: Floats, depth: Floats) -> Floats:
        """How far inside the turning tool each place lies; negative outside."""
        height = self.depth - depth
        left, low, right, high = self.way.bounds
        far = self.tool.radius + MOST
        near = (x > left - far) & (x < right + far) & (y > low - far) & (y < high + far) & (height >= -SAME)
        margin = np.full(len(x), -np.inf)
        if near.any():
            shapely.prepare(self.way)
            form = form_of(self.tool)
            wide = form.reaches(np.maximum(height[near], 0.0))
            if form.disc_height is not None:
                wide = np.where(height[near] > form.disc_height, form.neck or 0.0, wide)
            margin[near] = wide - shapely.distance(shapely.points(x[near], y[near]), self.way)
        return margin


@dataclass(frozen=True, slots=True)
class Places:
    """Places of sections: on the wanted surface at (x, y, depth), and the way straight off it (outward, up)."""

    x: Floats
    y: Floats
    depth: Floats
    out_x: Floats
    out_y: Floats
    up: Floats
    inset: Floats

    def off(self, amount: Floats | float) -> tuple[Floats, Floats, Floats]:
        """The same places `amount` mm off the surface: positive out of the part."""
        return self.x + self.out_x * amount, self.y + self.out_y * amount, self.depth - self.up * amount

    def only(self, chosen: npt.NDArray[np.intp] | Flags) -> "Places":
        """Some of them."""
        parts = (self.x, self.y, self.depth, self.out_x, self.out_y, self.up, self.inset)
        return Places(*(part[chosen] for part in parts))


class RimJudge:
    """The cuts of one sheet, asked about its rims. All in program coordinates."""

    def __init__(self, target: Target, cuts: Sequence[Cut], setup: Setup, slack: float) -> None:
        """`slack` is a blending control's tolerance."""
        self._target, self._setup = target, setup
        self._cuts = list(cuts)
        self._tolerance = TOLERANCE + slack
        self._tree = shapely.STRtree(shapely.box(*boxes(self._cuts).T) if self._cuts else [])

    def findings(self) -> Iterator[Finding]:
        """Everything that is left over or cut too far in a rim's sections."""
        for rim in self._target.rims:
            yield from self._rim(rim)

    def _rim(self, rim: Rim) -> Iterator[Finding]:
        places, tapering = places_of(rim, rim.sections), places_of(rim, rim.tapers)
        swept = list(self._near(rim)) if len(places.x) or len(tapering.x) else []
        if len(places.x):
            yield from self._leftovers(rim, places, swept)
            yield from self._gouges(rim, places, swept)
        if len(tapering.x):
            yield from self._gouges(rim, tapering, swept)

    def _near(self, rim: Rim) -> Iterator[Swept]:
        """The ways that come near the rim, those of one tool and height together."""
        found = np.sort(self._tree.query(shapely.buffer(rim.path, rim.width + MOST)))
        levels: dict[tuple[int, float], list[tuple[shapely.Geometry, Cut]]] = {}
        for index in found:
            cut = self._cuts[index]
            for depth, way in _level_ways(cut):
                levels.setdefault((cut.tool.number, round(depth, 5)), []).append((way, cut))
        for (_, depth), group in levels.items():
            ways, cuts = zip(*group, strict=True)
            yield Swept(cuts[0].tool, depth, shapely.union_all(ways), cuts, ways)

    # -- what is left --------------------------------------------------------------------------------------

    def _leftovers(self, rim: Rim, places: Places, swept: Sequence[Swept]) -> Iterator[Finding]:
        asked = places.only(~self._at_spots(rim, places))
        shapely.prepare(rim.sections)
        formed = any(one.tool.kind in FORMED and one.way.distance(rim.sections) < one.tool.radius for one in swept)
        allowed = self._tolerance + (0.0 if formed else rim.ridge)
        left = ~_gone(swept, *asked.off(allowed))
        yield from self._told("leftover", rim, asked.only(left), swept, allowed)

    def _at_spots(self, rim: Rim, places: Places) -> Flags:
        """Near inside corners that are named as out of reach."""
        near = np.zeros(len(places.x), dtype=np.bool_)
        for spot in self._target.spots:
            reach = spot.size + rim.width + CLEAR_SPOT
            near |= np.hypot(places.x - spot.x, places.y - spot.y) < reach
        return near

    # -- what is cut too far -------------------------------------------------------------------------------

    def _gouges(self, rim: Rim, places: Places, swept: Sequence[Swept]) -> Iterator[Finding]:
        kept = places.only(self._wanted(rim, places))
        gone = _gone(swept, *kept.off(-self._tolerance))
        yield from self._told("gouge", rim, kept.only(gone), swept, self._tolerance)

    def _wanted(self, rim: Rim, places: Places) -> Flags:
        """Places of the part that no other feature and no other stretch of any rim takes.

        In a sharp horn a section goes out of the part on its other side: what lies there is kerf.
        """
        x, y, depth = places.off(-self._tolerance)
        points = shapely.points(x, y)
        parts = shapely.union_all([piece.shape for piece in self._target.pieces])
        shapely.prepare(parts)
        taken: Flags = ~shapely.intersects(parts, points)
        for floor in self._target.floors:
            if floor.kind != "mark" and floor.shape.distance(rim.path) < rim.width:
                taken |= (depth < floor.depth) & shapely.intersects(floor.shape, points)
        for other in self._target.rims:
            inset = np.array([other.inset(one) for one in places.depth.tolist()])
            taken |= shapely.distance(points, other.path) < inset + (NEAR if other is not rim else -NEAR)
        return ~taken & (depth > 0)

    # -- told ----------------------------------------------------------------------------------------------

    def _told(self, kind: str, rim: Rim, wrong: Places, swept: Sequence[Swept], allowed: float) -> Iterator[Finding]:
        """One finding a program line, its worst place of those looked at."""
        if not len(wrong.x):
            return
        sign = 1.0 if kind == "leftover" else -1.0
        wrong = wrong.only(np.arange(0, len(wrong.x), len(wrong.x) // LOOKED_AT + 1))
        amounts = _amounts(wrong, swept, sign)
        told: set[tuple[str, int]] = set()
        for index in np.argsort(-amounts, kind="stable"):
            place = wrong.only(np.array([index]))
            cut = _by(swept, *place.off(sign * allowed))
            line = (cut.program, cut.move.line) if cut else ("", 0)
            if line not in told:
                told.add(line)
                yield self._finding(kind, rim, place, float(amounts[index]), cut, allowed)
            if len(told) >= SHOWN:
                return

    def _finding(self, kind: str, rim: Rim, place: Places, amount: float, cut: Cut | None, allowed: float) -> Finding:
        x, y, depth = float(place.x[0]), float(place.y[0]), float(place.depth[0])
        what = "is left standing" if kind == "leftover" else "is cut too far"
        found = Finding(
            kind=kind,
            severity="error",
            text=f"{rim.name}: its form {what} by {amount:.3f} mm, X{x:.2f} Y{y:.2f}, {depth:.2f} below the top",
            x=round(x, 4),
            y=round(y, 4),
            z=round(self._setup.top - depth, 4),
            measure=round(amount, 4),
            limit=round(allowed, 4),
        )
        return found if cut is None else replace(found, program=cut.program, line=cut.move.line)


def places_of(rim: Rim, sections: shapely.Geometry) -> Places:
    """Every section's places on the wanted surface, from the wall to the face."""
    lines = shapely.get_parts(sections)
    if not len(lines):
        return Places(*(np.zeros(0) for _ in range(7)))
    ends = shapely.get_coordinates(lines).reshape(-1, 2, 2)
    out = ends[:, 1] - ends[:, 0]
    out /= np.hypot(out[:, 0], out[:, 1])[:, None]
    inset, depth, level, up = (np.array(row) for row in zip(*_profile(rim), strict=True))
    x = (ends[:, :1, 0] - out[:, :1] * inset).ravel()
    y = (ends[:, :1, 1] - out[:, 1:] * inset).ravel()
    count = len(lines)
    return Places(
        x,
        y,
        np.tile(depth, count),
        (out[:, :1] * level).ravel(),
        (out[:, 1:] * level).ravel(),
        np.tile(up, count),
        np.tile(inset, count),
    )


def _profile(rim: Rim) -> Iterator[tuple[float, float, float, float]]:
    """(inset, depth) on the surface and (outward, up) straight off it, from the wall to the face."""
    for number in range(ANGLES):
        share = number / (ANGLES - 1)
        if rim.kind == "round":
            angle = share * pi / 2
            yield rim.depth * (1 - cos(angle)), rim.depth * (1 - sin(angle)), cos(angle), sin(angle)
        else:
            angle = radians(rim.angle_deg)
            yield rim.width * share, rim.depth * (1 - share), cos(angle), sin(angle)


def _gone(swept: Sequence[Swept], x: Floats, y: Floats, depth: Floats) -> Flags:
    """Whether each place has been cut away, or lies over the sheet."""
    gone = depth <= 0
    for one in swept:
        rest = np.flatnonzero(~gone)
        if not len(rest):
            break
        gone[rest] |= one.margin(x[rest], y[rest], depth[rest]) > 0
    return gone


def _amounts(wrong: Places, swept: Sequence[Swept], sign: float) -> Floats:
    """How far off the surface the cut one lies, by halving."""
    low, high = np.zeros(len(wrong.x)), np.full(len(wrong.x), MOST)
    for _ in range(CLOSEST):
        middle = (low + high) / 2
        gone = _gone(swept, *wrong.off(sign * middle))
        still_wrong = ~gone if sign > 0 else gone
        low, high = np.where(still_wrong, middle, low), np.where(still_wrong, high, middle)
    return high


def _by(swept: Sequence[Swept], x: Floats, y: Floats, depth: Floats) -> Cut | None:
    """The cut that reaches furthest over one place, or comes nearest to reaching it; tools with a form of an edge."""
    best: tuple[float, Swept] | None = None
    for one in swept:
        margin = float(one.margin(x, y, depth)[0])
        if best is None or margin > best[0]:
            best = (margin, one)
    if best is None or best[0] == -np.inf:
        return None
    way = best[1]
    distances = shapely.distance(np.asarray(way.ways, dtype=object), shapely.Point(x[0], y[0]))
    return way.cuts[int(np.argmin(distances))]


def _level_ways(cut: Cut) -> Iterator[tuple[float, shapely.Geometry]]:
    """(depth of the tip, way): the whole of a level move, the pieces of a sloped one at their higher ends."""
    move = cut.move
    if move.is_vertical or cut.deep - cut.shallow <= SAME:
        depth = cut.shallow if not move.is_vertical else cut.deep
        yield depth, _way(move, 0.0, 1.0)
        return
    count = max(int(move.across / PIECE) + 1, 1)
    top = move.start[2] + cut.deep if move.end[2] > move.start[2] else move.end[2] + cut.deep
    for number in range(count):
        first, last = number / count, (number + 1) / count
        high = max(move.at(first)[2], move.at(last)[2])
        if top - high > 0:
            yield top - high, _way(move, first, last)


def _way(move: Move, first: float, last: float) -> shapely.Geometry:
    """The centre's way between two shares of a move, seen from above."""
    if move.is_vertical:
        return shapely.Point(move.start[:2])
    count = 1
    if move.centre is not None and move.radius > CHORD:
        step = 2 * (2 * CHORD / move.radius) ** 0.5
        count = max(int(move.sweep * (last - first) / step) + 1, 1)
    points = [move.at(first + (last - first) * number / count)[:2] for number in range(count + 1)]
    return shapely.LineString(points)
