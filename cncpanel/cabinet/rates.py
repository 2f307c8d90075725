"""What a shop asks for its work: a file of its own, beside its jobs."""

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated

from pydantic import Field, ValidationError

from cncpanel.errors import ProblemsFound
from cncpanel.errors.toml import problems_from_validation, read_toml
from cncpanel.job.table import Name, Table, Text

Money = Annotated[float, Field(ge=0)]
Minutes = Annotated[float, Field(ge=0)]


class Rates(Table):
    """Money in the shop's currency; what is left out is told as open in the offer."""

    shop: Text = Field("", max_length=60)
    currency: Name = "EUR"
    machine_hour: Money
    bench_hour: Money
    margin: float = Field(0, ge=0, le=5, description="share added to the sum: 0.2 is a fifth")
    tax: float = Field(0, ge=0, le=1, description="share added at the end")
    glue_kg: Money | None = None
    staples_100: Money | None = None
    finish_m2: Money | None = Field(None, description="paint or film, on show faces")
    minutes_panel: Minutes = Field(8, description="bench minutes for each part: rims, sanding")
    minutes_joint: Minutes = Field(6, description="for each end that is joined")
    minutes_fitting: Minutes = Field(5, description="for each bought-in part")
    minutes_metre: Minutes = Field(3, description="for each metre of rim rounded or bevelled by hand")
    days: int = Field(30, ge=1, le=365, description="how long the offer holds")
    board: Mapping[str, Money] = Field(default_factory=dict, description="a sheet, by the stock's name")
    part: Mapping[str, Money] = Field(default_factory=dict, description="a bought-in part, by its name in the job")


class RatesFile(Table):
    """A shop's file."""

    rates: Rates


def read_rates(path: Path) -> Rates:
    """The rates at `path`; raises ProblemsFound with every mistake of the file."""
    file = read_toml(path)
    try:
        return RatesFile.model_validate(file.data).rates
    except ValidationError as error:
        raise ProblemsFound(problems_from_validation(error, file, RatesFile)) from None
