"""What the witness found in a program: a value with its place, never an exception."""

from dataclasses import dataclass, replace
from typing import Literal

Severity = Literal["safety", "error", "remark"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One fault or remark.

    `line` counts from 1 (0: the whole program), `column` from 1 (0: the whole line). Positions are program
    coordinates in mm, absent where none applies; `measure` is what was found, `limit` what is allowed.
    """

    kind: str
    severity: Severity
    text: str
    program: str = ""
    line: int = 0
    column: int = 0
    x: float | None = None
    y: float | None = None
    z: float | None = None
    measure: float | None = None
    limit: float | None = None

    def of_program(self, program: str) -> "Finding":
        """The same finding, told of the program it was made in."""
        return replace(self, program=program)

    def __str__(self) -> str:
        """`program:line:column: severity: text (kind)`."""
        place = ":".join(str(part) for part in (self.program, self.line, self.column) if part)
        head = f"{place}: " if place else ""
        return f"{head}{self.severity}: {self.text} ({self.kind})"
