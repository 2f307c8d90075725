"""The report as one HTML file that opens without a network: what was made, what was proven, what to look at."""

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from markupsafe import Markup

from cncpanel.drawing.paper import Picture
from cncpanel.drawing.section import CabinetShown
from cncpanel.drawing.setup_tables import minutes
from cncpanel.errors import Problem
from cncpanel.output.lone_page import page_templates
from cncpanel.output.svg import svg
from cncpanel.units import Unit, in_millimetres, shown_area

MOST_LINES = 12  # told of one finding


def report_page(
    record: Mapping[str, Any],
    warnings: Sequence[Problem],
    maps: Mapping[int, Sequence[Picture]],
    picture: str = "",
    saw_maps: Mapping[int, Picture] | None = None,
    cabinet: CabinetShown | None = None,
    cabinet_page: str = "",
) -> str:
    """The page for a job's record (the data of job.json); every text is escaped.

    `maps` and `saw_maps` by sheet number, `maps` one a set-up; `picture` is the proof's own page, which stands whole
    within this one.
    `cabinet` is the whole: its section and what was found; `cabinet_page` the page that shows it in space.
    """
    environment = page_templates()
    environment.filters["duration"] = minutes
    environment.filters["gathered"] = gathered
    unit: Unit = record["job"]["units"]
    environment.filters["sized"] = partial(sized, unit=unit)
    environment.filters["area"] = partial(area, unit=unit)
    drawn = {number: _drawn(number, set_ups) for number, set_ups in maps.items()}
    sawn = {number: Markup(svg(one, f"Saw plan of sheet {number}")) for number, one in (saw_maps or {}).items()}
    page = environment.get_template("report.html")
    section = Markup(svg(cabinet.section, "The cabinet in section")) if cabinet else ""
    told = [str(warning) for warning in warnings]
    return page.render(
        job=record,
        warnings=told,
        maps=drawn,
        picture=picture,
        saw_maps=sawn,
        cabinet=cabinet,
        section=section,
        cabinet_page=cabinet_page,
    )


def sized(lengths: Sequence[float], *, unit: Unit) -> str:
    """One length in mm or several as `2438.4 x 1219.2 mm`, `96 x 48 in`."""
    if unit == "mm":
        return f"{' x '.join(f'{round(length, 2):g}' for length in lengths)} mm"
    return f"{' x '.join(f'{round(length / in_millimetres(unit), 4):g}' for length in lengths)} in"


def area(square_metres: float, *, unit: Unit) -> str:
    """`2.06 m²`, or `22.15 ft²` for a job in inches."""
    return shown_area(square_metres, unit).removesuffix("2") + "²"


def _drawn(number: int, set_ups: Sequence[Picture]) -> list[Markup]:
    """One map, or one a side where the sheet is turned over."""
    sides = [""] if len(set_ups) == 1 else [f", side {side}" for side in range(1, len(set_ups) + 1)]
    return [Markup(svg(one, f"Map of sheet {number}{side}")) for one, side in zip(set_ups, sides, strict=True)]


def gathered(findings: Sequence[Mapping[str, Any]]) -> list[tuple[str, str, str]]:
    """(program, sentence, lines) of findings that say the same of one program, in order."""
    lines: dict[tuple[str, str], list[str]] = {}
    for found in findings:
        key = (str(found["program"] or ""), f"{found['severity']}: {found['text']}")
        lines.setdefault(key, []).extend([str(found["line"])] if found["line"] else [])
    return [(program, text, _lines(numbers)) for (program, text), numbers in lines.items()]


def _lines(numbers: Sequence[str]) -> str:
    more = len(numbers) - MOST_LINES
    return ", ".join(numbers[:MOST_LINES]) + (f" and {more} more" if more > 0 else "")
