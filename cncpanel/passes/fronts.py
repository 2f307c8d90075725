"""How a recess grows from its middle to its walls: sets of tool centres, each little larger than the one before.

All are of one form: the region shrunk by `inset + radius`, grown again by `radius`. So their inside corners are arcs
of `radius` or more, and a tool that follows them never runs into a corner. In layers from the inside out: loops that
grow together (inset falls, radius rises), then arcs into the corners (radius falls). Sizes in tool diameters.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from cncpanel.geometry.cleared import inscribed
from cncpanel.geometry.offset import Offsetter
from cncpanel.geometry.region import Region

STEP = 0.45  # between loops: under a half, so that nothing stays between them
LEAST_RADIUS = 0.6  # of a loop's inside corner before the next layer begins
LAYER = 2  # loops that grow together before the corners are gone into
LAST_RADII = (0.6, 0.3, 0.16, 0.0)  # into the corners along the walls
CORE = 0.03  # by which the innermost set is wider than a line


@dataclass(frozen=True, slots=True)
class Front:
    """One set: `inset` from the walls, inside corners of `radius`, mm.

    `before` is the radius that the corners have so far, where only they are gone into; None for a loop.
    """

    inset: float
    radius: float
    before: float | None = None

    @property
    def is_last(self) -> bool:
        """Whether these are the walls themselves: nothing may be left uncut."""
        return not self.inset and not self.radius

    @property
    def halves(self) -> tuple["Front", "Front"]:
        """The same corners in two arcs."""
        assert self.before is not None
        middle = (self.radius + self.before) / 2
        return Front(self.inset, middle, self.before), Front(self.inset, self.radius, middle)


class Fronts:
    """The sets of one region of tool centres, for one tool."""

    def __init__(self, region: Region, diameter: float) -> None:
        self._region, self._diameter = region, diameter
        self._walls = Offsetter((region,))
        self._grown: dict[float, Offsetter] = {}
        self.depth = inscribed(region, CORE * diameter / 2)

    def set_of(self, front: Front) -> tuple[Region, ...]:
        """The regions of the set."""
        if not front.radius:
            return self._walls.at(-front.inset)
        deep = front.inset + front.radius
        if deep not in self._grown:
            self._grown[deep] = Offsetter(self._walls.at(-deep))
        return self._grown[deep].at(front.radius)

    @property
    def layers(self) -> int:
        """How many whole layers lie round the innermost one."""
        return max(int((self.depth - LEAST_RADIUS * self._diameter) / self._layer), 0)

    @property
    def _layer(self) -> float:
        return LAYER * STEP * self._diameter

    @property
    def core(self) -> tuple[Region, ...]:
        """The innermost set: about a point or a line."""
        deep = self.depth - CORE * self._diameter
        return self._walls.at(-deep) if deep > 0 else (self._region,)

    def outwards(self, opened: float) -> Iterator[Front]:
        """All sets, of which `opened` mm round the core are cleared already, out to the walls and their corners."""
        yield from self._around_core(opened)
        for number in reversed(range(self.layers)):
            yield from self._around(number)

    def _around_core(self, opened: float) -> Iterator[Front]:
        """Loops out to the innermost layer's rim."""
        inset = self.layers * self._layer
        whole = max(self.depth - CORE * self._diameter, 0.0) - inset
        count = ceil((whole - opened) / (STEP * self._diameter) - 1e-6)
        for number in range(1, count + 1):
            radius = opened + (whole - opened) * number / count
            yield Front(inset + whole - radius, radius)
        yield from self._corners(inset, whole)

    def _around(self, number: int) -> Iterator[Front]:
        """Loops of a layer (the innermost has the highest number) and the arcs into its corners."""
        inset, least = number * self._layer, LEAST_RADIUS * self._diameter
        step = STEP * self._diameter
        for count in range(1, LAYER + 1):
            yield Front(inset + self._layer - count * step, least + count * step)
        yield from self._corners(inset, least + self._layer)

    def _corners(self, inset: float, radius: float) -> Iterator[Front]:
        for share in LAST_RADII if inset == 0.0 else (LEAST_RADIUS,):
            if share * self._diameter < radius:
                yield Front(inset, share * self._diameter, radius)
                radius = share * self._diameter
