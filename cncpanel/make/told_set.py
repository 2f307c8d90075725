"""What is told of a set once it is made, as plain values that pass from one process to another."""

from dataclasses import dataclass

from cncpanel.drawing.setup_tables import minutes
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
    """A line a sheet, and one for each thing that its proof does not judge."""
    lines = []
    for sheet in made.sheets:
        times = [written.time for one in sheet.set_ups for written in one.programs]
        least, most = (minutes(sum(time.band_s[end] for time in times)) for end in (0, 1))
        turned = " in 2 set-ups" if sheet.before else ""
        piece = f" (offcut {sheet.sheet.piece})" if sheet.sheet.piece else ""
        lines.append(
            f"sheet {sheet.sheet.number}{piece}: {len(sheet.sheet.parts)} parts, {len(times)} "
            f"program{'' if len(times) == 1 else 's'}{turned}, about {minutes(sum(time.total_s for time in times))} "
            f"({least} to {most}), {sheet.report.verdict}"
        )
        lines += [f"sheet {sheet.sheet.number}: {open_point}" for open_point in sheet.report.not_judged]
    return lines


def told_problems(job: str, found: ProblemsFound) -> ToldSet:
    """Of a job that cannot be used."""
    mistakes = tuple(str(problem) for problem in found.problems if not problem.warning)
    warnings = tuple(str(problem) for problem in found.problems if problem.warning)
    return ToldSet(job=job, code=NOT_USABLE, errors=mistakes, warnings=warnings)
