"""Whether its tabs and what else holds it keep each piece where it is: more tabs while it is too weak, else a Problem.

As the witness has it: a piece hangs by its own tabs or by those of all that hangs with it, whichever are fewer.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import inf

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.passes.grip import SAFETY, grip
from cncpanel.passes.otherwise import Otherwise
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Spot
from cncpanel.passes.tabs import Tabs, wood

ENOUGH = 1e-6  # N


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose piece it is and where the job file says so."""

    label: str
    place: Place


class Strength:
    """The tabs of a sheet against the forces of the passes; `base` is what all else is to hang on."""

    def __init__(self, every: Sequence[Spot], tabs: Tabs, otherwise: Otherwise, base: int, shop: Shop) -> None:
        """`every` place where a tab could be; `otherwise`: what else holds each piece."""
        self._every, self._tabs, self._otherwise = every, tabs, otherwise
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
        while self._is_weak_freed(number) and self._tabs.join(self._every, self._hanging_with(number)):
            pass
        while self.is_weak(number) and self._tabs.widen(self._every, {number}):
            pass
        while self._is_weak_freed(number) and self._tabs.widen(self._every, self._hanging_with(number)):
            pass

    def is_weak(self, number: int) -> bool:
        """Whether the passes beside it push harder than it is held, SAFETY times, on its skin or when it is freed."""
        return self._is_weak_freed(number) or self.is_weak_on_skin(number)

    def is_weak_on_skin(self, number: int) -> bool:
        """Whether it is held too weakly before the last passes go through the skin."""
        return number != self._base and self._otherwise.is_weak_on_skin(number, self._own(number))

    def on_skin(self, number: int) -> tuple[float, float]:
        """N that hold the piece on its skin, and of the hardest pass that leaves that."""
        return self._otherwise.held_on_skin(number, self._own(number)), self._otherwise.force_on_skin(number)

    def _is_weak_freed(self, number: int) -> bool:
        return self.held(number) < SAFETY * self.force(number) - ENOUGH

    def force(self, number: int) -> float:
        """N of the hardest pass along the piece."""
        return self._force.get(number, 0.0)

    def held(self, number: int) -> float:
        """N that hold the piece."""
        if number == self._base:
            return inf
        group = self._hanging_with(number)
        all_of_it = [spot for spot in self._tabs.chosen if (spot.own in group) != (spot.other in group)]
        return min(self._by(self._own(number)), self._by(all_of_it)) + self._otherwise.besides[number]

    def _own(self, number: int) -> list[Spot]:
        return [spot for spot in self._tabs.chosen if number in (spot.own, spot.other)]

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
                    if near == here and far not in group and far != self._base and self._otherwise.besides[far] < inf:
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
    less = "" if shop.skin is not None else '; settings.hold = "skin" pushes less at the end'
    for number in weak:
        owner = owners.get(number)
        place = owner.place if owner else next(iter(owners.values())).place
        what = owner.label if owner else _scrap(pieces.areas[number])
        if strength.is_weak_on_skin(number):
            hold, force = strength.on_skin(number)
            gathering.problem(
                place,
                f"{what}: the skin round it and what else holds it bear {hold:.0f} N, {hold / force:.2f} times what "
                "the passes that leave the skin push with",
                f"{SAFETY:g} times: a thicker settings.skin, a smaller tool, or no skin "
                '(settings.hold = "tabs", or "vacuum" on a table that has it)',
            )
            continue
        force, hold = strength.force(number), strength.held(number)
        gathering.problem(
            place,
            f"{what}: what holds it bears {hold:.0f} N, {hold / force:.2f} times what the passes push with",
            f"{SAFETY:g} times: higher or wider tabs (settings.tab_height, tab_width), a smaller tool, or more room "
            "round it (settings.gap, the stock's margin)" + less,
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
