"""Whether its tabs and what else holds it keep each piece where it is: more tabs while it is too weak, else a Problem.

As the witness has it: a piece hangs by its own tabs or by those of all that hangs with it, whichever are fewer.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.layout.layout import Sheet
from cncpanel.passes.blocked import blocked
from cncpanel.passes.grip import SAFETY, grip
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Spot
from cncpanel.passes.suction import sucked, suction_of
from cncpanel.passes.tabs import Tabs, wood

ENOUGH = 1e-6  # N


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose piece it is and where the job file says so."""

    label: str
    place: Place


def held_besides(pieces: Pieces, sheet: Sheet, shop: Shop) -> tuple[float, ...]:
    """N that each piece is held with besides tabs: by the vacuum; as firmly as can be under a clamp or a screw."""
    zones, clamps = suction_of(sheet, shop.machine), blocked(sheet)
    return tuple(inf if clamps and clamps.overlap(area) > 0 else sucked(area, zones) for area in pieces.areas)


class Strength:
    """The tabs of a sheet against the forces of the passes; `base` is what all else is to hang on."""

    def __init__(self, every: Sequence[Spot], tabs: Tabs, besides: Sequence[float], base: int, shop: Shop) -> None:
        """`every` place where a tab could be; `besides`: N that each piece is held with by other means."""
        self._every, self._tabs, self._besides = every, tabs, besides
        self._base, self._grip = base, grip(shop)
        self._force: dict[int, float] = {}
        for spot in every:
            for piece in (spot.own, spot.other):
                self._force[piece] = max(self._force.get(piece, 0.0), spot.wall.force)

    def strengthen(self, number: int) -> None:
        """More tabs on the piece, and on all that hangs with it, while it is held too weakly and there is room."""
        if not self._grip:
            return
        while self.is_weak(number) and self._tabs.join(self._every, {number}):
            pass
        while self.is_weak(number) and self._tabs.join(self._every, self._hanging_with(number)):
            pass
        while self.is_weak(number) and self._tabs.widen(self._every, {number}):
            pass
        while self.is_weak(number) and self._tabs.widen(self._every, self._hanging_with(number)):
            pass

    def is_weak(self, number: int) -> bool:
        """Whether the passes beside it push harder than it is held, SAFETY times."""
        return self.held(number) < SAFETY * self.force(number) - ENOUGH

    def force(self, number: int) -> float:
        """N of the hardest pass along the piece."""
        return self._force.get(number, 0.0)

    def held(self, number: int) -> float:
        """N that hold the piece."""
        if number == self._base:
            return inf
        group = self._hanging_with(number)
        own = [spot for spot in self._tabs.chosen if number in (spot.own, spot.other)]
        all_of_it = [spot for spot in self._tabs.chosen if (spot.own in group) != (spot.other in group)]
        return min(self._by(own), self._by(all_of_it)) + self._besides[number]

    def _by(self, held: Sequence[Spot]) -> float:
        """N that those tabs hold."""
        return sum(wood(spot, held) / spot.bar.width for spot in held) * self._grip

    def _hanging_with(self, number: int) -> set[int]:
        """The pieces that tabs join to this one, none of them held otherwise."""
        group, new = {number}, [number]
        while new:
            here = new.pop()
            for spot in self._tabs.chosen:
                for near, far in ((spot.own, spot.other), (spot.other, spot.own)):
                    if near == here and far not in group and far != self._base and self._besides[far] < inf:
                        group.add(far)
                        new.append(far)
        return group


def tell_weak(
    strength: Strength,
    weak: Sequence[int],
    pieces: Pieces,
    owners: Mapping[int, Owner],
    shop: Shop,
    gathering: Gathering,
) -> None:
    """A Problem for each piece that nothing can hold firmly enough."""
    skin = "" if shop.skin is not None else '; settings.hold = "skin" pushes less at the end'
    for number in weak:
        force, hold = strength.force(number), strength.held(number)
        owner = owners.get(number)
        place = owner.place if owner else next(iter(owners.values())).place
        what = owner.label if owner else _scrap(pieces.areas[number])
        gathering.problem(
            place,
            f"{what}: what holds it bears {hold:.0f} N, {hold / force:.2f} times what the passes push with",
            f"{SAFETY:g} times: higher or wider tabs (settings.tab_height, tab_width), a smaller tool, or more room "
            "round it (settings.gap, the stock's margin)" + skin,
        )


def _scrap(area: Area) -> str:
    left, low, right, high = area.bounds
    x, y = area.inner_point
    return f"a piece of scrap, {right - left:.0f} x {high - low:.0f} mm at ({x:.0f}, {y:.0f}) on the sheet"


def weak_after(strength: Strength, numbers: Sequence[int]) -> Iterator[int]:
    """Those of the pieces that stay too weak, whatever tabs are added."""
    for number in numbers:
        strength.strengthen(number)
    yield from filter(strength.is_weak, numbers)
