"""What is cut into a panel, lettered on it, or done to its rims."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from cncpanel.job.edge import RimEdge, Side
from cncpanel.job.shape import Shape, Spot, list_or_one
from cncpanel.job.table import (
    Degrees,
    Length,
    NotNegative,
    Pair,
    Positive,
    PositivePair,
    Table,
    Text,
    Whole,
    within,
)

Face = Literal["show", "back"]
End = Literal["square", "round", "open"]
Ends = Annotated[Annotated[End, Tag("<one>")] | Annotated[tuple[End, End], Tag("<list>")], Discriminator(list_or_one)]


Lines = Literal["round", "along"]
Relief = Literal["none", "corner", "long", "short"]
RELIEF = (
    "a bite at each sharp inside corner, so that what is square goes in: into both walls, the long or the short one"
)


class _Feature(Shape):
    name: Text = Field("", max_length=60)
    face: Face | None = Field(None, description="the face it is cut from; absent: the panel's own")
    tool: Text | None = Field(None, description="a tool of the rack by name; absent: chosen")


class Opening(_Feature):
    """Cut right through, inside the outline; `edge`: what its rim gets."""

    edge: tuple[RimEdge, ...] = Field((), max_length=100)

    relief: Relief = Field("none", description=RELIEF)


class Step(Shape):
    """A deeper part of a recess."""

    depth: Positive


class Recess(_Feature):
    """A flat-bottomed pocket; steps go deeper, islands stay."""

    depth: Positive
    relief: Relief = Field("none", description=RELIEF)
    step: tuple[Step, ...] = ()
    island: tuple[Shape, ...] = ()
    lines: Lines = Field(
        "round",
        description="along: cleared in straight lines along the sheet's first side, where its grain lies; round: from "
        "the middle outwards",
    )


class _Narrow(Table):
    name: Text = Field("", max_length=60)
    face: Face | None = None
    tool: Text | None = None


class Groove(_Narrow):
    """A housing along a path of points (corners with through for arcs); its width, or the stock it houses."""

    ONE_OF = (("width", "houses"),)
    path: tuple[Spot, ...] = Field(min_length=2, max_length=2000)
    width: Positive | None = None
    houses: Text | None = Field(None, description="name of the stock that goes in: its thickest reading + clearance")
    clearance: NotNegative = 0.2
    depth: Positive
    wall: Literal["centre", "left", "right"] = Field(
        "centre", description="centre: the path is the middle; left: the groove lies to the left of the path"
    )
    ends: Ends = Field(
        "square", description="round: half circles inside the path's length; open: runs out over the rim"
    )
    relief: Relief = Field("corner", description="at its square ends: " + RELIEF)


class Rabbet(_Narrow):
    """A step along a rim: by side of the panel's box, or by the outline's edge number (from 0)."""

    ONE_OF = (("side", "edge"),)
    side: Side | None = None
    edge: Whole | None = Field(None, ge=0)
    width: Positive
    depth: Positive
    start: NotNegative = Field(0, description="distance from the edge's beginning (counter-clockwise)")
    stop: Positive | None = None


class Counterbore(Table):
    """A wider, flat-bottomed start of a hole."""

    diameter: Positive
    depth: Positive


class Grid(Table):
    """Columns and rows, centred on the hole's position."""

    columns: Whole = Field(ge=1, le=200)
    rows: Whole = Field(ge=1, le=200)
    pitch: PositivePair


class Ring(Table):
    """Evenly round a circle about the hole's position."""

    count: Whole = Field(ge=1, le=360)
    diameter: Positive
    first_deg: Degrees = 0


class Row(Table):
    """In a line from the hole's position."""

    count: Whole = Field(ge=1, le=1000)
    pitch: Positive
    direction_deg: Degrees = 0


class Hole(_Narrow):
    """A round hole, or a pattern of them."""

    MOST_ONE_OF = (("grid", "ring", "row"),)
    centre: Pair
    diameter: Positive
    depth: Positive | None = Field(None, description="absent: right through")
    counterbore: Counterbore | None = None
    grid: Grid | None = None
    ring: Ring | None = None
    row: Row | None = None


class RoundCells(Table):
    """Round holes in a grille."""

    diameter: Positive
    pitch: Positive
    arrangement: Literal["staggered", "square"] = "staggered"


class SlotCells(Table):
    """Slots with round ends in a grille: length along x, width along y before the cells are turned."""

    length: Positive
    width: Positive
    pitch: PositivePair = Field(description="along the length, across it")
    turn_deg: Degrees = 0


class Grille(_Feature):
    """A field of holes or slots inside a boundary (the shape); whole cells only."""

    ONE_OF = (*Shape.ONE_OF, ("holes", "slots"))
    holes: RoundCells | None = None
    slots: SlotCells | None = None


class Mark(_Narrow):
    """Shallow single-stroke lettering, or crosses where holes are drilled by hand."""

    ONE_OF = (("at", "centres"),)
    MOST_ONE_OF = (("text", "centres"),)
    text: str | None = Field(
        None,
        min_length=1,
        max_length=60,
        pattern=r"^[A-Za-z0-9 _.^+\-]+$",
        description="^ is an arrow to the letters' top, + a cross; absent: the panel's name and an arrow to its top",
    )
    at: Pair | None = Field(None, description="lower left of the text")
    centres: tuple[Pair, ...] = Field(
        (), max_length=200, description="crosses to drill by: `height` across, along and across the panel"
    )
    height: Annotated[Length, within(least=3, most=200)] = 10
    turn_deg: Degrees = 0
    depth: Annotated[Length, within(above=0, most=3)] = 0.5
