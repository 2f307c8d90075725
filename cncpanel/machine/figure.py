"""A machine file's values: numbers, never true, false or a text in their place, and texts that can be printed."""

from typing import Annotated

from pydantic import AfterValidator, Field, Strict

from cncpanel.errors.printable import printable

MOST = 1e6  # mm, mm/min, mm/s2, rpm, W or s: beyond what any machine of this kind has

Number = Annotated[float, Strict(), Field(ge=-MOST, le=MOST)]
Whole = Annotated[int, Strict()]
Flag = Annotated[bool, Strict()]
Text = Annotated[str, AfterValidator(printable)]
