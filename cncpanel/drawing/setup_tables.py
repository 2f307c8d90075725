"""The lists of a set-up page: programs with their times, tools with what they cut, parts as they lie."""

from collections.abc import Mapping, Sequence

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Table
from cncpanel.drawing.view import View
from cncpanel.geometry.point import Point
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import PanelPlan
from cncpanel.passes.run import SheetRuns
from cncpanel.proof.clock import Duration
from cncpanel.sequence.program import Program

Timed = Sequence[tuple[Program, Duration]]


def program_table(programs: Timed, trace: Program | None, dry: tuple[Program, Duration] | None) -> Table:
    """What goes above the sheet first, then every run, then the whole sheet's time."""
    rows = [(*_called(program, f"{program.run} of {program.of}"), *_times([time])) for program, time in programs]
    if dry:
        rows.insert(0, (*_called(dry[0], "then"), minutes(dry[1].total_s), "every cut, above the sheet"))
    if trace:
        rows.insert(0, (*_called(trace, "first"), "", "round all cuts, spindle off"))
    if len(programs) > 1:
        rows.append(("all runs", "", "", *_times([time for _, time in programs])))
    return Table(head=("File", "Run", "Tools", "Time", "Likely between"), rows=tuple(rows), shares=(44, 10, 18, 14, 34))


def _called(program: Program, run: str) -> tuple[str, str, str]:
    return f"{program.name}.nc", run, ", ".join(f"T{tool.number}" for tool in program.tools)


def _times(times: Sequence[Duration]) -> tuple[str, str]:
    total, least, most = (sum(found) for found in zip(*((t.total_s, *t.band_s) for t in times), strict=True))
    return minutes(total), f"{minutes(least)} and {minutes(most)}"


def minutes(seconds: float) -> str:
    """`45 s`, `18 min`, `1 h 05 min`."""
    whole = round(seconds / 60)
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def tool_table(programs: Timed, runs: SheetRuns, machine: Machine, measures: Measures) -> Table:
    """Tools in the order they come, with the metres and the time that each cuts on this sheet."""
    used: dict[int, Tool] = {}
    metres: dict[int, float] = {}
    seconds: dict[int, float] = {}
    for program, time in programs:
        used |= {tool.number: tool for tool in program.tools if tool.number not in used}
        for spent in time.tools:
            metres[spent.tool] = metres.get(spent.tool, 0.0) + spent.cut_m
            seconds[spent.tool] = seconds.get(spent.tool, 0.0) + spent.cut_s + spent.rapid_s
    rows = tuple(
        (
            f"T{number}",
            tool.name,
            measures.length(tool.diameter),
            measures.length(tool.measured_diameter) if tool.measured_diameter else "MEASURE IT",
            measures.length(tool.stick_out),
            _speeds(machine, {run.rpm for run in runs.runs if run.tool.number == number and run.steps}),
            f"{metres.get(number, 0.0):.1f}",
            minutes(seconds.get(number, 0.0)),
        )
        for number, tool in used.items()
    )
    head = ("Tool", "Name", "Nominal", "Measured", "Stick-out", "Speed", "Metres", "Time")
    shares = (8, 29, 28, 28, 28, 27, 12, 13) if measures.inches else (9, 32, 20, 22, 20, 32, 14, 14)
    return Table(head=head, rows=rows, shares=shares)


def _speeds(machine: Machine, speeds: set[float]) -> str:
    return ", ".join(_speed(machine, rpm) for rpm in sorted(speeds))


def _speed(machine: Machine, rpm: float) -> str:
    mark = next((mark for mark, value in machine.spindle.dial.items() if value == rpm), None)
    return f"{rpm:.0f} rpm, dial {mark}" if mark else f"{rpm:.0f} rpm"


def part_table(sheet: Sheet, plans: Mapping[int, PanelPlan], view: View, measures: Measures) -> Table:
    """Every part by its number on the map, and where its lower left corner lies."""
    rows = tuple(
        _part(count, part, plans[part.panel], view, measures) for count, part in enumerate(sheet.parts, start=1)
    )
    head = ("No.", "Part", "Size", "Lower left", "Lies")
    return Table(head=head, rows=rows, shares=(8, 42, 62 if measures.inches else 34, 34, 30))


def _part(count: int, part: Part, plan: PanelPlan, view: View, measures: Measures) -> tuple[str, ...]:
    panel = plan.panel
    left, low, right, high = panel.outline.bounds
    hand = ", mirrored" if part.mirrored_copy else ""
    return (
        str(count),
        part.label,
        measures.size(right - left, high - low),
        measures.place(_lower_left(part, plan, view)),
        f"{panel.face} face up{hand}",
    )


def _lower_left(part: Part, plan: PanelPlan, view: View) -> Point:
    """Of the part's box as the operator sees it, in program coordinates."""
    left, low, right, high = placement(plan.panel, part).contour(plan.panel.outline).bounds
    first, second = view.program((left, low)), view.program((right, high))
    return Point(min(first.x, second.x), min(first.y, second.y))
