"""The same proof at the ends of what is not known well: zero, thickness, flatness."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.compare import LONGEST_BAR, NEAR_BAR
from cncpanel.proof.cuts import SAME, Cut, deepest
from cncpanel.proof.finding import Finding, finding_at_end
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.material import Placed, Stock
from cncpanel.proof.profile import tip_height
from cncpanel.proof.setup import KEEP_OFF_TABLE, Setup
from cncpanel.proof.target import Target

BESIDE = 0.05  # mm; a rim that narrow beside a deeper pass is its wall's rounding


class Spread:
    """How far out a sheet on a machine may be, mm."""

    def __init__(self, setup: Setup) -> None:
        """By the machine file; where Z is set on the table the thickness does not move the underside."""
        table = setup.machine.table
        from_top = table.z_zero == "top"
        self.setup = setup
        self.underside = table.z_error + table.flatness + (table.thickness_spread if from_top else 0.0)
        self.top = table.z_error + (0.0 if from_top else table.thickness_spread)

    def told(self, finding: Finding) -> Finding:
        """A finding on the raised sheet."""
        return replace(finding, text=f"{finding.text} on a sheet that stands {self.top:.2f} mm higher")

    def raised(self) -> Setup:
        """The set-up with the sheet's top as high as it may be."""
        setup = self.setup
        x, y = setup.corner
        return Setup(setup.machine, setup.thickness, (-x, -y, -(setup.top + self.top)))


def low_rapids(moves: Sequence[Placed], spread: Spread) -> list[Placed]:
    """Rapids over the sheet's top that a sheet standing as high as it may would meet."""
    top = spread.setup.top
    return [
        placed
        for placed in moves
        if placed.move.kind == "rapid"
        and top - SAME <= min(placed.move.start[2], placed.move.end[2]) < top + spread.top
    ]


def spread_findings(cuts: Sequence[Cut], target: Target, stock: Stock, spread: Spread) -> Iterator[Finding]:
    """Through cuts that may not go through, cuts that may come near the table, floors that may not be left."""
    yield from _not_through(cuts, target, stock, spread)
    yield from _near_table(cuts, spread)
    for floor in target.floors:
        left = target.thickness - floor.depth
        if SAME < left < spread.underside:
            text = (
                f"{floor.name}: a floor of {left:.2f} mm, and the zero and the sheet may be {spread.underside:.2f} out"
            )
            at = floor.shape.representative_point()
            yield Finding(
                kind="floor-at-worst", severity="error", text=text, x=at.x, y=at.y, measure=left, limit=spread.underside
            )


def _feet(target: Target, depth: float, radius: float) -> shapely.Geometry:
    """Where sloped tabs let a tool down to that depth by and by: their feet there, to both sides of their walls."""
    feet = []
    for tab in target.tabs:
        if tab.flank_deg is not None:
            half = tab.foot(depth) / 2 + NEAR_BAR * radius
            ends = [(tab.x + side * half * tab.along[0], tab.y + side * half * tab.along[1]) for side in (-1, 1)]
            feet.append(shapely.buffer(shapely.LineString(ends), LONGEST_BAR * 2 * radius, cap_style="flat"))
    return shapely.union_all(feet)


def _not_through(cuts: Sequence[Cut], target: Target, stock: Stock, spread: Spread) -> Iterator[Finding]:
    """Of all passes of one way the deepest counts, and only where nothing else goes deep enough."""
    enough = target.thickness + spread.underside
    footprints = Footprints()
    for cut in deepest(cut for cut in cuts if _goes_through(cut.tool) and cut.deep >= target.thickness - SAME):
        full = cut.deep - tip_height(cut.tool)
        if full >= enough - SAME:
            continue
        shapes = footprints.covered([cut], target.thickness - SAME).shapes
        area = shapely.buffer(shapely.union_all(shapes), -BESIDE) if shapes else shapely.Polygon()
        area = shapely.difference(area, _feet(target, enough, cut.tool.radius))
        if not stock.left_in(area, enough, len(cuts)).is_empty:
            text = (
                f"a through cut {full - target.thickness:.2f} mm under the sheet, and the zero and the sheet may be "
                f"{spread.underside:.2f} out"
            )
            yield _finding("through-at-worst", cut, text, full - target.thickness, spread.underside)


def _goes_through(tool: Tool) -> bool:
    return tool.is_flat or tool.kind == "drill"


def _near_table(cuts: Sequence[Cut], spread: Spread) -> Iterator[Finding]:
    setup = spread.setup
    room = setup.machine.table.spoilboard - KEEP_OFF_TABLE
    for cut in cuts:
        into = cut.deep - setup.thickness
        if room - spread.underside + SAME < into <= room + SAME:
            text = f"{into:.2f} mm into the spoilboard, and the zero and the sheet may be {spread.underside:.2f} out"
            yield _finding("table-at-worst", cut, text, into, room - spread.underside)


def _finding(kind: str, cut: Cut, text: str, measure: float, limit: float) -> Finding:
    return finding_at_end(cut.move, kind, text, program=cut.program, severity="error", measure=measure, limit=limit)
