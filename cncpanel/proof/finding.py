"""What the witness found in a program: a value with its place, never an exception."""

from dataclasses import dataclass, replace
from math import isnan
from typing import Literal

from cncpanel.proof.motion import Move

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


def finding_at_end(
    move: Move,
    kind: str,
    text: str,
    *,
    program: str,
    severity: Severity,
    measure: float | None = None,
    limit: float | None = None,
) -> Finding:
    """A finding at the place where a move ends; an axis whose place is not known is left out."""
    x, y, z = (None if isnan(value) else round(value, 4) for value in move.end)
    return Finding(
        kind=kind,
        severity=severity,
        text=text,
        program=program,
        line=move.line,
        x=x,
        y=y,
        z=z,
        measure=None if measure is None else round(measure, 4),
        limit=None if limit is None else round(limit, 4),
    )
