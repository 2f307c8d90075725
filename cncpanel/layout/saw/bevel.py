"""Bevelled rims at the saw: blade tilt, long point and short point; what the blade cannot tilt to is told.

The panel is drawn by its largest outline, so the long point is the drawn size and the bevel takes
thickness x tan(tilt) from it on its face. Each is sawn after the panel has its size.
"""

from collections.abc import Iterator, Sequence
from math import radians, tan
from typing import Literal

from cncpanel.errors import Gathering
from cncpanel.geometry.segment import Segment
from cncpanel.job.model import Edge, Saw, Side
from cncpanel.job.read import ReadJob
from cncpanel.layout.saw.blank import SIDES, is_shaped, straight
from cncpanel.layout.saw.plan import Bevel
from cncpanel.panel.panel import Panel
from cncpanel.units import shown

SHORTEST = 1.0  # mm; a shorter stretch of a side is no edge
ByHand = tuple[int, str]


def bevels_of(read: ReadJob, panels: Sequence[Panel], gathering: Gathering) -> tuple[list[Bevel], list[ByHand]]:
    """All bevels that this saw makes, and sentences on those that it leaves to the bench.

    A tilt beyond the saw's is a Problem, unless the job gives that rim to the bench: then it is told there.
    """
    bevels: list[Bevel] = []
    by_hand: list[ByHand] = []
    for panel in panels:
        for number, edge in enumerate(read.job.panel[panel.index].edge):
            if edge.bevel_deg is not None:
                told = _Told(read, panel, edge, number, gathering)
                bevels += told.bevels()
                by_hand += [(panel.index, words) for words in told.by_hand]
    return bevels, by_hand


class _Told:
    """One bevelled edge of a panel while it is looked at."""

    def __init__(self, read: ReadJob, panel: Panel, edge: Edge, number: int, gathering: Gathering) -> None:
        self.panel, self.edge, self.gathering, self.unit = panel, edge, gathering, read.job.job.units
        self.saw = read.job.saw or Saw()
        self.place = read.file.place(("panel", panel.index, "edge", number, "bevel_deg"))
        self.by_hand: list[str] = []

    def bevels(self) -> list[Bevel]:
        """Those that the saw makes."""
        assert self.edge.bevel_deg is not None, "only bevelled edges are looked at"
        side = f"{self.edge.side} edge" if self.edge.side else "all edges"
        if self.edge.bevel_deg > self.saw.tilt_deg:
            self._beyond(f"{side}: bevel of {self.edge.bevel_deg:g} deg, the blade tilts to {self.saw.tilt_deg:g} deg")
            return []
        sides = (self.edge.side,) if self.edge.side else SIDES
        if self.edge.side is None and is_shaped(self.panel.outline):
            self._left_over("only its straight sides are sawn at a tilt; bevel the rest by hand to the template")
        return [bevel for one in sides for bevel in self._on_side(one, self.edge.bevel_deg)]

    def _beyond(self, text: str) -> None:
        allowed = "a jig that holds it on edge, plane or router; or bench = true to leave it to the bench"
        if self.edge.bench:
            self._left_over(f"{text}: saw it square to the long point and bevel it by jig, plane or router")
        else:
            self.gathering.problem(self.place, f"panel {self.panel.name}: {text}", allowed)

    def _left_over(self, text: str) -> None:
        self.by_hand.append(text)
        self.gathering.warn(self.place, f"panel {self.panel.name}: {text}")

    def _on_side(self, side: Side, tilt: float) -> Iterator[Bevel]:
        stretches = [one for one in straight(self.panel.outline, side) if one.length >= SHORTEST]
        if not stretches:
            self._left_over(f"{side} edge: bevel of {tilt:g} deg on a side that is not straight, for the bench")
            return
        left, low, right, high = self.panel.outline.bounds
        long = right - left if side in ("left", "right") else high - low
        taken = self.panel.stock.thickest * tan(radians(tilt)) / (2 if self.edge.faces == "both" else 1)
        if taken >= long:
            text = f"panel {self.panel.name}: a bevel of {tilt:g} deg takes {shown(taken, self.unit)}"
            self.gathering.problem(self.place, f"{text} of its {shown(long, self.unit)}", "a wider panel")
            return
        yield self._bevel(side, tilt, long, long - taken, stretches)

    def _bevel(self, side: Side, tilt: float, long: float, short: float, stretches: Sequence[Segment]) -> Bevel:
        along = sum(one.length for one in stretches)
        return Bevel(
            panel=self.panel.index,
            side=side,
            tilt_deg=tilt,
            face=self.edge.faces,
            long=long,
            short=short,
            along=along,
            guide=_guide(along, short, self.saw),
            shaped=is_shaped(self.panel.outline),
        )


def _guide(along: float, short: float, saw: Saw) -> Literal["fence", "stop", "carrier"]:
    """The fence where it may run there; else the gauge, with a stop; a long narrow piece on a wider board."""
    if along < saw.fence_edge or along < short:
        return "stop"
    return "fence" if saw.safe_strip <= short <= saw.widest_rip else "carrier"
