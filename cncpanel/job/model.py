"""What a job file says, in millimetres once read.

`Length` is a plain number in the job's unit, a length as written in a workshop ("3/4 in", "10-7/8in", "2.5 cm") or
arithmetic over [values] ("width - 2 * board"); the reader turns all three into millimetres before these models see them.
All positions on a panel are seen from its SHOW face, origin at the lower left of its outline.
"""

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationInfo, model_validator

Face = Literal["show", "back"]
Side = Literal["bottom", "right", "top", "left"]


def _as_millimetres(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("length")
    return convert(value) if convert else value


def _as_angle(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("number")
    return convert(value) if convert else value


_LENGTH_SCHEMA = {
    "anyOf": [{"type": "number"}, {"type": "string"}],
    "description": 'a number in the job\'s unit, "3/4 in", "2.5 cm", or arithmetic over [values]',
}
Length = Annotated[
    float,
    BeforeValidator(_as_millimetres, json_schema_input_type=float | str),
    Field(json_schema_extra={"description": _LENGTH_SCHEMA["description"]}),
]
Number = Annotated[float, BeforeValidator(_as_angle, json_schema_input_type=float | str)]
Whole = Annotated[int, BeforeValidator(_as_angle, json_schema_input_type=int | str)]
Pair = tuple[Length, Length]
Name = Annotated[str, Field(min_length=1, max_length=60)]


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class Stock(_Frozen):
    """A sheet material."""

    name: Name
    material: Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"]
    thickness: Length = Field(gt=0, le=100)
    measured: tuple[Length, ...] = Field((), description="caliper readings; largest rules depths, smallest rules webs and tabs")
    sheet: Pair = Field(description="length, width of a whole sheet")
    count: Whole = Field(ge=0, le=1000, description="sheets at hand")
    margin: Length = Field(10, ge=0, description="kept free along the sheet's edges")
    grain: Literal["none", "long"] = "none"

    @property
    def thickest(self) -> float:
        """Rules through depth and groove width."""
        return max(self.measured, default=self.thickness)

    @property
    def thinnest(self) -> float:
        """Rules webs, tabs and skins."""
        return min(self.measured, default=self.thickness)


class Corner(_Frozen):
    """A corner of an outline; `through` makes the stretch from the corner before an arc through that point."""

    to: Pair
    radius: Length = Field(0, ge=0, description="rounds this corner")
    through: Pair | None = None


class DxfOutline(_Frozen):
    """Contours taken from a DXF file beside the job file."""

    file: str = Field(min_length=1, max_length=200)
    layer: str | None = None
    unit: Literal["mm", "cm", "m", "inch", "foot"] | None = None
    tolerance: Length = Field(0.05, gt=0, le=1)


class Shape(_Frozen):
    """A closed shape on a panel: exactly one of size, diameter, outline or dxf."""

    size: Pair | None = Field(None, description="rectangle: width, height")
    radius: Length | tuple[Length, Length, Length, Length] = Field(
        0, description="rectangle's corner radii; four: lower left, lower right, upper right, upper left"
    )
    diameter: Length | None = Field(None, gt=0)
    outline: tuple[Pair | Corner, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = None
    at: Pair | None = Field(None, description="where the shape's own lower left (of its box) goes")
    centre: Pair | None = Field(None, description="where the middle of its box goes")
    turn_deg: Number = Field(0, description="turned about the middle of its box, counter-clockwise, before it is put there")

    @model_validator(mode="after")
    def _one_shape(self) -> "Shape":
        given = [n for n in ("size", "diameter", "outline", "dxf") if getattr(self, n) is not None]
        if len(given) != 1:
            said = " and ".join(given) or "none"
            raise ValueError(f"{said} given (exactly one of size, diameter, outline, dxf)")
        if self.at is not None and self.centre is not None:
            raise ValueError("at and centre both given (one of them)")
        if self.at is None and self.centre is None and given[0] in ("size", "diameter"):
            raise ValueError("no position (at or centre)")
        return self


class _Feature(Shape):
    name: str = Field("", max_length=60)
    face: Face | None = Field(None, description="the face it is cut from; absent: the panel's own")
    tool: str | None = Field(None, description="a tool of the rack by name; absent: chosen")


class Opening(_Feature):
    """Cut right through, inside the outline."""


class Step(Shape):
    """A deeper part of a recess."""

    depth: Length = Field(gt=0)


class Recess(_Feature):
    """A flat-bottomed pocket; steps go deeper, islands stay."""

    depth: Length = Field(gt=0)
    step: tuple[Step, ...] = ()
    island: tuple[Shape, ...] = ()


class _Narrow(_Frozen):
    name: str = Field("", max_length=60)
    face: Face | None = None
    tool: str | None = None


class Groove(_Narrow):
    """A housing along a path: `path` of points (Corner with through for arcs), width or the stock it houses."""

    path: tuple[Pair | Corner, ...] = Field(min_length=2, max_length=2000)
    width: Length | None = Field(None, gt=0)
    houses: str | None = Field(None, description="name of the stock that goes in: its thickest reading + clearance")
    clearance: Length = Field(0.2, ge=0)
    depth: Length = Field(gt=0)
    wall: Literal["centre", "left", "right"] = Field(
        "centre", description="centre: the path is the middle; left: the groove lies to the left of the path"
    )
    ends: Literal["square", "round", "open"] | tuple[Literal["square", "round", "open"], Literal["square", "round", "open"]] = Field(
        "square", description="round: half circles inside the path's length; open: runs out over the rim"
    )

    @model_validator(mode="after")
    def _one_width(self) -> "Groove":
        if (self.width is None) == (self.houses is None):
            raise ValueError("width and houses: exactly one of them is needed")
        return self


class Rabbet(_Narrow):
    """A step along a rim: by side of the panel's box, or by the outline's edge number (from 0)."""

    side: Side | None = None
    edge: Whole | None = Field(None, ge=0)
    width: Length = Field(gt=0)
    depth: Length = Field(gt=0)
    start: Length = Field(0, ge=0, description="distance from the edge's beginning (counter-clockwise)")
    stop: Length | None = Field(None, gt=0)

    @model_validator(mode="after")
    def _one_edge(self) -> "Rabbet":
        if (self.side is None) == (self.edge is None):
            raise ValueError("side and edge: exactly one of them is needed")
        return self


class Counterbore(_Frozen):
    """A wider, flat-bottomed start of a hole."""

    diameter: Length = Field(gt=0)
    depth: Length = Field(gt=0)


class Grid(_Frozen):
    """Columns and rows, centred on the hole's position."""

    columns: Whole = Field(ge=1, le=200)
    rows: Whole = Field(ge=1, le=200)
    pitch: Pair


class Ring(_Frozen):
    """Evenly round a circle about the hole's position."""

    count: Whole = Field(ge=1, le=360)
    diameter: Length = Field(gt=0)
    first_deg: Number = 0


class Row(_Frozen):
    """In a line from the hole's position."""

    count: Whole = Field(ge=1, le=1000)
    pitch: Length = Field(gt=0)
    direction_deg: Number = 0


class Hole(_Narrow):
    """A round hole, or a pattern of them."""

    centre: Pair
    diameter: Length = Field(gt=0)
    depth: Length | None = Field(None, gt=0, description="absent: right through")
    counterbore: Counterbore | None = None
    grid: Grid | None = None
    ring: Ring | None = None
    row: Row | None = None

    @model_validator(mode="after")
    def _one_pattern(self) -> "Hole":
        if sum(p is not None for p in (self.grid, self.ring, self.row)) > 1:
            raise ValueError("more than one of grid, ring, row (at most one)")
        return self


class RoundCells(_Frozen):
    """Round holes in a grille."""

    diameter: Length = Field(gt=0)
    pitch: Length = Field(gt=0)
    arrangement: Literal["staggered", "square"] = "staggered"


class SlotCells(_Frozen):
    """Slots with round ends in a grille: size is length along x, width along y before turn_deg of the cells."""

    length: Length = Field(gt=0)
    width: Length = Field(gt=0)
    pitch: Pair = Field(description="along the length, across it")
    turn_deg: Number = 0


class Grille(_Feature):
    """A field of holes or slots inside a boundary (the shape); whole cells only."""

    holes: RoundCells | None = None
    slots: SlotCells | None = None

    @model_validator(mode="after")
    def _one_cell(self) -> "Grille":
        if (self.holes is None) == (self.slots is None):
            raise ValueError("holes and slots: exactly one of them is needed")
        return self


class Mark(_Narrow):
    """Shallow single-stroke lettering."""

    text: str = Field(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9 _.\-]+$")
    at: Pair
    height: Length = Field(10, ge=3, le=200)
    turn_deg: Number = 0
    depth: Length = Field(0.5, gt=0, le=3)


class Edge(_Frozen):
    """What a rim gets. `bench`: done by hand at the bench and listed there; otherwise by the machine."""

    side: Side | None = Field(None, description="absent: all round")
    round: Length | None = Field(None, gt=0)
    bevel_deg: Number | None = Field(None, gt=0, lt=90)
    faces: Literal["show", "back", "both"] = "show"
    bench: bool = False

    @model_validator(mode="after")
    def _one_form(self) -> "Edge":
        if (self.round is None) == (self.bevel_deg is None):
            raise ValueError("round and bevel_deg: exactly one of them is needed")
        return self


class Panel(_Frozen):
    """One flat part: exactly one of size, outline or dxf, and its features."""

    name: Name
    stock: Name
    size: Pair | None = None
    radius: Length | tuple[Length, Length, Length, Length] = 0
    outline: tuple[Pair | Corner, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = Field(None, description="one outline with holes; holes become openings")
    copies: Whole = Field(1, ge=0, le=200)
    mirrored: Whole = Field(0, ge=0, le=200, description="how many mirrored copies besides")
    face: Face = Field("show", description="the face it is cut from: the one that lies up")
    turn: Literal["any", "right-angles", "along", "across"] = Field(
        "right-angles", description="how it may lie on the sheet; along/across: its x with or across the sheet's length"
    )
    note: str = Field("", max_length=300)
    opening: tuple[Opening, ...] = ()
    recess: tuple[Recess, ...] = ()
    groove: tuple[Groove, ...] = ()
    rabbet: tuple[Rabbet, ...] = ()
    hole: tuple[Hole, ...] = ()
    grille: tuple[Grille, ...] = ()
    mark: tuple[Mark, ...] = ()
    edge: tuple[Edge, ...] = ()

    @model_validator(mode="after")
    def _one_outline(self) -> "Panel":
        given = [n for n in ("size", "outline", "dxf") if getattr(self, n) is not None]
        if len(given) != 1:
            raise ValueError(f"{' and '.join(given) or 'none'} given (exactly one of size, outline, dxf)")
        if self.copies + self.mirrored == 0:
            raise ValueError("copies and mirrored are both 0 (at least one part)")
        return self


class Settings(_Frozen):
    """What the job asks of the cutting; absent: the machine file's habit."""

    least_web: Length = Field(4, ge=0, description="narrowest material between two cuts or a cut and the rim")
    least_floor: Length = Field(2, ge=0, description="thinnest floor under a recess")
    gap: Length | None = Field(None, ge=0, description="between parts on a sheet; absent: tool reach + spare")
    spare: Length = Field(4, ge=0, description="added to the farthest tool reach for the gap")
    direction: Literal["climb", "conventional"] | None = None
    tab_height: Length | None = Field(None, gt=0)
    tab_width: Length | None = Field(None, gt=0)


class JobHead(_Frozen):
    """The order itself."""

    name: Name
    units: Literal["mm", "inch"] = "mm"
    machine: str = Field(min_length=1, max_length=200, description="a shipped machine's name, or a file beside the job")
    revision: str = Field("A", max_length=20)
    date: str = Field("", max_length=20, description="as it is to be printed; never the clock's")
    note: str = Field("", max_length=500)


class Job(_Frozen):
    """A whole job file."""

    job: JobHead
    values: dict[str, Number] = Field(default_factory=dict, description="named values for the arithmetic")
    settings: Settings = Settings()
    stock: tuple[Stock, ...] = Field(min_length=1, max_length=50)
    panel: tuple[Panel, ...] = Field(min_length=1, max_length=2000)
