"""What is told of a set once it is made, as plain values that pass from one process to another."""

from dataclasses import dataclass

from cncpanel.errors import ProblemsFound
from cncpanel.make.flow import Made

NOT_PROVEN, NOT_USABLE = 1, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldSet:
    """One job's outcome: exit code, lines for everybody, and those that a quiet run leaves out."""

    job: str
    code: int
    errors: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()


def told_set(job: str, made: Made) -> ToldSet:
    """Of a set that was made, proven or not."""
    findings = [finding for sheet in made.sheets for finding in sheet.report.findings]
    return ToldSet(
        job=job,
        code=0 if made.passed else NOT_PROVEN,
        errors=tuple(str(finding) for finding in findings if finding.severity != "remark"),
        warnings=(
            *(str(finding) for finding in findings if finding.severity == "remark"),
            *dict.fromkeys(map(str, made.gathering.warnings)),
        ),
        sheets=tuple(sheet_lines(made)),
    )


def sheet_lines(made: Made) -> list[str]:
    """A line a sheet."""
    lines = []
    for sheet in made.sheets:
        minutes = sum(written.time.total_s for written in sheet.programs) / 60
        piece = f" (offcut {sheet.sheet.piece})" if sheet.sheet.piece else ""
        lines.append(
            f"sheet {sheet.sheet.number}{piece}: {len(sheet.sheet.parts)} parts, {len(sheet.programs)} "
            f"program{'' if len(sheet.programs) == 1 else 's'}, about {minutes:.0f} min, {sheet.report.verdict}"
        )
    return lines


def told_problems(job: str, found: ProblemsFound) -> ToldSet:
    """Of a job that cannot be used."""
    mistakes = tuple(str(problem) for problem in found.problems if not problem.warning)
    warnings = tuple(str(problem) for problem in found.problems if problem.warning)
    return ToldSet(job=job, code=NOT_USABLE, errors=mistakes, warnings=warnings)
