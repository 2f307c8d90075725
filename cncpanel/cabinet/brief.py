"""The client's brief: what is wished for, read from a file, before there is a cabinet."""

from pathlib import Path
from typing import Literal

from pydantic import Field, ValidationError

from cncpanel.errors import ProblemsFound
from cncpanel.errors.toml import TomlFile, problems_from_validation, read_toml
from cncpanel.job.table import Flag, Name, Positive, PositivePair, Table, Text

Form = Literal["upright", "wall box", "table-top", "pedestal"]
Use = Literal["standing", "seated", "wall", "table"]
FORM_FOR: dict[Use, Form] = {"standing": "upright", "seated": "table-top", "wall": "wall box", "table": "table-top"}


class Board(Table):
    """The board at hand."""

    name: Name = "board"
    material: Literal["mdf", "particleboard", "plywood", "softwood", "hardwood", "acrylic"] = "mdf"
    thickness: Positive = 18
    measured: tuple[Positive, ...] = Field((), max_length=100)
    sheet: PositivePair = (2440, 1220)
    count: int = Field(2, ge=0, le=1000)


class Brief(Table):
    """What the client asks for; lengths in millimetres, the screen's diagonal in inches."""

    name: Name
    use: Use = "standing"
    form: Form | None = Field(None, description="absent: by use")
    screen: float = Field(gt=6, le=60, description="diagonal in inches")
    aspect: Literal["16:9", "16:10", "4:3", "5:4", "21:9"] = "16:9"
    players: int = Field(1, ge=1, le=4)
    buttons: int = Field(4, ge=0, le=12, description="for each player")
    sticks: Flag = False
    doorway: Positive | None = Field(None, description="clear width that it must go through")
    ceiling: Positive | None = None
    children: Flag = False
    machine: Text = "shop-router"
    board: Board = Board()

    @property
    def base_form(self) -> Form:
        """The form asked for, or the one for its use."""
        return self.form or FORM_FOR[self.use]


class BriefFile(Table):
    """A brief's file."""

    brief: Brief


def read_brief(path: Path) -> tuple[Brief, TomlFile]:
    """The brief at `path` and its file; raises ProblemsFound with every mistake of it."""
    file = read_toml(path)
    try:
        return BriefFile.model_validate(file.data).brief, file
    except ValidationError as error:
        raise ProblemsFound(problems_from_validation(error, file, BriefFile)) from None
