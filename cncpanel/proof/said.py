"""Whether a program's comments tell its operator the zero, unit and work offset that it is judged by."""

import re
from collections.abc import Iterator

from cncpanel.machine.model import Machine
from cncpanel.proof.finding import Finding
from cncpanel.proof.reader import lines_of

_ZERO = re.compile(r"\((?:MSG,SET )?Z0 THE (SHEET'S TOP|SPOILBOARD'S SURFACE)")  # no name of a job has an apostrophe
_UNITS = re.compile(r"\(UNITS (MM|INCH)\b(?:, WORK OFFSET (G5\d))?")
_ZEROS = {"top": "SHEET'S TOP", "table": "SPOILBOARD'S SURFACE"}


def said_findings(text: str, machine: Machine) -> Iterator[Finding]:
    """Lines by which somebody would set another zero than the program's, or read its figures in another unit."""
    for number, line in enumerate(lines_of(text), 1):
        for said, true in _claims(line, machine):
            if said != true:
                told = f"its operator is told {said}, it is judged by {true}"
                yield Finding(kind="told-otherwise", severity="safety", text=told, line=number)


def _claims(line: str, machine: Machine) -> Iterator[tuple[str, str]]:
    """What a comment says, and what is so."""
    if zero := _ZERO.match(line):
        yield f"Z0 THE {zero[1]}", f"Z0 THE {_ZEROS[machine.table.z_zero]}"
    if units := _UNITS.match(line):
        yield f"UNITS {units[1]}", f"UNITS {machine.dialect.unit.upper()}"
        if units[2] and machine.dialect.work_offset:
            yield f"WORK OFFSET {units[2]}", f"WORK OFFSET {machine.dialect.work_offset}"
