"""A machine file's values: numbers, never true, false or a text in their place, and texts that can be printed."""

from typing import Annotated

from pydantic import AfterValidator, Strict
from pydantic_core import PydanticKnownError

from cncpanel.errors.printable import printable

MOST = 1e6  # mm, mm/min, mm/s2, rpm, W or s: beyond what any machine of this kind has


def _of_a_machine(value: float) -> float:
    """Not beyond MOST. No `Field(ge=, le=)`: those would take the place of a field's own stricter ones."""
    if value > MOST:
        raise PydanticKnownError("less_than_equal", {"le": MOST})
    if value < -MOST:
        raise PydanticKnownError("greater_than_equal", {"ge": -MOST})
    return value


Number = Annotated[float, Strict(), AfterValidator(_of_a_machine)]
Whole = Annotated[int, Strict()]
Flag = Annotated[bool, Strict()]
Text = Annotated[str, AfterValidator(printable)]
