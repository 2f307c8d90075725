"""What the nub of a tab would be in the way of: a joint, a rim's form, what is seen; or no hand reaches it.

The worst of it counts, at both ends of a bar: on the wall that it holds and on the part beyond, if there is one.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cncpanel.geometry.area import Area
from cncpanel.geometry.region import region_of
from cncpanel.geometry.ring import ring_of
from cncpanel.layout.layout import placement
from cncpanel.operation.operation import PanelPlan
from cncpanel.passes.run import Nub
from cncpanel.passes.spot import GRADES, Spot, Wall
from cncpanel.passes.work import Work

HAND = 40.0  # mm; a chisel or a flush-cutting saw needs so much room beside a nub: common practice, no source
IN_A_CORNER = 1.5  # of half of it; so far from there a square corner is, which a chisel reaches along its walls
LINE = 0.05  # mm; half the breadth of a stretch's area
FAR = 3.0  # times HAND beyond a part's box: all that lies beside it


@dataclass(frozen=True, slots=True)
class Nubs:
    """Where nubs are in the way on the parts of a sheet, by the parts' labels."""

    spared: Mapping[str, Sequence[tuple[Nub, Area]]]
    labels: Mapping[int, str]

    def graded(self, found: Sequence[Spot], width: float) -> list[Spot]:
        """The spots of one wall with what their nubs would be in the way of."""
        room = _room(found[0].wall) if found else Area.of(())
        return [replace(spot, nub=self._nub(spot, room, width / 2)) for spot in found]

    def _nub(self, spot: Spot, room: Area, half: float) -> Nub | None:
        bar, beyond = spot.bar, self.labels.get(spot.other)
        ends = [(spot.wall.part, bar.centre)]
        if beyond is not None:
            ends.append((beyond, bar.centre.plus(bar.across.times(bar.outer))))
        met: list[Nub] = [
            why for part, end in ends for why, area in self.spared.get(part, ()) if area.distance(end) <= half
        ]
        if room.is_empty or room.distance(bar.centre) > IN_A_CORNER * HAND / 2:
            met.append("nook")
        return max(met, key=lambda why: GRADES[why], default=None)


def nubs_of(parts: Sequence[Work], plans: Mapping[int, PanelPlan], labels: Mapping[int, str]) -> Nubs:
    """Of the parts of a sheet; `labels` of the parts among its pieces."""
    return Nubs({work.part.label: _spared(work, plans[work.part.panel]) for work in parts}, labels)


def _spared(work: Work, plan: PanelPlan) -> list[tuple[Nub, Area]]:
    where, found = placement(plan.panel, work.part), list[tuple[Nub, Area]]()
    for one in plan.panel.spared:
        ring = ring_of(where.contour(one.contour))
        chain = ring.stretch(*one.span_on(ring.length, mirrored=where.mirrored))
        found.append((one.why, Area.swept([chain], LINE)))
    return found


def _room(wall: Wall) -> Area:
    """Where the middle of a disc that a hand needs may be: in the opening, or beside the part."""
    inside = Area.of([region_of(wall.contour)])
    if wall.outside:
        left, low, right, high = inside.bounds
        far = FAR * HAND
        inside = Area.box((left - far, low - far, right + far, high + far)).minus(inside)
    return inside.grown(-HAND / 2)
