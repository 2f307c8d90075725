"""A bought-in part of the catalogue: what is cut for it, the room it takes up, and whence the figures."""

from typing import Annotated, Literal

from pydantic import Field

from cncpanel.job.feature import Ring
from cncpanel.job.table import Degrees, Flag, Name, NotNegative, Pair, Positive, PositivePair, Table, Text

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
    """A pocket behind: round or rectangular; its depth, or as deep as leaves `most_board`."""

    ONE_OF = (("diameter", "size"),)
    diameter: Positive | None = None
    size: PositivePair | None = None
    radius: NotNegative = 0
    depth: Positive | None = None


class PartHoles(Table):
    """Screw holes about the part's middle."""

    ONE_OF = (("at", "ring"),)
    diameter: Positive
    depth: Positive | None = None
    at: tuple[Pair, ...] | None = None
    ring: Ring | None = None


class PartBody(Table):
    """Room that it takes up, from `start` to `depth` below the show face, or behind the back face."""

    ONE_OF = (("diameter", "size"),)
    diameter: Positive | None = None
    size: PositivePair | None = None
    start: NotNegative = 0
    depth: Positive
    behind: Flag = False


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
    cord: Positive | None = None
    mass: Annotated[float, Field(ge=0)] = 0.0
    source: Text = Field(min_length=1, max_length=300)
    measure: Flag = Field(False, description="take the figures from the part in hand")


class PartFile(Table):
    """A file of the catalogue."""

    part: tuple[Part, ...] = Field(min_length=1, max_length=2000)
