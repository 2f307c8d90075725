"""What a job file says, in millimetres once read.

`Length` is a plain number in the job's unit, a length as workshops write it ("3/4 in", "10-7/8in", "2.5 cm")
or arithmetic over [values] ("width - 2 * board"); the reader's context turns all three into millimetres.
All positions on a panel are seen from its SHOW face, origin at the lower left of its outline.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from cncpanel.job.assembly import Assembly, Cleat, Consumable, Hardware
from cncpanel.job.cabinet import Cabinet, Fitting, Position
from cncpanel.job.edge import Edge, RimEdge, RimPart, Side, TabFree, TSlot
from cncpanel.job.feature import (
    Counterbore,
    End,
    Face,
    Grid,
    Grille,
    Groove,
    Hole,
    Lines,
    Mark,
    Opening,
    Rabbet,
    Recess,
    Relief,
    Ring,
    RoundCells,
    Row,
    SlotCells,
    Step,
)
from cncpanel.job.holding import Hold, ScrewSettings
from cncpanel.job.paper import Artwork, ArtworkSettings, LabelStock, MadeKind, TemplateSettings
from cncpanel.job.saw import Saw
from cncpanel.job.shape import Corner, DxfOutline, Radius, Shape, Spot, list_or_one, radius_of_rectangle
from cncpanel.job.table import (
    Degrees,
    Flag,
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
from cncpanel.units import DimensionUnit

__all__ = [
    "Artwork",
    "ArtworkSettings",
    "Assembly",
    "Cabinet",
    "Cleat",
    "Consumable",
    "Corner",
    "Counterbore",
    "DxfOutline",
    "Edge",
    "End",
    "Face",
    "Fitting",
    "Grid",
    "Grille",
    "Groove",
    "Hardware",
    "Hole",
    "Job",
    "JobHead",
    "KeepOut",
    "Lines",
    "Mark",
    "OffcutSettings",
    "OffcutSize",
    "Opening",
    "Packing",
    "Panel",
    "Position",
    "Rabbet",
    "Recess",
    "Relief",
    "RimEdge",
    "RimPart",
    "Ring",
    "RoundCells",
    "Row",
    "Saw",
    "ScrewSettings",
    "Settings",
    "Shape",
    "SheetSize",
    "Side",
    "SlotCells",
    "Step",
    "Stock",
    "TSlot",
    "TabFree",
    "TemplateSettings",
    "TurningSettings",
]


Turn = Literal["any", "right-angles", "along", "across"]
Turns = Annotated[
    Annotated[Turn, Tag("<one>")] | Annotated[tuple[Degrees, ...], Field(min_length=1, max_length=360), Tag("<list>")],
    Discriminator(list_or_one),
]
Price = Annotated[Number, Field(ge=0)]


class KeepOut(Table):
    """A rectangle of a sheet where no part may lie: `at` is its lower left on the sheet.

    Clamps and screws: nothing is cut there either. Used: an earlier job cut the sheet away there. Defect: nothing that
    is to be kept may hold it.
    """

    kind: Literal["clamp", "screw", "used", "defect"] = "clamp"
    at: tuple[NotNegative, NotNegative]
    size: PositivePair
    height: Positive | None = Field(
        None, description="clamp, screw: over the sheet's top; absent: the machine's clamp_height"
    )
    hole: Positive | None = Field(
        None, description="screw: the programs drill it at the box's middle and stop for the screw; absent: it stands"
    )
    clear: NotNegative | None = Field(
        None,
        description="clamp, screw: parts stay so far off; absent: the gap, more where a collet nut dips under its top",
    )

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of the box."""
        return self.at[0] + self.size[0] / 2, self.at[1] + self.size[1] / 2


class SheetSize(Table):
    """Another size in which the stock is at hand or sold."""

    sheet: PositivePair = Field(description="length, width")
    count: Whole | None = Field(None, ge=0, le=1000, description="no more than these; absent: as many as it takes")
    price: Price | None = Field(None, description="of one such sheet; absent: by area from the stock's own")
    keep_out: tuple[KeepOut, ...] = Field((), max_length=200)


class OffcutSize(SheetSize):
    """A piece of the shop's store of offcuts: no job file has it, a run offers it beside the stock's own sizes."""

    name: Name


class Stock(Table):
    """A sheet material."""

    name: Name
    material: Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"]
    thickness: Annotated[Positive, within(most=100)]
    measured: tuple[Positive, ...] = Field(
        (), max_length=100, description="caliper readings; largest rules depths, smallest rules webs and tabs"
    )
    sheet: PositivePair = Field(description="length, width of a whole sheet")
    count: Whole = Field(ge=0, le=1000, description="sheets at hand")
    margin: NotNegative = Field(10, description="kept free along the sheet's edges")
    grain: Literal["none", "long"] = Field("none", description="long: along the sheet's first side")
    price: Price | None = Field(None, description="of one sheet, in the shop's currency")
    keep_out: tuple[KeepOut, ...] = Field((), max_length=200, description="on every sheet: clamps, screws")
    size: tuple[SheetSize, ...] = Field((), max_length=50, description="other sizes at hand, offcuts among them")
    offcuts: Flag = Field(True, description="pieces of the shop's store of offcuts may be taken for it")

    def of_size(self, size: SheetSize) -> "Stock":
        """The same material as a sheet of that size, with its keep-outs too."""
        other = {
            "sheet": size.sheet,
            "count": 1000 if size.count is None else size.count,
            "price": size.price,
            "keep_out": (*self.keep_out, *size.keep_out),
            "size": (),
        }
        return self.model_copy(update=other)

    @property
    def thickest(self) -> float:
        """Rules through depth and groove width."""
        return max(self.measured, default=self.thickness)

    @property
    def thinnest(self) -> float:
        """Rules webs, tabs and skins."""
        return min(self.measured, default=self.thickness)


class Panel(Table):
    """One flat part: exactly one of size, diameter, outline or dxf, and its features."""

    MOST_ONE_OF = (("size", "diameter", "outline", "dxf"),)
    LEAST_ONE_OF = (("size", "diameter", "outline", "dxf", "position"),)
    name: Name
    stock: Name
    position: Position | None = Field(None, description="where it stands in the cabinet; its size is then derived")
    size: PositivePair | None = Field(None, description="a rectangle: width, height")
    radius: Radius = Field(0, description="rectangle's corner radii, as in a shape")
    diameter: Positive | None = Field(None, description="a disc; the lower left of its box is the origin")
    outline: tuple[Spot, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = Field(None, description="one outline with holes; holes become openings")
    copies: Whole = Field(1, ge=0, le=200)
    mirrored: Whole = Field(0, ge=0, le=200, description="how many mirrored copies besides")
    face: Face = Field("show", description="the face it is cut from: the one that lies up")
    turn: Turns = Field(
        "right-angles",
        description="how it may lie on the sheet; along/across: its x with or across the sheet's length; "
        "or a list of degrees from the sheet's length to its x; absent: right-angles, with grain: along",
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
    tab_free: tuple[TabFree, ...] = Field((), max_length=200, description="where no tab is put while others can hold")
    artwork: tuple[Artwork, ...] = Field((), max_length=2, description="a printed face each")
    fitting: tuple[Fitting, ...] = Field((), max_length=200, description="bought-in parts on it")

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One outline, at least one part; a panel with a position may leave its size to be derived."""
        if "position" in table:
            yield from super().broken(table)
        else:
            yield from one_of(table, *cls.MOST_ONE_OF[0])
        yield from radius_of_rectangle(table)
        if table.get("copies", 1) == 0 and table.get("mirrored", 0) == 0:
            yield "copies and mirrored are both 0 (at least one part)"

    def turn_on(self, stock: Stock) -> Turn | tuple[Degrees, ...]:
        """How it may lie on a sheet of the stock: grain limits what the panel leaves open, its x along the grain."""
        return "along" if stock.grain == "long" and "turn" not in self.model_fields_set else self.turn


class Packing(Table):
    """How long better layouts are looked for than the first one."""

    steps: Whole = Field(20, ge=0, le=1_000_000, description="tries; none once the lower bound is reached")
    seed: Whole = Field(1, ge=0, le=2**31 - 1)
    alternatives: Whole = Field(
        1,
        ge=1,
        le=1000,
        description="searches of as many steps each, with this seed and those after it",
    )


class OffcutSettings(Table):
    """Where the shop keeps its offcuts, and which pieces this job keeps."""

    file: Text | None = Field(
        None, min_length=1, max_length=1000, description="the shop's store, from the job's folder; absent: none"
    )
    least: PositivePair | None = Field(
        None, description="the smallest piece worth keeping, either way round; absent: the store's, or 400 x 250"
    )


Axis = Literal["x", "y"]
Registration = Literal["dowels", "edge"]


class TurningSettings(Table):
    """How a sheet that is cut from both faces is turned over; absent: the machine file's habit."""

    axis: Axis | None = Field(None, description="x: about the sheet's long middle line; y: about its short one")
    by: Registration | None = Field(None, description="dowels through sheet and spoilboard, or stops at two edges")
    dowel: Annotated[Positive, within(most=25)] | None = Field(None, description="the dowels' diameter")


class Settings(Table):
    """What the job asks of the cutting; absent: the machine file's habit."""

    least_web: Annotated[NotNegative, within(least=0.5)] = Field(
        4, description="narrowest material between two cuts or a cut and the rim; a thinner web holds nothing"
    )
    least_floor: NotNegative = Field(2, description="thinnest floor under a recess")
    gap: NotNegative | None = Field(None, description="between parts on a sheet; absent: tool reach + spare")
    spare: NotNegative = Field(4, description="added to the farthest tool reach for the gap")
    relief_radius: Annotated[Positive, within(least=0.5, most=25)] = Field(
        3.2, description="of the bites at relieved corners: at least that of a cutter which deepens them"
    )
    direction: Literal["climb", "conventional"] | None = Field(
        None, description="of roughing; climb: the material on the tool's right; absent: the machine's habit"
    )
    finish_direction: Literal["climb", "conventional"] | None = Field(
        None, description="of the last pass along walls and edges; absent: the machine's habit, mostly climb"
    )
    hold: Hold = Field(
        "tabs", description="parts: tabs; skin: a thin floor, cut last of all; vacuum: alone where it is strong enough"
    )
    skin: Positive | None = Field(
        None, description="hold = skin: the floor's thickness at the thinnest reading; absent: as the table allows"
    )
    wall_allowance: Annotated[Length, within(least=0, most=3)] | None = Field(
        None, description="left on walls by roughing, taken by the finish pass; 0: none is; absent: the machine's habit"
    )
    floor_allowance: Annotated[Length, within(least=0, most=3)] = Field(
        0, description="left on floors by roughing, taken by a last light pass over all of each; 0: none is"
    )
    second_clearing: Literal["weighed", "always", "never"] = Field(
        "weighed",
        description="of recesses: a larger tool clears what it reaches, a smaller one what that left; weighed: where "
        "the time saved is more than a tool change takes",
    )
    tab_height: Positive | None = None
    tab_width: Positive | None = None
    tab_shape: Literal["flat", "sloped"] = Field(
        "flat",
        description="sloped: up and down flanks of the machine's ramp angle where the wall is straight for so long, so "
        "that the tool never stops",
    )
    screws: ScrewSettings | None = Field(None, description="that the programs drill for and stop to be driven")
    scallop: Annotated[Length, within(least=0.005, most=0.5)] = Field(
        0.05, description="highest ridge that a ball-nosed tool may leave where it makes an edge in steps"
    )
    make: tuple[MadeKind, ...] | None = Field(None, min_length=1, description="what is written; absent: everything")
    dimensions: DimensionUnit | None = Field(
        None, description="on drawings: millimetres, decimal inches or inches to the nearest 1/64; absent: by units"
    )
    labels: LabelStock | None = Field(None, description="sheet of labels: paper, across x down; absent: by units")
    rough: NotNegative = Field(10, description="added to a panel's sizes in the cut list, for cutting out roughly")
    template: TemplateSettings = TemplateSettings()
    artwork: ArtworkSettings = ArtworkSettings()
    packing: Packing = Packing()
    offcuts: OffcutSettings = OffcutSettings()
    turning: TurningSettings = TurningSettings()
    use_openings: Flag = Field(False, description="small parts may lie in the waste of large openings")


class JobHead(Table):
    """The order itself."""

    name: Name
    units: Literal["mm", "inch"] = "mm"
    machine: Text | None = Field(
        None,
        min_length=1,
        max_length=200,
        description="a shipped machine's name, or a file beside the job; absent: for the saw only, which [saw] says",
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
    saw: Saw | None = Field(None, description="a table saw: a plan for it is made too, or alone where no machine is")
    stock: tuple[Stock, ...] = Field(min_length=1, max_length=50)
    cabinet: Cabinet | None = Field(None, description="the whole that panels with a position stand in")
    panel: tuple[Panel, ...] = Field(min_length=1, max_length=2000)
    hardware: tuple[Hardware, ...] = Field((), max_length=500)
    consumable: tuple[Consumable, ...] = Field((), max_length=200)
    cleat: tuple[Cleat, ...] = Field((), max_length=500)
    assembly: tuple[Assembly, ...] = Field((), max_length=500, description="the steps, in their order")

    @property
    def dimension_unit(self) -> DimensionUnit:
        """How labels, templates and drawings write lengths: as asked, else in the job's unit."""
        return self.settings.dimensions or self.job.units
