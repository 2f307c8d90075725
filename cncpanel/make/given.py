"""What `prove` was given, read: lengths and files; every mistake goes to the gathering."""

from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from cncpanel.errors import Gathering, Place, ProblemsFound
from cncpanel.errors.toml import TomlFile, problems_from_validation, read_toml
from cncpanel.machine.contradiction import contradictions
from cncpanel.machine.figure import Flag, Number
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.proof.obstacle import Obstacle
from cncpanel.units import length

STOCK_PARTS = ("length along X", "length along Y", "thickness")


def stock_size(text: str, gathering: Gathering) -> tuple[float, float, float] | None:
    """X, Y and thickness from `1220x2440x18`."""
    return _lengths(text, "x", "--stock", "X x Y x thickness such as 1220x2440x18", gathering, positive=True)


def zero_place(text: str, gathering: Gathering) -> tuple[float, float, float] | None:
    """The zero's place from `0,0,0`."""
    return _lengths(text, ",", "--origin", "X,Y,Z from the sheet's corner at its top, such as 0,0,0", gathering)


def _lengths(
    text: str, mark: str, option: str, allowed: str, gathering: Gathering, *, positive: bool = False
) -> tuple[float, float, float] | None:
    parts = text.lower().split(mark)
    if len(parts) != 3:
        gathering.problem(Place(option), f'"{text}" has {len(parts)} of 3 lengths', allowed)
        return None
    found = []
    for part in parts:
        try:
            value = length(part.strip(), "mm")
        except ValueError as error:
            gathering.problem(Place(option), f'"{part.strip()}": {error}', allowed)
            continue
        if positive and value <= 0:
            gathering.problem(Place(option), f"{value:g} is too small", "more than 0")
        found.append(value)
    return (found[0], found[1], found[2]) if len(found) == 3 else None


def _millimetres(value: Any) -> Any:
    return length(value, "mm") if isinstance(value, str) else value


Millimetres = Annotated[Number, BeforeValidator(_millimetres)]
Positive = Annotated[Millimetres, Field(gt=0)]


class _Table(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class _Held(_Table):
    """One clamp or screw: `at` is its lower left from the sheet's lower left corner, program axes."""

    kind: Literal["clamp", "screw"] = "clamp"
    at: tuple[Millimetres, Millimetres]
    size: tuple[Positive, Positive]
    height: Positive | None = Field(None, description="over the sheet's top; absent: the machine file's tallest")
    driven: Flag = Field(False, description="a screw: at the first stop after its hole; absent: it stands all along")


class _Holding(_Table):
    holding: tuple[_Held, ...] = Field(max_length=1000)


class _Rack(_Table):
    tool: tuple[Tool, ...] = Field(min_length=1)


def holding_of(path: Path, machine: Machine | None, gathering: Gathering) -> tuple[Obstacle, ...]:
    """The clamps and screws of a holding file, program axes from the sheet's lower left corner.

    Without a machine the file is only judged.
    """
    file = _file(path, gathering)
    if file is None:
        return ()
    try:
        read = _Holding.model_validate(file.data)
    except ValidationError as error:
        gathering.found += problems_from_validation(error, file, _Holding)
        return ()
    return tuple(_obstacle(held, machine) for held in read.holding) if machine else ()


def judge_tools(path: Path, gathering: Gathering) -> None:
    """What is wrong with a file of tools whatever the machine."""
    file = _file(path, gathering)
    if file is None:
        return
    try:
        _Rack.model_validate({"tool": file.data.get("tool", [])})
    except ValidationError as error:
        gathering.found += problems_from_validation(error, file, _Rack)


def _obstacle(held: _Held, machine: Machine) -> Obstacle:
    (x, y), (width, depth) = held.at, held.size
    height = held.height or machine.table.clamp_height
    return Obstacle(kind=held.kind, xmin=x, ymin=y, xmax=x + width, ymax=y + depth, height=height, driven=held.driven)


def with_tools(machine: Machine, path: Path, gathering: Gathering) -> Machine:
    """The machine with the tools of another file: `[[tool]]` as a machine file has them, or a whole machine file."""
    file = _file(path, gathering)
    if file is None:
        return machine
    strange = [key for key in file.data if key not in Machine.model_fields]
    if "tool" not in file.data:
        gathering.problem(Place(str(path)), "has no tools", "[[tool]] tables as a machine file has them")
    for key in strange:
        gathering.problem(file.place((key,)), "is not known here", "[[tool]] tables only")
    data = {**machine.model_dump(exclude={"tool"}), "tool": file.data.get("tool", [])}
    try:
        return Machine.model_validate(data)
    except ValidationError as error:
        told = [(file.place(one.key), one.text, one.allowed) for one in contradictions(error)]
        gathering.found += problems_from_validation(error, file, Machine)
        for place, text, allowed in told:
            gathering.problem(place, text, allowed)
        return machine


def _file(path: Path, gathering: Gathering) -> TomlFile | None:
    try:
        return read_toml(path)
    except ProblemsFound as found:
        gathering.found += found.problems
        return None
