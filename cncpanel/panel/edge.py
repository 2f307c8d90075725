"""Edges that the machine makes: what form, on which rim, along which stretch of it. Panel frame, mm."""

from dataclasses import dataclass
from math import radians, tan
from typing import Literal

from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour


@dataclass(frozen=True, slots=True)
class Round:
    """A quarter circle that touches the wall and the face."""

    radius: float

    @property
    def depth(self) -> float:
        """Down the wall."""
        return self.radius

    @property
    def width(self) -> float:
        """Along the face."""
        return self.radius


@dataclass(frozen=True, slots=True)
class Bevel:
    """A slope of `angle_deg` from the square wall, `depth` down it."""

    depth: float
    angle_deg: float

    @property
    def width(self) -> float:
        """Along the face."""
        return self.depth * tan(radians(self.angle_deg))


EdgeForm = Round | Bevel


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Part of a rim, from `start` to `stop` mm along its contour, counter-clockwise; `stop` may be past its end.

    An open end lies at a corner that the tool runs straight off; at the others the form tapers out over `run_out`.
    """

    start: float
    stop: float
    open_start: bool
    open_stop: bool
    run_out: float

    def mirrored(self, length: float) -> "Stretch":
        """On the mirror image of a contour of that length, which is run the other way round from the same place."""
        start, stop = length - self.stop, length - self.start
        behind = length if start < 0 else 0.0
        return Stretch(
            start=start + behind,
            stop=stop + behind,
            open_start=self.open_stop,
            open_stop=self.open_start,
            run_out=self.run_out,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One rim's edge on the face that lies up; `stretch` None is all round.

    `rim` is "outline" or an opening's name, `inside` an opening's; the contour runs counter-clockwise.
    """

    name: str
    rim: str
    inside: bool
    contour: Contour
    form: EdgeForm
    stretch: Stretch | None
    tool: str | None
    place: Place

    @property
    def told(self) -> str:
        """`edge 1 of the outline`."""
        return _with_rim(self)


@dataclass(frozen=True, slots=True)
class Slot:
    """A slot for T-moulding: `width` of it, `depth` from the rim into the panel."""

    width: float
    depth: float
    middle: float | None = None
    """Of its width under the show face; None: half the thickness."""

    def under_show_face(self, thickness: float) -> float:
        """From the show face to the slot's nearer side, of a board of that thickness."""
        return (thickness / 2 if self.middle is None else self.middle) - self.width / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class RimSlot:
    """A slot that the machine cuts into a rim, its upper side `top` under the face that lies up; the rest as in `Edge`.

    A stretch's end that is not open lies on the rim: the slot runs out there in its disc's round, within the stretch.
    """

    name: str
    rim: str
    inside: bool
    contour: Contour
    form: Slot
    top: float
    stretch: Stretch | None
    tool: str | None
    place: Place

    @property
    def bottom(self) -> float:
        """Its lower side under the face that lies up."""
        return self.top + self.form.width

    @property
    def told(self) -> str:
        """`edge 1 of the outline`."""
        return _with_rim(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnRim:
    """An edge as drawings show it, whoever makes it and on which faces; the rest as in `Edge`."""

    inside: bool
    contour: Contour
    form: EdgeForm | Slot
    stretch: Stretch | None
    faces: Literal["show", "back", "both"]
    bench: bool = False


def _with_rim(edge: Edge | RimSlot) -> str:
    """The name of an edge that stands in its opening tells the rim itself."""
    rim = edge.rim if edge.inside else "the outline"
    return edge.name if edge.name.endswith(f" of {rim}") else f"{edge.name} of {rim}"
