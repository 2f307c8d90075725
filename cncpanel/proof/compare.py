"""What the programs leave against what is wanted: gouges, leftovers, tabs, loose pieces. Depth by depth, by GEOS.

Just below every depth at which the wanted shape changes, nothing that must stay may be covered; just above every
floor all of it must be.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from math import hypot

import numpy as np
import shapely

from cncpanel.proof.cuts import Cut, boxes, ceilings, deepest
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.profile import radius_at, tip_height
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Floor, Tab, Target
from cncpanel.proof.wanted_shape import WantedShape, bar, whole_bar

TOUCH = 0.01  # mm; what must stay may be touched, and what must go left, this far: a fifth of what a shop measures
DEPTH = 0.01  # mm; the same for depths
SHOWN = 25  # places told for one depth or floor; the rest is counted
SHORT_STROKE = 0.1  # mm; less of a mark that is not cut is a rounding
HAIR = 0.1  # mm; a neck of less than twice this holds nothing
CRUMB = 0.5  # mm; a piece thinner than twice this is a crumb, and a neck that thin is told (common practice, no source)
LEAST_NECKED = 20.0  # mm2; smaller pieces that hang by a neck are not told
MOST_LOOSE = 200  # loose and necked pieces told; beyond, the sheet is wrong throughout and the count says so
OFF_SHEET = 3.5  # mm more than its width that a tool may go beside the sheet: what roughing may leave on a wall there
RIM = 0.02  # mm; so far off its drawn place a sound wall may be
HELD_BY_VACUUM = 10_000.0  # mm2; a smaller loose piece moves under vacuum (rule of thumb, no source)
FITS = 0.05  # mm; a drill is the hole's own when it stands on its centre this well
FINE_QUARTER = 64  # chords a quarter turn: within 0.001 mm for the widest router bits
ROUND_BOX = 0.71  # of a box's side: half the diagonal, since a part may lie turned
TAB_SLACK = 0.05  # mm; a bar may be this much shorter than declared: chords, and the search for its ends
SPECK = 1e-6  # mm2; rounding
DUST = 0.04  # mm; a crumb no larger is left by the search for a bar's end on a bent wall
NEAR_BAR = 1.25  # of the tool's radius: as far as it stays from a bar, and a quarter for bent walls
FARTHEST_OF_BAR = 2.5  # of the tool's radius: in the tightest bend that takes a tab
LONGEST_BAR = 4.0  # of the widest tool's diameter, from part to part: two kerfs, and scrap between that would come free
BESIDE_BAR = 0.1  # of the tool's radius; on a bent wall a tool that keeps to its path leaves so much beside a bar
SMOOTHED = 0.02  # of the tool's radius; what GEOS's buffer may smooth away, doubled


class Comparison:
    """One sheet's cuts and its target, both in program coordinates."""

    def __init__(
        self,
        target: Target,
        cuts: Sequence[Cut],
        setup: Setup,
        held_at: Sequence[shapely.Geometry] = (),
        freed: Callable[[shapely.Polygon], Cut | None] = lambda piece: None,
    ) -> None:
        """Cuts in the order of the programs; `held_at`: clamps and screws; `freed`: which cut set a piece free."""
        self._freed = freed
        self._held_at = held_at
        self.cuts = deepest(cuts)
        self.setup = setup
        self._covered = Footprints().covered
        self.touch = TOUCH + setup.machine.dialect.blend_tolerance
        self._boxes = boxes(self.cuts)
        self.wanted = WantedShape(target, [self._as_made(floor) for floor in target.floors])
        reach = LONGEST_BAR * max((2 * cut.tool.radius for cut in self.cuts), default=0.0)
        self._bars = [(tab, whole_bar(tab, self.wanted, reach)) for tab in target.tabs]
        self.numbers: dict[str, float] = {"gouges": 0.0, "leftovers": 0.0, "loose_pieces": 0.0}

    @cached_property
    def _tree(self) -> shapely.STRtree | None:
        """Of every cut's box; not asked where nothing is wanted."""
        return shapely.STRtree(shapely.box(*self._boxes.T)) if self.cuts else None

    def findings(self) -> Iterator[Finding]:
        """Everything that differs."""
        for depth in self.wanted.starts:
            yield from self._gouges(depth)
        yield from self._undercut()
        yield from self._thin_tabs()
        for floor in self.wanted.floors:
            yield from self._floor(floor)
        yield from self._outside()
        yield from self._loose()

    @property
    def beside_tabs(self) -> shapely.Geometry:
        """The bars of all tabs, and as far round them as a tool that rises for one may leave."""
        widest = max((cut.tool.radius for cut in self.cuts), default=0.0)
        return shapely.buffer(shapely.union_all([whole for _, whole in self._bars]), FARTHEST_OF_BAR * widest)

    def near(self, shape: shapely.Geometry, depth: float) -> list[Cut]:
        """Cuts whose box meets the shape's, at least as deep as `depth`."""
        if self._tree is None:
            return []
        found = np.sort(self._tree.query(shape))
        return [self.cuts[i] for i in found if self.cuts[i].deep >= depth - 1e-5]

    def _as_made(self, floor: Floor) -> Floor:
        """A mark's shape grown by the half width of its strokes; a drilled hole's straight wall ends over the point."""
        if floor.kind == "mark":
            cuts = [c for c in self.near(floor.shape, 0.0) if c.deep <= floor.depth + DEPTH and _within(c, floor)]
            widest = max((radius_at(cut.tool, floor.depth) for cut in cuts), default=0.0)
            return replace(floor, shape=shapely.buffer(floor.shape, widest + self.touch))
        return floor

    def _drill_tip(self, floor: Floor) -> float:
        """The length of the drill's point where a drill made this blind hole, else 0."""
        if floor.kind != "hole":
            return 0.0
        x, y = floor.shape.centroid.coords[0]
        for cut in self.near(floor.shape, 0.0):
            start = cut.move.start
            if cut.tool.kind == "drill" and hypot(start[0] - x, start[1] - y) < FITS:
                return tip_height(cut.tool)
        return 0.0

    # -- nothing that must stay is touched -----------------------------------------------------------------

    def _gouges(self, depth: float) -> Iterator[Finding]:
        text = "material that must stay is cut"
        stay = shapely.buffer(self.wanted.must_stay(depth), -self.touch)
        if not any(slot.holds(depth + DEPTH) for slot in self.wanted.target.slots):
            yield from self._touched(stay, depth + DEPTH, "gouge", text)
            return
        yield from self._touched(stay, depth + DEPTH, "gouge", text, undercutting=False)
        stay = shapely.buffer(self.wanted.must_stay_beside(depth + DEPTH), -self.touch)
        yield from self._touched(stay, depth + DEPTH, "gouge", text, undercutting=True)

    def _touched(
        self, stay: shapely.Geometry, depth: float, kind: str, text: str, *, undercutting: bool | None = None
    ) -> Iterator[Finding]:
        """`undercutting`: by such tools alone, or by all others; None: by any."""
        if stay.is_empty:
            return
        near = self.near(stay, depth)
        cover = self._covered([cut for cut in near if undercutting in (None, cut.tool.undercuts)], depth)
        if not cover.shapes:
            return
        shapely.prepare(stay)
        hits = np.flatnonzero(shapely.intersects(stay, np.asarray(cover.shapes, dtype=object)))
        self.numbers["gouges"] += len(hits)
        for index in hits[:SHOWN]:
            yield self._gouge(stay, cover.shapes[index], cover.cuts[index], kind, text)

    def _gouge(self, stay: shapely.Geometry, shape: shapely.Geometry, cut: Cut, kind: str, text: str) -> Finding:
        touched = shapely.intersection(stay, shape)
        at = touched.representative_point()
        corners = shapely.points(shapely.get_coordinates(touched))
        measure = float(np.max(shapely.distance(stay.boundary, corners), initial=0.0)) + self.touch
        where = f"{self.wanted.piece_at(at)}, X{at.x:.2f} Y{at.y:.2f}, to {cut.deep:.2f} below the top"
        return Finding(
            kind=kind,
            severity="safety" if kind == "tab-thin" else "error",
            text=f"{text}: {where}",
            program=cut.program,
            line=cut.move.line,
            x=round(at.x, 4),
            y=round(at.y, 4),
            z=round(self.setup.top - cut.deep, 4),
            measure=round(measure, 4),
            limit=self.touch,
        )

    def _undercut(self) -> Iterator[Finding]:
        """Under a face that nothing has touched: each disc at its lower side; at its upper where there are slots."""
        upper = _over_discs(self.cuts) if self.wanted.target.slots else []
        for level in sorted({*_under_discs(self.cuts), *upper}):
            if level > 0:
                stay = shapely.buffer(self.wanted.must_stay_beside(level), -self.touch)
                text = "material that must stay is cut under the face"
                yield from self._touched(stay, level, "gouge", text, undercutting=True)

    def _thin_tabs(self) -> Iterator[Finding]:
        for tab in self.wanted.target.tabs:
            kerf = 2 * self._radius_near(shapely.Point(tab.x, tab.y), 0.0, self.touch)
            stay = shapely.buffer(bar(tab, self.wanted, tab.width - 2 * TAB_SLACK, kerf), -self.touch)
            text = f"the tab of {tab.name} is thinner or shorter than its {tab.width:g} mm"
            yield from self._touched(stay, tab.top + DEPTH, "tab-thin", text)
            for level in _under_discs(self.near(stay, tab.top)):
                if level > tab.top + DEPTH:
                    yield from self._touched(stay, level, "tab-thin", text, undercutting=True)

    def _radius_near(self, shape: shapely.Geometry, depth: float, distance: float = 0.5) -> float:
        """The smallest tool that came by; 0 where none did."""
        cuts = self.near(shapely.buffer(shape, distance), depth)
        return min((cut.tool.radius for cut in cuts if cut.tool.is_flat), default=0.0)

    # -- everything that must go is gone -------------------------------------------------------------------

    def _floor(self, floor: Floor) -> Iterator[Finding]:
        if floor.kind == "mark":
            yield from self._mark(floor)
            return
        through = floor.kind == "through"
        tip = self._drill_tip(floor)
        depth = floor.depth if through else floor.depth - tip - DEPTH
        tabs = self._tabs_of(floor) if through else []
        over_tabs = min((tab.top for tab in tabs), default=0.0) - DEPTH
        yield from self._left(floor, depth, tabs, max(over_tabs, 0.0))
        if tabs:
            yield from self._left(floor, over_tabs, [])

    def _tabs_of(self, floor: Floor) -> list[Tab]:
        return [tab for tab, whole in self._bars if whole.intersects(floor.shape)]

    def _mark(self, floor: Floor) -> Iterator[Finding]:
        """Every stroke must be cut to its depth; where nothing says them, something must."""
        depth = floor.depth - DEPTH
        cover = self._covered(self.near(floor.shape, depth), depth).shapes
        strokes = floor.shape if floor.must is None else floor.must
        cut = shapely.buffer(shapely.union_all(cover), 2 * self.touch) if cover else shapely.Polygon()
        missing = shapely.difference(strokes, cut)
        if floor.must is not None and missing.length > SHORT_STROKE:
            self.numbers["leftovers"] += 1
            text = f"{missing.length:.1f} mm of its {strokes.length:.1f} mm of strokes are not cut to their depth"
            yield self._leftover(floor, missing, text)
        elif not strokes.intersects(cut):
            yield self._leftover(floor, strokes, "nothing of it is cut to its depth")

    def _left(self, floor: Floor, depth: float, tabs: Sequence[Tab], above: float = 0.0) -> Iterator[Finding]:
        """At the depth, and over every disc between it and the depth `above`."""
        must = floor.shape if floor.must is None else floor.must
        shape = shapely.buffer(shapely.intersection(must, self.wanted.target.sheet), -self.touch)
        for level in ceilings(self.near(shape, 0.0), depth, above):
            yield from self._left_at(floor, shape, level, [tab for tab in tabs if tab.top < level])
        yield from self._left_at(floor, shape, depth, tabs)

    def _left_at(self, floor: Floor, shape: shapely.Geometry, depth: float, tabs: Sequence[Tab]) -> Iterator[Finding]:
        cover = self._covered(self.near(shape, depth), depth).shapes
        left = shapely.difference(shape, shapely.union_all(cover)) if cover else shape
        pieces = [piece for piece in _polygons(left) if piece.area > SPECK and _across(piece) > DUST]
        judged = [self._judged(floor, depth, piece, tabs) for piece in pieces]
        wrong = [finding for finding in judged if finding is not None]
        self.numbers["leftovers"] += len(wrong)
        yield from wrong[:SHOWN]

    def _judged(self, floor: Floor, depth: float, left: shapely.Polygon, tabs: Sequence[Tab]) -> Finding | None:
        """None where a tab or a named spot accounts for it, and no tool that came by could have reached it."""
        radius = self._radius_near(left, depth)
        if not radius:
            return self._leftover(floor, left, f"not cut to {depth:.2f} below the top")
        bars = [whole for tab, whole in self._bars if tab in tabs and whole.distance(left) < radius + TAB_SLACK]
        if bars:
            is_the_tabs = self._is_of_bars(left, floor.depth, radius, bars)
            return None if is_the_tabs else self._leftover(floor, left, f"left standing {depth:.2f} below the top")
        if not self._unreachable(left, floor.depth, radius, (), SMOOTHED):
            return self._leftover(floor, left, f"left standing {depth:.2f} below the top")
        if self._is_named(left):
            return None
        return self._leftover(floor, left, "a corner that the tool cannot reach and that was not named")

    def _is_of_bars(self, left: shapely.Polygon, depth: float, radius: float, bars: Sequence[shapely.Polygon]) -> bool:
        """Whether all of it lies where the tool had to rise for a bar; farther from one it is judged more strictly."""
        united = shapely.union_all(list(bars))
        if shapely.difference(left, shapely.buffer(united, FARTHEST_OF_BAR * radius)).area > SPECK:
            return False
        beyond = shapely.difference(left, shapely.buffer(united, NEAR_BAR * radius))
        if beyond.area > SPECK and not self._unreachable(beyond, depth, radius, bars, SMOOTHED):
            return False
        return self._unreachable(left, depth, radius, bars, BESIDE_BAR)

    def _unreachable(
        self,
        left: shapely.Geometry,
        depth: float,
        radius: float,
        bars: Sequence[shapely.Polygon],
        share: float,
    ) -> bool:
        """Whether a disc of that radius, kept off what must stay and off the bars, misses it, but for that share."""
        xmin, ymin, xmax, ymax = left.bounds
        far = 4 * radius
        window = shapely.box(xmin - far, ymin - far, xmax + far, ymax + far)
        kept = shapely.intersection(self.wanted.must_stay(depth - 1e-5), window)
        free = shapely.difference(window, shapely.union_all([kept, *bars]))
        narrowed = shapely.buffer(free, -radius, quad_segs=FINE_QUARTER)
        open_to_it = shapely.buffer(narrowed, radius, quad_segs=FINE_QUARTER)
        slack = share * radius + 2 * self.touch
        reached = shapely.intersection(shapely.buffer(left, -slack / 2), shapely.buffer(open_to_it, -slack / 2))
        return bool(reached.is_empty)

    def _is_named(self, left: shapely.Polygon) -> bool:
        xmin, ymin, xmax, ymax = left.bounds
        for spot in self.wanted.target.spots:
            reach = spot.size * ROUND_BOX + 10 * self.touch
            if spot.x - reach <= xmin and xmax <= spot.x + reach and spot.y - reach <= ymin and ymax <= spot.y + reach:
                return True
        return False

    def _leftover(self, floor: Floor, left: shapely.Geometry, text: str) -> Finding:
        at = left.representative_point()
        size = _across(left)
        return Finding(
            kind="leftover",
            severity="error",
            text=f"{floor.name}: {text}, X{at.x:.2f} Y{at.y:.2f}, {size:.2f} mm across",
            x=round(at.x, 4),
            y=round(at.y, 4),
            z=round(self.setup.top - floor.depth, 4),
            measure=round(size, 4),
            limit=self.touch,
        )

    # -- nothing beside the sheet, nothing loose -----------------------------------------------------------

    def _outside(self) -> Iterator[Finding]:
        """A cut whose tool is wholly beside the sheet by more than its own width is meant for another sheet."""
        sheet = np.array(self.wanted.target.sheet.bounds)
        wide = 2 * np.array([cut.tool.radius for cut in self.cuts]).reshape(-1, 1) + OFF_SHEET
        low, high = self._boxes[:, :2] < sheet[:2] - wide, self._boxes[:, 2:] > sheet[2:] + wide
        for number in np.flatnonzero(np.hstack((low, high)).any(axis=1)).tolist():
            cut = self.cuts[number]
            yield Finding(
                kind="outside",
                severity="safety",
                text="a cut beside the sheet",
                program=cut.program,
                line=cut.move.line,
                x=cut.move.end[0],
                y=cut.move.end[1],
                z=cut.move.end[2],
            )

    def _loose(self) -> Iterator[Finding]:
        """Pieces that nothing holds once all programs have run."""
        depth = self.wanted.target.thickness
        cover = self._covered((cut for cut in self.cuts if cut.deep >= depth - 1e-5), depth).shapes
        if not cover:
            return
        left = shapely.difference(self.wanted.target.sheet, shapely.union_all(cover))
        held_by_hair = self._inner_pieces(shapely.buffer(left, -HAIR))
        crumbs = shapely.is_empty(shapely.buffer(held_by_hair, HAIR - CRUMB)).tolist()
        loose = [piece for piece, is_crumb in zip(held_by_hair, crumbs, strict=True) if not is_crumb]
        self.numbers["loose_pieces"] += len(loose)
        yield from map(self._loose_piece, sorted(loose, key=lambda piece: -piece.area)[:MOST_LOOSE])
        tree = shapely.STRtree(loose)
        necked = [piece for piece in self._inner_pieces(shapely.buffer(left, -CRUMB)) if piece.area > LEAST_NECKED]
        for piece in necked[:MOST_LOOSE]:
            if not len(tree.query(piece, predicate="intersects")):
                yield self._necked_piece(piece)

    def _inner_pieces(self, left: shapely.Geometry) -> list[shapely.Polygon]:
        """What neither reaches the sheet's own edge nor lies under a clamp or a screw."""
        pieces = _polygons(left)
        away = shapely.distance(pieces, self.wanted.target.sheet.boundary) > 2 * CRUMB
        inner = [piece for piece, is_inner in zip(pieces, away.tolist(), strict=True) if is_inner]
        return [piece for piece in inner if not any(piece.intersects(spot) for spot in self._held_at)]

    def _necked_piece(self, piece: shapely.Polygon) -> Finding:
        at = piece.representative_point()
        text = f"a piece of {piece.area:.0f} mm2 hangs by a neck under {2 * CRUMB:g} mm: X{at.x:.1f} Y{at.y:.1f}"
        return Finding(kind="thin-neck", severity="remark", text=text, x=round(at.x, 4), y=round(at.y, 4))

    def _loose_piece(self, piece: shapely.Polygon) -> Finding:
        at = piece.representative_point()
        held = self.setup.machine.table.hold == "vacuum" and lies_still(piece)
        by = "the vacuum alone holds it" if held else "nothing holds it"
        text = (
            f"a piece of {piece.area:.0f} mm2 comes free in {self.wanted.piece_at(at)}, {by}: X{at.x:.1f} Y{at.y:.1f}"
        )
        by_cut = self._freed(piece)
        return Finding(
            kind="loose",
            severity="remark" if held else "safety",
            text=text,
            program=by_cut.program if by_cut else "",
            line=by_cut.move.line if by_cut else 0,
            x=round(at.x, 4),
            y=round(at.y, 4),
            measure=round(piece.area, 2),
        )


def _across(piece: shapely.Geometry) -> float:
    """The longer side of its box."""
    xmin, ymin, xmax, ymax = piece.bounds
    return float(max(xmax - xmin, ymax - ymin))


def lies_still(piece: shapely.Polygon) -> bool:
    """Whether it is large enough for the vacuum to keep it where it is; its rim may have been taken for a hair more."""
    return float(shapely.buffer(piece, HAIR + RIM).area) >= HELD_BY_VACUUM


def _under_discs(cuts: Sequence[Cut]) -> list[float]:
    """Depths at the lower sides of undercutting tools' discs."""
    return sorted({round(cut.deep - 2 * DEPTH, 4) for cut in cuts if cut.tool.undercuts})


def _over_discs(cuts: Sequence[Cut]) -> list[float]:
    """Depths at the upper sides of undercutting tools' discs on level ways."""
    return sorted({round(cut.deep - cut.tool.cutting_length + 2 * DEPTH, 4) for cut in cuts if cut.tool.undercuts})


def _within(cut: Cut, floor: Floor) -> bool:
    """Whether the cut's both ends lie over the floor."""
    return bool(floor.shape.covers(shapely.MultiPoint([cut.move.start[:2], cut.move.end[:2]])))


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    return [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon" and not part.is_empty]
