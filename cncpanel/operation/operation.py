"""What is to be machined. Contours and regions in the panel's frame until `placed` puts them on a sheet.

Depths are measured down from the sheet's top; `depth` None means right through (the passes add the machine's
cut-through to the thickest reading).
"""

from dataclasses import dataclass, replace
from math import sqrt
from typing import Literal, Self

from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour, Path
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.job.model import Face, Lines
from cncpanel.machine.tool import Tool
from cncpanel.operation.edge_layer import PAST_CORNER, Layer, radius_over_tip
from cncpanel.panel.edge import EdgeForm, Stretch
from cncpanel.panel.panel import Panel


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Cut along the finished wall: round a part's outline, or inside an opening whose slug has tabs."""

    panel: str
    feature: str
    side: Literal["outside", "inside"]
    contour: Contour
    tool: Tool

    def placed(self, placement: Placement) -> "Profile":
        """The operation on the sheet."""
        return replace(self, contour=placement.contour(self.contour))


@dataclass(frozen=True, slots=True, kw_only=True)
class Clear:
    """Take everything out of `region` down to `depth` (None: through, no slug is left).

    `region` must be reached to its walls; the tool may sweep `open_region` too (run-out over a rim).
    `after`: what a larger tool has cleared of it before; only what that left is cut. `lines`: along the sheet's
    first side, straight, or round from the middle.
    """

    panel: str
    feature: str
    region: Region
    open_region: Region
    depth: float | None
    tool: Tool
    after: "Clear | None" = None
    lines: Lines = "round"

    def placed(self, placement: Placement) -> "Clear":
        """The operation on the sheet."""
        return replace(
            self,
            region=self.region.placed(placement),
            open_region=self.open_region.placed(placement),
            after=self.after and self.after.placed(placement),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class _RoundHole:
    """A round hole; `top` is where material begins."""

    panel: str
    feature: str
    centre: Point
    diameter: float
    top: float
    depth: float | None
    tool: Tool

    def placed(self, placement: Placement) -> Self:
        """The operation on the sheet."""
        return replace(self, centre=placement.point(self.centre))


@dataclass(frozen=True, slots=True, kw_only=True)
class Bore(_RoundHole):
    """A round hole by helix with a flat tool; nothing stays in its middle."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill(_RoundHole):
    """A round hole by a drill of its diameter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Engrave:
    """Follow strokes at a shallow depth; a mirrored copy follows its own, so that its text reads right too."""

    panel: str
    feature: str
    face: Face
    strokes: tuple[Path, ...]
    mirrored_strokes: tuple[Path, ...]
    depth: float
    tool: Tool

    def placed(self, placement: Placement) -> "Engrave":
        """The operation on the sheet."""
        mirrored_copy = placement.mirrored != (self.face == "back")
        strokes = self.mirrored_strokes if mirrored_copy else self.strokes
        return replace(self, strokes=tuple(map(placement.path, strokes)), mirrored_strokes=())


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeCut:
    """Round or bevel a rim once its wall is finished; `kerf` mm were cut along the wall by a tool of `wall_radius`.

    `stretch` is measured along the contour as it was drawn, counter-clockwise.
    `why` says for what reason this tool does it.
    """

    panel: str
    feature: str
    side: Literal["outside", "inside"]
    contour: Contour
    form: EdgeForm
    stretch: Stretch | None
    kerf: float
    wall_radius: float
    layers: tuple[Layer, ...]
    why: str
    tool: Tool

    @property
    def depth(self) -> float:
        """How far under the face the tool's lowest end goes."""
        return -min(layer.z for layer in self.layers)

    @property
    def in_steps(self) -> bool:
        """Whether a ball makes it, level by level."""
        return self.tool.kind == "ball"

    @property
    def reach(self) -> float:
        """How far from the wall the tool touches what lies beside the part."""
        past = 0.0 if self.stretch is None else PAST_CORNER
        return max(max(layer.offset, past) + radius_over_tip(self.tool, -layer.z) for layer in self.layers)

    def placed(self, placement: Placement) -> "EdgeCut":
        """The operation on the sheet."""
        stretch = self.stretch
        if stretch is not None and placement.mirrored:
            stretch = stretch.mirrored(self.contour.length)
        return replace(self, contour=placement.contour(self.contour), stretch=stretch)


@dataclass(frozen=True, slots=True, kw_only=True)
class SideKerf:
    """A blind kerf in the scrap along the wall of `edge`, which is cut in the other set-up: room for its tool's end.

    Where the edge runs off at a corner it goes `past` mm on.
    """

    panel: str
    feature: str
    edge: EdgeCut
    depth: float
    past: float
    tool: Tool

    @property
    def reach(self) -> float:
        """How far from the wall the tool touches what lies beside the part."""
        return max(self.tool.cut_diameter, 0.0 if self.edge.stretch is None else self.past + self.tool.radius)

    def placed(self, placement: Placement) -> "SideKerf":
        """The operation on the sheet."""
        return replace(self, edge=self.edge.placed(placement))


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotCut:
    """Cut a slot of `width` and `into` the finished wall by a disc, once at each of `levels`: depths of its tip.

    It comes down `apart` mm off the wall and goes in sideways. `stretch` as in `EdgeCut`: at its ends that are not open
    the disc goes in and out so far within the stretch that its round stays there.
    """

    panel: str
    feature: str
    side: Literal["outside", "inside"]
    contour: Contour
    stretch: Stretch | None
    width: float
    into: float
    levels: tuple[float, ...]
    apart: float
    why: str
    tool: Tool

    @property
    def depth(self) -> float:
        """How far under the face the disc's lower side goes."""
        return max(self.levels)

    @property
    def offset(self) -> float:
        """The centre's distance from the finished wall while it cuts."""
        return self.tool.radius - self.into

    @property
    def clear_offset(self) -> float:
        """The same where it comes down and lifts."""
        return self.tool.radius + self.apart

    @property
    def room(self) -> float:
        """How far from the finished wall the ground is open."""
        return 2 * self.clear_offset

    @property
    def half_chord(self) -> float:
        """How far along a straight wall the disc reaches into it before and behind its centre."""
        return sqrt(self.into * (2 * self.tool.radius - self.into))

    def placed(self, placement: Placement) -> "SlotCut":
        """The operation on the sheet."""
        stretch = self.stretch
        if stretch is not None and placement.mirrored:
            stretch = stretch.mirrored(self.contour.length)
        return replace(self, contour=placement.contour(self.contour), stretch=stretch)


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotChannel:
    """Open the scrap beside the finished wall of `slot`, as far as its disc needs room, beyond the wall's own kerf."""

    panel: str
    feature: str
    slot: SlotCut
    depth: float
    tool: Tool

    def placed(self, placement: Placement) -> "SlotChannel":
        """The operation on the sheet."""
        return replace(self, slot=self.slot.placed(placement))


Operation = Profile | Clear | Bore | Drill | Engrave | EdgeCut | SideKerf | SlotCut | SlotChannel


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where the tool cannot reach: the material left, `size` across (its box's longer side), panel frame."""

    panel: str
    feature: str
    at: Point
    size: float
    region: Region
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelPlan:
    """All operations of one panel, inside work before the outline, and the spots left for the bench."""

    panel: Panel
    operations: tuple[Operation, ...]
    spots: tuple[Spot, ...]
