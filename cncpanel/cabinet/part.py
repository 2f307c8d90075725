"""A bought-in part of the catalogue: what is cut for it, the room it takes up, and whence the figures."""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from cncpanel.job.feature import Ring
from cncpanel.job.table import Degrees, Flag, Name, NotNegative, Number, Pair, Positive, PositivePair, Table, Text

Kind = Literal[
    "button",
    "stick",
    "trackball",
    "screen",
    "mount",
    "speaker",
    "fan",
    "port",
    "inlet",
    "coin door",
    "lock",
    "hinge",
    "slides",
    "foot",
    "insert",
    "sign",
    "pane",
    "other",
]
CONTROLS = ("button", "stick", "trackball")
POWERED = ("screen", "fan")


class PartRecess(Table):
    """A pocket behind: round, rectangular, a rebate round the opening; its depth, or what leaves `most_board`."""

    ONE_OF = (("diameter", "size", "border"),)
    diameter: Positive | None = None
    size: PositivePair | None = None
    border: Positive | None = Field(None, description="beyond the opening's edges")
    radius: NotNegative = 0
    depth: Positive | None = None


class PartHoles(Table):
    """Screw holes about the part's middle."""

    ONE_OF = (("at", "ring"),)
    diameter: Positive
    depth: Positive | None = None
    at: tuple[Pair, ...] | None = None
    ring: Ring | None = None
    face: Literal["back"] | None = Field(None, description="drilled from behind; absent: from the panel's own face")


class PartBody(Table):
    """Room that it takes up, from `start` to `depth` below the show face, or behind the back face.

    Less than nothing is before that face: -3 to 0 behind is what lies flush in a rebate.
    """

    ONE_OF = (("diameter", "size", "border"),)
    diameter: Positive | None = None
    size: PositivePair | None = None
    border: Positive | None = Field(None, description="beyond the opening's edges")
    at: Pair = Field((0, 0), description="its middle from the part's")
    start: Number = 0
    depth: Number
    behind: Flag = False

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """It has a depth."""
        yield from super().broken(table)
        start, depth = table.get("start", 0), table.get("depth")
        if isinstance(start, int | float) and isinstance(depth, int | float) and depth <= start:
            yield f"depth {depth:g} is no deeper than start {start:g}"


class Part(Table):
    """One entry of the catalogue."""

    MOST_ONE_OF = (("hole", "opening"),)
    name: Name
    kind: Kind
    title: Text = Field("", max_length=200)
    hole: Positive | None = Field(None, description="diameter of its cut-out")
    opening: PositivePair | None = Field(None, description="width and height of its cut-out")
    radius: NotNegative = 0
    turn_deg: Degrees = 0
    most_board: Positive | None = Field(None, description="the thickest board it holds in")
    recess: PartRecess | None = None
    holes: PartHoles | None = None
    body: tuple[PartBody, ...] = ()
    visible: PositivePair | None = Field(None, description="a screen's picture")
    pitch: Positive | None = Field(None, description="least distance to the next of its kind")
    rim: NotNegative = Field(0, description="least distance from its cut-out to the panel's rim")
    screw: Positive | None = Field(None, description="length of its screws into the board")
    fasteners: Text = Field("", max_length=200, description="what holds it")
    cord: Positive | None = None
    mass: Annotated[float, Field(ge=0)] = 0.0
    source: Text = Field(min_length=1, max_length=300)
    measure: Flag = Field(False, description="take the figures from the part in hand")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """A border is round an opening."""
        yield from super().broken(table)
        bodies = table.get("body")
        parts = [table.get("recess"), *(bodies if isinstance(bodies, list) else [])]
        if "opening" not in table and any(isinstance(one, Mapping) and "border" in one for one in parts):
            yield "border is given without opening"


class PartFile(Table):
    """A file of the catalogue."""

    part: tuple[Part, ...] = Field(min_length=1, max_length=2000)
