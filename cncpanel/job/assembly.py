"""What a job says of its assembly: bought-in parts, what is used up, cleats, the order in which it goes together."""

from typing import Annotated, Literal

from pydantic import Field

from cncpanel.job.feature import Face
from cncpanel.job.table import Degrees, Name, Pair, Positive, PositivePair, Table, Text, Whole

Action = Literal["glue", "staple", "screw", "nail", "dowel", "clamp", "fit", "hang"]
Note = Annotated[Text, Field(max_length=300)]


class Hardware(Table):
    """A bought-in part."""

    name: Name
    count: Whole = Field(ge=1, le=100_000)
    note: Note = ""


class Consumable(Table):
    """What is used up: glue, screws, staples, edging."""

    name: Name
    count: Whole | None = Field(None, ge=1, le=1_000_000, description="absent: as much as it takes, see the note")
    note: Note = ""


class CleatPlace(Table):
    """Where a cleat lies: the corner that it runs from; seen from the show face it lies to the left of its way."""

    on: Name | None = Field(None, description="the panel that it lies on; absent: the one that it goes along")
    at: Pair
    direction_deg: Degrees = 0
    face: Face = Field("back", description="of that panel")
    lies: Literal["flat", "on edge"] = Field("flat", description="on edge: its thickness lies on that panel")


class Cleat(Table):
    """A strip glued into a corner to hold two panels together, from stock of its own."""

    name: Text = Field("", max_length=60)
    size: PositivePair = Field(description="its section: thickness, width")
    length: Positive
    count: Whole = Field(1, ge=1, le=10_000)
    panel: Name = Field(description="the panel that it goes along")
    where: Text = Field("", max_length=200)
    place: tuple[CleatPlace, ...] = Field(
        (), max_length=100, description="where they lie, to be marked; each place is one on every copy of its panel"
    )


class Check(Table):
    """What to measure in a dry fit: a distance, or both diagonals of a rectangle."""

    ONE_OF = (("distance", "rectangle"),)
    what: Name
    distance: Positive | None = None
    rectangle: PositivePair | None = Field(None, description="width, height: its diagonals are told")


class Assembly(Table):
    """A step: which panels, what is done with them, to which others. The job's order is the bench's."""

    panels: tuple[Name, ...] = Field(min_length=1, max_length=100)
    action: tuple[Action, ...] = Field(min_length=1, max_length=5)
    to: tuple[Name, ...] = Field((), max_length=100, description="the panels that they are joined to")
    note: Note = ""
    check: tuple[Check, ...] = Field((), max_length=20, description="measured dry, before anything is glued")
