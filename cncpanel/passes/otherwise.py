"""What holds each piece other than tabs: the vacuum, clamps and screws, and until the last passes a skin.

The passes that leave a skin are far deeper than those that go through it: they push hardest when nothing but a thin
floor holds the piece round its rim. As the witness has it, a tab holds there as far as it is thicker than the skin.
"""

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import inf, sqrt

from cncpanel.geometry.pieces import Pieces
from cncpanel.layout.layout import Sheet
from cncpanel.passes.blocked import blocked
from cncpanel.passes.grip import SAFETY, STRENGTH, pushing
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Spot
from cncpanel.passes.suction import sucked, suction_of
from cncpanel.passes.waste import BESIDE, Kerf

THICKEST = 2.0  # mm; the witness takes a thicker floor for no skin, and for no more than that
SPARE = 1.03  # times the force: the witness counts it in cells, which say a little more


class Otherwise:
    """The pieces of one sheet: `besides`, N that each is held with for good, and how it is held on its skin."""

    def __init__(self, pieces: Pieces, sheet: Sheet, kerfs: Sequence[Kerf], shop: Shop) -> None:
        """As firmly as can be under a clamp or a screw."""
        zones, clamps = suction_of(sheet, shop.machine), blocked(sheet)
        self.besides = tuple(
            inf if clamps and clamps.overlap(area) > 0 else sucked(area, zones) for area in pieces.areas
        )
        self._pieces, self._shop = pieces, shop
        self._kerfs = [kerf for kerf in kerfs if kerf.outside] if shop.skin is not None else []
        self._known: dict[int, tuple[float, float]] = {}

    def is_weak_on_skin(self, number: int, tabs: Iterable[Spot] = ()) -> bool:
        """Whether the passes that leave the skin push harder than the piece is held with these tabs, SAFETY times."""
        return self.held_on_skin(number, tabs) < SAFETY * self.force_on_skin(number)

    def force_on_skin(self, number: int) -> float:
        """N of the hardest pass that leaves a skin beside the piece; 0 where there is none."""
        return self._rims(number)[1]

    def held_on_skin(self, number: int, tabs: Iterable[Spot] = ()) -> float:
        """N that hold the piece then: its skin at its thinnest, the tabs that end on it, what is there for good."""
        return self._rims(number)[0] * self._sure * STRENGTH + sum(map(self._more, tabs)) + self.besides[number]

    def _rims(self, number: int) -> tuple[float, float]:
        """mm of the piece's rim that a skin lies along, and N of the hardest pass that leaves it."""
        if number not in self._known:
            area = self._pieces.areas[number]
            beside = [n for n, kerf in enumerate(self._kerfs) if kerf.area.gap(area) < BESIDE]
            rim = area.rim_within([self._kerfs[n].area for n in beside], BESIDE) if beside else 0.0
            self._known[number] = rim, max((SPARE * self._forces[n] for n in beside), default=0.0)
        return self._known[number]

    @cached_property
    def _forces(self) -> tuple[float, ...]:
        return tuple(pushing(kerf.tool, self._shop.outline_depth, self._shop) for kerf in self._kerfs)

    @property
    def _sure(self) -> float:
        """mm of skin that are left in the worst case."""
        return max((self._shop.skin or 0.0) - self._shop.machine.table.lowered, 0.0)

    def _more(self, spot: Spot) -> float:
        """N that a tab holds the piece with beyond the skin that would be there without it."""
        height = min(self._shop.tab_height, THICKEST) - (self._shop.skin or 0.0)
        return max(height, 0.0) * (spot.bar.width + _wider(spot.wall.diameter)) * STRENGTH


def _wider(diameter: float) -> float:
    """How much wider a tab is on its wall than across its middle, mm: the disc rises before it touches the bar."""
    radius = diameter / 2
    return diameter - 2 * sqrt(max(radius**2 - (radius - BESIDE) ** 2, 0.0))
