"""A panel as one sees it from one of its faces, plain or mirrored copy: everything placed, back work told apart."""

from dataclasses import dataclass, replace

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.placement import Placement
from cncpanel.job.model import Edge, Face, Side
from cncpanel.panel.panel import Panel

OTHER_SIDE: dict[Side, Side] = {"left": "right", "right": "left", "bottom": "bottom", "top": "top"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """`panel` as the job draws it, `face` the one that is looked at; `edges` as the job lists them."""

    panel: Panel
    edges: tuple[Edge, ...]
    face: Face = "show"
    mirrored_copy: bool = False

    @property
    def flipped(self) -> bool:
        """Whether left and right change places against the job's own drawing."""
        return (self.face == "back") != self.mirrored_copy

    @property
    def place(self) -> Placement:
        """From the panel's frame to the view's; the outline's lower left stays at the origin."""
        if not self.flipped:
            return Placement()
        left, _, right, _ = self.panel.outline.bounds
        return Placement(x=left + right, mirrored=True)

    @property
    def outline(self) -> Contour:
        """The finished edge in the view."""
        return self.place.contour(self.panel.outline)

    @property
    def sides(self) -> tuple["Seen", ...]:
        """What is cut from each face, seen alike."""
        return tuple(replace(self, panel=side) for side in self.panel.sides)

    @property
    def worked_behind(self) -> bool:
        """Whether what goes part way is cut from the face that is not seen."""
        return self.panel.face != self.face

    @property
    def title(self) -> str:
        """`side`, `side, mirrored copy`."""
        return f"{self.panel.name}, mirrored copy" if self.mirrored_copy else self.panel.name

    def side(self, side: Side) -> Side:
        """Where a side of the job's drawing lies in the view."""
        return OTHER_SIDE[side] if self.flipped else side
