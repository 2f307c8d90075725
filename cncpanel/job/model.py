"""What a job file says, in millimetres once read.

`Length` is a plain number in the job's unit, a length as workshops write it ("3/4 in", "10-7/8in", "2.5 cm")
or arithmetic over [values] ("width - 2 * board"); the reader's context turns all three into millimetres.
All positions on a panel are seen from its SHOW face, origin at the lower left of its outline.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Field

from cncpanel.job.feature import (
    Counterbore,
    Edge,
    End,
    Face,
    Grid,
    Grille,
    Groove,
    Hole,
    Mark,
    Opening,
    Rabbet,
    Recess,
    Ring,
    RoundCells,
    Row,
    Side,
    SlotCells,
    Step,
)
from cncpanel.job.paper import Artwork, ArtworkSettings, MadeKind, TemplateSettings
from cncpanel.job.shape import Corner, DxfOutline, Radius, Shape, Spot, radius_of_rectangle
from cncpanel.job.table import (
    Length,
    Name,
    NotNegative,
    Number,
    Positive,
    PositivePair,
    Table,
    Text,
    Whole,
    one_of,
    within,
)

__all__ = [
    "Artwork",
    "ArtworkSettings",
    "Corner",
    "Counterbore",
    "DxfOutline",
    "Edge",
    "End",
    "Face",
    "Grid",
    "Grille",
    "Groove",
    "Hole",
    "Job",
    "JobHead",
    "Mark",
    "Opening",
    "Panel",
    "Rabbet",
    "Recess",
    "Ring",
    "RoundCells",
    "Row",
    "Settings",
    "Shape",
    "Side",
    "SlotCells",
    "Step",
    "Stock",
    "TemplateSettings",
]


class Stock(Table):
    """A sheet material."""

    name: Name
    material: Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"]
    thickness: Annotated[Length, within(above=0, most=100)]
    measured: tuple[Positive, ...] = Field(
        (), max_length=100, description="caliper readings; largest rules depths, smallest rules webs and tabs"
    )
    sheet: PositivePair = Field(description="length, width of a whole sheet")
    count: Whole = Field(ge=0, le=1000, description="sheets at hand")
    margin: NotNegative = Field(10, description="kept free along the sheet's edges")
    grain: Literal["none", "long"] = "none"

    @property
    def thickest(self) -> float:
        """Rules through depth and groove width."""
        return max(self.measured, default=self.thickness)

    @property
    def thinnest(self) -> float:
        """Rules webs, tabs and skins."""
        return min(self.measured, default=self.thickness)


class Panel(Table):
    """One flat part: exactly one of size, outline or dxf, and its features."""

    name: Name
    stock: Name
    size: PositivePair | None = Field(None, description="a rectangle: width, height")
    radius: Radius = Field(0, description="rectangle's corner radii, as in a shape")
    outline: tuple[Spot, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = Field(None, description="one outline with holes; holes become openings")
    copies: Whole = Field(1, ge=0, le=200)
    mirrored: Whole = Field(0, ge=0, le=200, description="how many mirrored copies besides")
    face: Face = Field("show", description="the face it is cut from: the one that lies up")
    turn: Literal["any", "right-angles", "along", "across"] = Field(
        "right-angles",
        description="how it may lie on the sheet; along/across: its x with or across the sheet's length",
    )
    note: Text = Field("", max_length=300)
    opening: tuple[Opening, ...] = ()
    recess: tuple[Recess, ...] = ()
    groove: tuple[Groove, ...] = ()
    rabbet: tuple[Rabbet, ...] = ()
    hole: tuple[Hole, ...] = ()
    grille: tuple[Grille, ...] = ()
    mark: tuple[Mark, ...] = ()
    edge: tuple[Edge, ...] = ()
    artwork: tuple[Artwork, ...] = Field((), max_length=2, description="a printed face each")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One outline, at least one part."""
        yield from one_of(table, "size", "outline", "dxf")
        yield from radius_of_rectangle(table)
        if table.get("copies", 1) == 0 and table.get("mirrored", 0) == 0:
            yield "copies and mirrored are both 0 (at least one part)"


class Settings(Table):
    """What the job asks of the cutting; absent: the machine file's habit."""

    least_web: NotNegative = Field(4, description="narrowest material between two cuts or a cut and the rim")
    least_floor: NotNegative = Field(2, description="thinnest floor under a recess")
    gap: NotNegative | None = Field(None, description="between parts on a sheet; absent: tool reach + spare")
    spare: NotNegative = Field(4, description="added to the farthest tool reach for the gap")
    direction: Literal["climb", "conventional"] | None = None
    tab_height: Positive | None = None
    tab_width: Positive | None = None
    make: tuple[MadeKind, ...] | None = Field(None, min_length=1, description="what is written; absent: everything")
    template: TemplateSettings = TemplateSettings()
    artwork: ArtworkSettings = ArtworkSettings()


class JobHead(Table):
    """The order itself."""

    name: Name
    units: Literal["mm", "inch"] = "mm"
    machine: Text = Field(
        min_length=1, max_length=200, description="a shipped machine's name, or a file beside the job"
    )
    revision: Text = Field("A", max_length=20)
    date: Text = Field("", max_length=20, description="as it is to be printed; never the clock's")
    note: Text = Field("", max_length=500)


class Job(Table):
    """A whole job file."""

    job: JobHead
    values: dict[str, Number] = Field(
        default_factory=dict, description="named values for the arithmetic, in the job's unit"
    )
    settings: Settings = Settings()
    stock: tuple[Stock, ...] = Field(min_length=1, max_length=50)
    panel: tuple[Panel, ...] = Field(min_length=1, max_length=2000)
