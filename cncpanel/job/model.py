"""What a job file says, in millimetres once read.

`Length` is a plain number in the job's unit, a length as workshops write it ("3/4 in", "10-7/8in", "2.5 cm")
or arithmetic over [values] ("width - 2 * board"); the reader's context turns all three into millimetres.
All positions on a panel are seen from its SHOW face, origin at the lower left of its outline.
"""

from collections.abc import Iterator, Mapping
from typing import Annotated, Any, Literal, Self, get_args

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Discriminator,
    Field,
    ModelWrapValidatorHandler,
    Tag,
    ValidationError,
    ValidationInfo,
    model_validator,
)
from pydantic_core import ErrorDetails, InitErrorDetails, PydanticCustomError
from pydantic_core.core_schema import ErrorType

from cncpanel.units import Unit, shown

Face = Literal["show", "back"]
Side = Literal["bottom", "right", "top", "left"]
End = Literal["square", "round", "open"]

_KNOWN_ERRORS = set(get_args(ErrorType))


def _as_millimetres(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("length")
    return convert(value) if convert else value


def _as_number(value: object, info: ValidationInfo) -> object:
    convert = (info.context or {}).get("number")
    return convert(value) if convert else value


Length = Annotated[float, BeforeValidator(_as_millimetres, json_schema_input_type=float | str)]
Number = Annotated[float, BeforeValidator(_as_number, json_schema_input_type=float | str)]
Whole = Annotated[int, BeforeValidator(_as_number, json_schema_input_type=int | str)]


def _printable(value: str) -> str:
    if not value.isprintable():
        raise ValueError("has a character that cannot be printed (no line breaks, tabs or control characters)")
    return value


Text = Annotated[str, AfterValidator(_printable)]
Name = Annotated[Text, Field(min_length=1, max_length=60)]


def _within(*, above: float | None = None, least: float | None = None, most: float | None = None) -> AfterValidator:
    """Limits of a length in mm, told in the job's unit."""

    def check(value: float, info: ValidationInfo) -> float:
        unit: Unit = (info.context or {}).get("unit", "mm")
        if above is not None and value <= above:
            raise ValueError(f"{shown(value, unit)} is too small (more than {shown(above, unit)})")
        if least is not None and value < least:
            raise ValueError(f"{shown(value, unit)} is too small (at least {shown(least, unit)})")
        if most is not None and value > most:
            raise ValueError(f"{shown(value, unit)} is too large (at most {shown(most, unit)})")
        return value

    return AfterValidator(check)


Positive = Annotated[Length, _within(above=0)]
NotNegative = Annotated[Length, _within(least=0)]
Pair = tuple[Length, Length]
PositivePair = tuple[Positive, Positive]
Degrees = Annotated[Number, Field(ge=-360, le=360)]
Flag = Annotated[bool, Field(strict=True)]


def _list_or_one(value: object) -> str:
    return "<list>" if isinstance(value, list | tuple) else "<one>"


def _point_or_corner(value: object) -> str | None:
    if isinstance(value, list | tuple):
        return "<point>"
    return "<corner>" if isinstance(value, Corner | Mapping) else None


class _Frozen(BaseModel):
    """A table of the job file, its rules between keys told beside the keys' own mistakes."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """What is wrong with the keys given together: `wrong (allowed)`."""
        yield from ()

    @model_validator(mode="wrap")
    @classmethod
    def _whole_table(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        broken = list(cls.broken(_given(data))) if isinstance(data, Mapping) else []
        if not broken:
            return handler(data)
        told = [InitErrorDetails(type=_custom("rule", text), loc=(), input=data) for text in broken]
        try:
            handler(data)
        except ValidationError as error:
            told += [_told_again(details) for details in error.errors()]
        raise ValidationError.from_exception_data(cls.__name__, told)


def _given(table: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if value is not None}


def _custom(kind: str, text: str) -> PydanticCustomError:
    return PydanticCustomError(kind, "{text}", {"text": text})


def _told_again(details: ErrorDetails) -> InitErrorDetails:
    kind = details["type"]
    told = kind if kind in _KNOWN_ERRORS else _custom(kind, details["msg"])
    return InitErrorDetails(type=told, loc=details["loc"], input=details["input"], ctx=details.get("ctx", {}))


def _one_of(table: Mapping[str, Any], *keys: str) -> Iterator[str]:
    """The sentence where not exactly one of `keys` is given."""
    given = [key for key in keys if key in table]
    if len(given) != 1:
        said = f"{' and '.join(given)} are given" if given else "a key is missing"
        yield f"{said} (exactly one of {', '.join(keys)})"


class Stock(_Frozen):
    """A sheet material."""

    name: Name
    material: Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"]
    thickness: Annotated[Length, _within(above=0, most=100)]
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


class Corner(_Frozen):
    """A corner of an outline; with `through` the stretch that ends here is an arc through that point."""

    to: Pair
    radius: NotNegative = Field(0, description="rounds this corner")
    through: Pair | None = None


class DxfOutline(_Frozen):
    """Contours taken from a DXF file beside the job file."""

    file: str = Field(min_length=1, max_length=200)
    layer: Text | None = None
    unit: Literal["mm", "cm", "m", "inch", "foot"] | None = None
    tolerance: Annotated[Length, _within(above=0, most=1)] = 0.05


Spot = Annotated[
    Annotated[Pair, Tag("<point>")] | Annotated[Corner, Tag("<corner>")],
    Discriminator(
        _point_or_corner,
        custom_error_type="not_a_spot",
        custom_error_message="a point is needed ([x, y] or a table with to)",
    ),
]
Radius = Annotated[
    Annotated[NotNegative, Tag("<one>")]
    | Annotated[tuple[NotNegative, NotNegative, NotNegative, NotNegative], Tag("<list>")],
    Discriminator(_list_or_one),
]
Ends = Annotated[Annotated[End, Tag("<one>")] | Annotated[tuple[End, End], Tag("<list>")], Discriminator(_list_or_one)]


def _radius_of_rectangle(table: Mapping[str, Any]) -> Iterator[str]:
    if "radius" in table and table.keys() & {"diameter", "outline", "dxf"}:
        yield "radius is given beside another shape than size (an outline's corners have each their own)"


class Shape(_Frozen):
    """A closed shape on a panel: exactly one of size, diameter, outline or dxf."""

    size: PositivePair | None = Field(None, description="rectangle: width, height")
    radius: Radius = Field(
        0, description="rectangle's corner radii; four: lower left, lower right, upper right, upper left"
    )
    diameter: Positive | None = None
    outline: tuple[Spot, ...] | None = Field(None, min_length=3, max_length=20000)
    dxf: DxfOutline | None = None
    at: Pair | None = Field(None, description="where the shape's own lower left (of its box) goes")
    centre: Pair | None = Field(None, description="where the middle of its box goes")
    turn_deg: Degrees = Field(
        0, description="turned about the middle of its box, counter-clockwise, before it is put there"
    )

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One shape, one position; radius belongs to a rectangle."""
        yield from _one_of(table, "size", "diameter", "outline", "dxf")
        if "at" in table and "centre" in table:
            yield "at and centre are given (one of them)"
        if not table.keys() & {"at", "centre", "outline", "dxf"}:
            yield "no position is given (at or centre)"
        yield from _radius_of_rectangle(table)


class _Feature(Shape):
    name: Text = Field("", max_length=60)
    face: Face | None = Field(None, description="the face it is cut from; absent: the panel's own")
    tool: Text | None = Field(None, description="a tool of the rack by name; absent: chosen")


class Opening(_Feature):
    """Cut right through, inside the outline."""


class Step(Shape):
    """A deeper part of a recess."""

    depth: Positive


class Recess(_Feature):
    """A flat-bottomed pocket; steps go deeper, islands stay."""

    depth: Positive
    step: tuple[Step, ...] = ()
    island: tuple[Shape, ...] = ()


class _Narrow(_Frozen):
    name: Text = Field("", max_length=60)
    face: Face | None = None
    tool: Text | None = None


class Groove(_Narrow):
    """A housing along a path of points (corners with through for arcs); its width, or the stock it houses."""

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

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One width."""
        yield from _one_of(table, "width", "houses")


class Rabbet(_Narrow):
    """A step along a rim: by side of the panel's box, or by the outline's edge number (from 0)."""

    side: Side | None = None
    edge: Whole | None = Field(None, ge=0)
    width: Positive
    depth: Positive
    start: NotNegative = Field(0, description="distance from the edge's beginning (counter-clockwise)")
    stop: Positive | None = None

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One place."""
        yield from _one_of(table, "side", "edge")


class Counterbore(_Frozen):
    """A wider, flat-bottomed start of a hole."""

    diameter: Positive
    depth: Positive


class Grid(_Frozen):
    """Columns and rows, centred on the hole's position."""

    columns: Whole = Field(ge=1, le=200)
    rows: Whole = Field(ge=1, le=200)
    pitch: PositivePair


class Ring(_Frozen):
    """Evenly round a circle about the hole's position."""

    count: Whole = Field(ge=1, le=360)
    diameter: Positive
    first_deg: Degrees = 0


class Row(_Frozen):
    """In a line from the hole's position."""

    count: Whole = Field(ge=1, le=1000)
    pitch: Positive
    direction_deg: Degrees = 0


class Hole(_Narrow):
    """A round hole, or a pattern of them."""

    centre: Pair
    diameter: Positive
    depth: Positive | None = Field(None, description="absent: right through")
    counterbore: Counterbore | None = None
    grid: Grid | None = None
    ring: Ring | None = None
    row: Row | None = None

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One pattern at most."""
        given = [key for key in ("grid", "ring", "row") if key in table]
        if len(given) > 1:
            yield f"{' and '.join(given)} are given (at most one of grid, ring, row)"


class RoundCells(_Frozen):
    """Round holes in a grille."""

    diameter: Positive
    pitch: Positive
    arrangement: Literal["staggered", "square"] = "staggered"


class SlotCells(_Frozen):
    """Slots with round ends in a grille: length along x, width along y before the cells are turned."""

    length: Positive
    width: Positive
    pitch: PositivePair = Field(description="along the length, across it")
    turn_deg: Degrees = 0


class Grille(_Feature):
    """A field of holes or slots inside a boundary (the shape); whole cells only."""

    holes: RoundCells | None = None
    slots: SlotCells | None = None

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One kind of cells in one shape."""
        yield from super().broken(table)
        yield from _one_of(table, "holes", "slots")


class Mark(_Narrow):
    """Shallow single-stroke lettering."""

    text: str = Field(min_length=1, max_length=60, pattern=r"^[A-Za-z0-9 _.\-]+$")
    at: Pair
    height: Annotated[Length, _within(least=3, most=200)] = 10
    turn_deg: Degrees = 0
    depth: Annotated[Length, _within(above=0, most=3)] = 0.5


class Edge(_Frozen):
    """What a rim gets. `bench`: done by hand at the bench and listed there; otherwise by the machine."""

    side: Side | None = Field(None, description="absent: all round")
    round: Positive | None = None
    bevel_deg: Number | None = Field(None, gt=0, lt=90)
    faces: Literal["show", "back", "both"] = "show"
    bench: Flag = False

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One form."""
        yield from _one_of(table, "round", "bevel_deg")


class Panel(_Frozen):
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

    @classmethod
    def broken(cls, table: Mapping[str, Any]) -> Iterator[str]:
        """One outline, at least one part."""
        yield from _one_of(table, "size", "outline", "dxf")
        yield from _radius_of_rectangle(table)
        if table.get("copies", 1) == 0 and table.get("mirrored", 0) == 0:
            yield "copies and mirrored are both 0 (at least one part)"


class Settings(_Frozen):
    """What the job asks of the cutting; absent: the machine file's habit."""

    least_web: NotNegative = Field(4, description="narrowest material between two cuts or a cut and the rim")
    least_floor: NotNegative = Field(2, description="thinnest floor under a recess")
    gap: NotNegative | None = Field(None, description="between parts on a sheet; absent: tool reach + spare")
    spare: NotNegative = Field(4, description="added to the farthest tool reach for the gap")
    direction: Literal["climb", "conventional"] | None = None
    tab_height: Positive | None = None
    tab_width: Positive | None = None


class JobHead(_Frozen):
    """The order itself."""

    name: Name
    units: Literal["mm", "inch"] = "mm"
    machine: Text = Field(
        min_length=1, max_length=200, description="a shipped machine's name, or a file beside the job"
    )
    revision: Text = Field("A", max_length=20)
    date: Text = Field("", max_length=20, description="as it is to be printed; never the clock's")
    note: Text = Field("", max_length=500)


class Job(_Frozen):
    """A whole job file."""

    job: JobHead
    values: dict[str, Number] = Field(
        default_factory=dict, description="named values for the arithmetic, in the job's unit"
    )
    settings: Settings = Settings()
    stock: tuple[Stock, ...] = Field(min_length=1, max_length=50)
    panel: tuple[Panel, ...] = Field(min_length=1, max_length=2000)
