"""A part that is to be placed: its shape at every turn that it may take."""

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.region import Region, flat
from cncpanel.layout.fit import simplified
from cncpanel.layout.layout import Part, handed_over
from cncpanel.panel.panel import Panel

COARSE = 0.02  # mm; arcs as chords while placing; the judge looks at fine ones
ANY_STEP = 15  # degrees between the turns that a search tries of a panel that may lie any way
QUARTERS = (0.0, 90.0, 180.0, 270.0)
TURNS = {"any": QUARTERS, "right-angles": QUARTERS, "along": (0.0, 180.0), "across": (90.0, 270.0)}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Turned:
    """A part's shape at one turn, the lower left of its exact box at the origin; told apart by identity."""

    angle_deg: float
    shape: shapely.Polygon
    exact: shapely.Polygon
    width: float
    height: float
    curved: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Item:
    """One part to be placed. `kind` tells alike parts: copies of one panel of one hand."""

    panel: Panel
    copy: int
    mirrored_copy: bool
    turns: tuple[Turned, ...]

    @property
    def kind(self) -> tuple[int, bool]:
        """Panel and hand."""
        return self.panel.index, self.mirrored_copy

    @property
    def name(self) -> tuple[int, bool, int]:
        """What no other part of the job is called."""
        return (*self.kind, self.copy)

    @property
    def area(self) -> float:
        """mm2 inside the outline, openings too."""
        return float(self.turns[0].exact.area)

    @property
    def sides(self) -> tuple[float, float]:
        """Longer, shorter side of the box."""
        sides = (self.turns[0].width, self.turns[0].height)
        return max(sides), min(sides)

    def part(self, turned: Turned, x: float, y: float) -> Part:
        """The part put at (x, y)."""
        return Part(
            panel=self.panel.index,
            name=self.panel.name,
            copy=self.copy,
            mirrored_copy=self.mirrored_copy,
            x=x,
            y=y,
            angle_deg=turned.angle_deg,
        )


def items_of(panels: Sequence[Panel]) -> list[Item]:
    """Every part of the panels, copies first, then mirrored copies."""
    return [item for panel in panels for item in _items(panel)]


def _items(panel: Panel) -> list[Item]:
    kinds = [(n + 1, False) for n in range(panel.copies)] + [(n + 1, True) for n in range(panel.mirrored)]
    turns = {mirrored: _turns(panel, mirrored) for mirrored in sorted({m for _, m in kinds})}
    return [Item(panel=panel, copy=copy, mirrored_copy=mirrored, turns=turns[mirrored]) for copy, mirrored in kinds]


def angles_of(panel: Panel) -> tuple[float, ...]:
    """Degrees by which the panel may be turned when it is placed."""
    return TURNS[panel.turn] if isinstance(panel.turn, str) else tuple(panel.turn)


def _turns(panel: Panel, mirrored_copy: bool) -> tuple[Turned, ...]:
    """The allowed turns that give different shapes."""
    turns: list[Turned] = []
    mirrored = handed_over(panel, mirrored_copy=mirrored_copy)
    for angle in angles_of(panel):
        turned = turned_outline(Placement(angle_deg=angle, mirrored=mirrored).contour(panel.outline), angle)
        if not any(_same(turned.shape, other.shape) for other in turns):
            turns.append(turned)
    return tuple(turns)


def turned_outline(outline: Contour, angle_deg: float) -> Turned:
    """An outline that was turned, moved to the origin."""
    left, low, right, high = outline.bounds
    exact = flat(Region(Placement(x=-left, y=-low).contour(outline)), COARSE)
    return Turned(
        angle_deg=angle_deg,
        shape=simplified(exact),
        exact=exact,
        width=right - left,
        height=high - low,
        curved=any(segment.is_arc for segment in outline.segments),
    )


def _same(a: shapely.Polygon, b: shapely.Polygon) -> bool:
    return bool(a.normalize().equals_exact(b.normalize(), 1e-9))
