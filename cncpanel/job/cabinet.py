"""What a job says of the whole cabinet: its side profile, where each panel stands in it, what it meets there.

The cabinet's frame is right-handed: x to the visitor's left from the middle, y from the back plane towards the visitor,
z up from the sides' lower edge. A panel that runs from side to side is drawn with its x to the visitor's right.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field

from cncpanel.job.edge import Side
from cncpanel.job.table import (
    Degrees,
    Flag,
    Keys,
    Length,
    Name,
    NotNegative,
    Number,
    Pair,
    Positive,
    PositivePair,
    Table,
    Text,
    within,
)

Triple = tuple[Length, Length, Length]
Note = Annotated[Text, Field(max_length=300)]


class ProfileCorner(Table):
    """A corner of the side's profile, y and z, counter-clockwise as seen from the visitor's left."""

    name: Name
    to: Pair
    radius: NotNegative = 0


class PanelEnd(Table):
    """Where a panel's start or end lies along its outer line, and how it meets what is there."""

    MATES: ClassVar[Keys] = ("butts", "covers", "housed", "rabbeted", "mitred", "set_back", "clear_of")
    ONE_OF = (("at", *MATES),)
    at: Length | None = Field(None, description="this far along the line from its first corner")
    butts: Name | None = Field(None, description="ends on that panel's nearer face, bevelled where it meets it askew")
    covers: Name | None = Field(None, description="runs over that panel's end, flush with its far face")
    housed: Name | None = Field(None, description="stands in a groove in that panel's back face")
    rabbeted: Name | None = Field(None, description="stands in a rabbet at that panel's end, which covers it")
    mitred: Name | None = Field(None, description="both are bevelled by half the corner")
    set_back: Name | None = Field(None, description="cut square, set back so that the inner corners touch")
    clear_of: Name | None = Field(None, description="stops `gap` before that panel")
    gap: NotNegative = 0
    depth: Positive | None = Field(None, description="of the groove or rabbet; absent: the cabinet's")

    @property
    def mate(self) -> tuple[str, str] | None:
        """How it meets which panel."""
        return next(((kind, name) for kind in self.MATES if (name := getattr(self, kind)) is not None), None)

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One way to end; a gap only where one is kept."""
        yield from super().broken(table)
        if "gap" in table and "clear_of" not in table:
            yield "gap is given without clear_of"
        if "depth" in table and not table.keys() & {"housed", "rabbeted"}:
            yield "depth is given without housed or rabbeted"


class Opens(Table):
    """How a panel moves: it swings about one of its sides or slides out along its show face's normal."""

    ONE_OF = (("hinged", "slides"),)
    hinged: Side | None = Field(None, description="as seen from its show face")
    turn_deg: Number = Field(90, gt=0, le=180)
    slides: Positive | None = Field(None, description="travel")
    load: Number = Field(0, ge=0, description="kg that goes with it")


class Position(Table):
    """Where a panel stands in the cabinet; what it does not say of the panel's size is derived."""

    ONE_OF = (("side", "edge", "line", "behind", "facing"),)
    side: Literal["left", "right", "both"] | None = Field(None, description="it is the cabinet's side")
    edge: tuple[Name, Name] | None = Field(None, description="on the profile's edge between these corners")
    reveal: NotNegative | None = Field(None, description="its outer face lies this far inside the edge")
    line: tuple[Pair, Pair] | None = Field(None, description="its outer line in section, y and z")
    behind: Name | None = Field(None, description="parallel to that panel, behind its back face")
    by: NotNegative = Field(0, description="with behind: clear distance to that panel's back face")
    facing: Literal["left", "right", "front", "back", "up", "down"] | None = Field(
        None, description="where its show face looks; `at` is then the show face's lower left corner"
    )
    at: Triple | None = None
    meets: tuple[Name, ...] = Field(
        (), max_length=20, description="with facing: panels that it touches, every copy of them"
    )
    start: PanelEnd | None = Field(None, description="absent: the line's first corner")
    end: PanelEnd | None = Field(None, description="absent: the line's second corner")
    length: Positive | None = Field(None, description="instead of an end, or of a start")
    sides: Literal["butt", "housed", "rabbeted", "overlaid", "clear"] = "butt"
    gap: NotNegative = Field(0, description="with sides clear: on each side")
    depth: Positive | None = Field(None, description="of the housing or rabbet in the sides; absent: the cabinet's")
    width: Positive | None = Field(None, description="instead of what lies between the sides")
    middle: Length = Field(0, description="x of its middle in the cabinet")
    mirror: Flag = Field(False, description="a second one on the other side of the middle")
    cleats: Flag = Field(False, description="strips behind it on the sides")
    inset: NotNegative = Field(0, description="it stands in an opening this much from all round; for doors and drawers")
    opens: Opens | None = None

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """A position of one kind, with the keys of that kind."""
        yield from super().broken(table)
        if ("facing" in table) != ("at" in table):
            yield "facing and at go together"
        if "meets" in table and "facing" not in table:
            yield "meets is given without facing"
        if table.keys() >= {"length", "start", "end"}:
            yield "start, end and length are given (at most two of them)"
        if "reveal" in table and "edge" not in table:
            yield "reveal is given without edge"
        if "by" in table and "behind" not in table:
            yield "by is given without behind"
        if "gap" in table and table.get("sides") != "clear":
            yield 'gap is given without sides = "clear"'


class Fitting(Table):
    """A bought-in part on a panel: its cut-outs and screw holes come from the catalogue, unless drawn by hand."""

    part: Name = Field(description="its name in the catalogue")
    name: Text = Field("", max_length=60)
    at: tuple[Pair, ...] = Field(min_length=1, max_length=200, description="its middles on the panel")
    turn_deg: Degrees = 0
    drawn: Flag = Field(False, description="its cut-outs are drawn by hand among the panel's features")
    hole: Positive | None = Field(None, description="measured cut-out, rules over the catalogue's")
    opening: PositivePair | None = Field(None, description="measured cut-out, rules over the catalogue's")
    depth: Positive | None = Field(None, description="measured depth of its body")
    screw: Positive | None = Field(None, description="length of its screws")
    mass: Number | None = Field(None, ge=0, description="kg")


class Site(Table):
    """Where the cabinet goes and who uses it."""

    doorway: Positive | None = Field(None, description="clear width, not the leaf's")
    doorway_height: Positive = Field(2032, description="clear height")
    ceiling: Positive | None = Field(None, description="height of the room where it is stood up")
    use: Literal["standing", "seated", "wall", "table"] = "standing"
    eye: NotNegative = Field(100, description="how far in front of the cabinet the visitor's eyes are")
    wheelchair: Flag = Field(False, description="knee space is asked for")
    children: Flag = False
    unattended: Flag = False


class Air(Table):
    """A grille or an opening that lets air in."""

    panel: Name
    feature: Name


class Load(Table):
    """A mass inside that no fitting carries: coins, a computer, ballast."""

    name: Name
    mass: Annotated[Number, Field(gt=0)]
    at: Triple
    size: tuple[Positive, Positive, Positive] | None = Field(None, description="its box; nothing else may be there")


class Cabinet(Table):
    """The whole: what all panels share."""

    width: Positive = Field(description="outside, over both sides")
    stock: Name = Field(description="the sides'")
    profile: tuple[ProfileCorner, ...] = Field(min_length=3, max_length=100)
    reveal: NotNegative = Field(0, description="every outer face lies this far inside the side's edge")
    housing: Positive | None = Field(None, description="depth of grooves and rabbets; absent: a third of the board")
    slack: NotNegative = Field(1, description="a housed panel is shorter than its housings by this in all")
    clearance: NotNegative = Field(0.2, description="a housing is wider than the thickest reading by this")
    run_out: NotNegative | None = Field(
        None, description="a housing runs past the panel by this; absent: half its width, for the round ends"
    )
    cleat: PositivePair = Field((18, 40), description="section of a cleat: thickness, width")
    cleat_stop: NotNegative = Field(20, description="a cleat is this much shorter at each end")
    housing_stop: NotNegative = Field(25, description="a cleat stops this far before a housing")
    staple: Annotated[Length, within(above=0, most=100)] = Field(
        35, description="length of staples or screws in cleats"
    )
    floor: NotNegative = Field(0, description="the sides' lower edge lies this far above the floor")
    feet: tuple[Pair, ...] = Field((), max_length=20, description="x and y of each; absent: the profile's corners")
    round: NotNegative = Field(0, description="rounding of the edges that people touch")
    parts: Text | None = Field(None, description="the shop's own catalogue, a file beside the job")
    site: Site = Site()
    air: tuple[Air, ...] = Field((), max_length=50)
    load: tuple[Load, ...] = Field((), max_length=200)
