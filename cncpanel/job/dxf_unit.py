"""Which unit a drawing is in: the job's word before the header's, neither believed if the size is absurd."""

from dataclasses import dataclass

from cncpanel.job.dxf_notes import Notes, size_text

# $INSUNITS codes and millimetres, from the DXF reference's table of drawing units.
HEADER_UNITS: dict[int, tuple[str, float]] = {
    1: ("inch", 25.4),
    2: ("foot", 304.8),
    3: ("mile", 1609344.0),
    4: ("mm", 1.0),
    5: ("cm", 10.0),
    6: ("m", 1000.0),
    7: ("km", 1e6),
    8: ("microinch", 2.54e-5),
    9: ("mil", 0.0254),
    10: ("yard", 914.4),
    13: ("micron", 1e-3),
    14: ("dm", 100.0),
    21: ("US survey foot", 1200 / 3937 * 1000),
}
JOB_UNITS: dict[str, float] = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "inch": 25.4, "foot": 304.8}
SMALLEST = 10.0  # mm; the longer side of anything a shop cuts as a panel or an opening
LARGEST = 10_000.0  # mm; twice the longest sheet sold
ABSURD = 100_000.0  # mm; past it nothing is believed, whoever says so


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit's name and its millimetres; scale 1 without a name where nobody said."""

    name: str
    scale: float
    header: str = ""
    from_job: bool = False


def drawing_unit(header: int, asked: str | None, notes: Notes) -> Unit:
    """The unit to read with. An unknown word in the job is a problem."""
    name, scale = HEADER_UNITS.get(header, ("", 1.0))
    if asked is None:
        return Unit(name, scale, name)
    if asked not in JOB_UNITS:
        notes.problem(f"unit {asked!r} is not known", "one of " + ", ".join(JOB_UNITS))
        return Unit(name, scale, name)
    return Unit(asked, JOB_UNITS[asked], name, from_job=True)


def judge_unit(unit: Unit, width: float, height: float, notes: Notes) -> None:
    """Ask or warn where the unit is missing, absurd or in dispute; `width`, `height` in drawing units."""
    longest = max(width, height) * unit.scale
    made = size_text(width * unit.scale, height * unit.scale) + " mm"
    ask = "say unit in the job: " + _choices(width, height)
    if longest > ABSURD and unit.name:
        notes.problem(f"in {unit.name} the drawing is {made}", _choices(width, height))
    elif not unit.name:
        notes.problem("the file does not say its unit", ask)
    elif not unit.from_job and not _plausible(longest):
        notes.problem(f"its header says {unit.name}, so it is {made}", ask)
    elif not _plausible(longest):
        notes.warn(f"in {unit.name} the drawing is {made}", _choices(width, height))
    if unit.from_job and unit.header and unit.header != unit.name:
        notes.warn(f"its header says {unit.header}, the job says {unit.name}: taken as {unit.name}, {made}")


def _plausible(longest: float) -> bool:
    return SMALLEST <= longest <= LARGEST


def _choices(width: float, height: float) -> str:
    """The sizes that the units would give: mm and inch always, others where they make sense."""
    longest = max(width, height)
    fit = [n for n, s in JOB_UNITS.items() if n in ("mm", "inch") or _plausible(longest * s)]
    return ", ".join(f"as {n} {size_text(width * JOB_UNITS[n], height * JOB_UNITS[n])} mm" for n in fit)
