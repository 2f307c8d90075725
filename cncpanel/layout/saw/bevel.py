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
from cncpanel.layout.saw.blank import SIDES, is_shaped, lies_on, straight
from cncpanel.layout.saw.plan import Bevel
from cncpanel.panel.edges import where
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import draft_of
from cncpanel.panel.subject import Subject
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
        self.read, self.panel, self.edge, self.gathering, self.unit = read, panel, edge, gathering, read.job.job.units
        self.saw = read.job.saw or Saw()
        self.place = read.file.place(("panel", panel.index, "edge", number, "bevel_deg"))
        self.by_hand: list[str] = []

    def bevels(self) -> list[Bevel]:
        """Those that the saw makes."""
        assert self.edge.bevel_deg is not None, "only bevelled edges are looked at"
        side = self._where()
        if self.edge.bevel_deg > self.saw.tilt_deg:
            self._beyond(f"{side}: bevel of {self.edge.bevel_deg:g} deg, the blade tilts to {self.saw.tilt_deg:g} deg")
            return []
        sides = self._sides()
        if sides is None:
            self._left_over(
                f"{side}: bevel of {self.edge.bevel_deg:g} deg on a rim that is no whole straight side, for the bench"
            )
            return []
        if sides == SIDES and is_shaped(self.panel.outline):
            self._left_over("only its straight sides are sawn at a tilt; bevel the rest by hand to the template")
        return [bevel for one in sides for bevel in self._on_side(one, self.edge.bevel_deg)]

    def _where(self) -> str:
        subject = Subject(
            read=self.read,
            gathering=self.gathering,
            keys=("panel", self.panel.index),
            said=self.panel.name,
            name=self.panel.name,
        )
        return where(self.edge, subject, self.edge.opening)

    def _sides(self) -> tuple[Side, ...] | None:
        """The sides of the panel's box that it is for; None where it is for less than a whole side, or within."""
        edge = self.edge
        if edge.opening is not None or edge.between is not None or edge.start or edge.stop is not None:
            return None
        if edge.side is not None:
            return (edge.side,)
        if edge.edges is None:
            return SIDES
        draft = draft_of(self.read, self.panel.index, Gathering())
        drawn = draft.outline.edges if draft else ()
        found = [self._side_of(drawn[n]) for n in edge.edges if 0 <= n < len(drawn)]
        known = tuple(side for side in found if side is not None)
        return known if len(known) == len(found) else None

    def _side_of(self, drawn: Segment) -> Side | None:
        """The side of the box that an edge lies on as it was drawn, alone."""
        outline = self.panel.outline
        on = (side for side in SIDES if lies_on(drawn, outline, side) and len(straight(outline, side)) == 1)
        return next(on, None)

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
        taken = self._taken(tilt)
        if taken >= long:
            text = f"panel {self.panel.name}: a bevel of {tilt:g} deg takes {shown(taken, self.unit)}"
            self.gathering.problem(self.place, f"{text} of its {shown(long, self.unit)}", "a wider panel")
            return
        yield self._bevel(side, tilt, long, long - taken, stretches)

    def _taken(self, tilt: float) -> float:
        """What the bevel takes from a face: through the whole board, to the middle from both, or as deep as it is."""
        if self.edge.width is not None:
            return self.edge.width
        through = self.panel.stock.thickest / (2 if self.edge.faces == "both" else 1)
        return (through if self.edge.depth is None else self.edge.depth) * tan(radians(tilt))

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
