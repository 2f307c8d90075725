"""Cut-ahead lines: how far from the finished edge a saw stays, or where a hand router's template must end."""

from dataclasses import dataclass

from cncpanel.geometry.offset import offset
from cncpanel.geometry.region import Region, region_of
from cncpanel.panel.panel import Panel


@dataclass(frozen=True, slots=True)
class SawAhead:
    """Rough cut `distance` outside the finished edge (inside an opening), trimmed to the line afterwards."""

    distance: float

    @property
    def growth(self) -> float:
        """How far the line lies outside the part."""
        return self.distance


@dataclass(frozen=True, slots=True)
class RouterAhead:
    """A guide bush rubs on the template's edge, the bit cuts beyond it by half of what their diameters differ."""

    bush: float
    bit: float

    @property
    def distance(self) -> float:
        """From the template's edge to the finished edge."""
        return (self.bush - self.bit) / 2

    @property
    def growth(self) -> float:
        """How far the line lies outside the part: it lies inside."""
        return -self.distance


CutAhead = SawAhead | RouterAhead


def ahead_regions(panel: Panel, ahead: CutAhead) -> tuple[Region, ...]:
    """What the lines bound, in the panel's frame: the part with its openings, grown or shrunk; () if nothing is left.

    A recess is no part of it; its own template is `ahead_recesses`.
    """
    part = region_of(panel.outline, [opening.contour for opening in panel.openings])
    return offset((part,), ahead.growth)


def ahead_recesses(panel: Panel, ahead: CutAhead) -> tuple[Region, ...]:
    """Template openings for recesses cut with the bush: each grown by the distance; none for a saw."""
    if isinstance(ahead, SawAhead):
        return ()
    wanted = [recess.region for recess in panel.recesses if recess.kind in ("recess", "groove")]
    return tuple(piece for region in wanted for piece in offset((region,), ahead.distance))
