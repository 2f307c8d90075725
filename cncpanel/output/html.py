"""The report as one HTML file that opens without a network: what was made, what was proven, what to look at."""

from collections.abc import Mapping, Sequence
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from cncpanel.drawing.paper import Picture
from cncpanel.drawing.setup_tables import minutes
from cncpanel.errors import Problem
from cncpanel.output.svg import svg


def report_page(record: Mapping[str, Any], warnings: Sequence[Problem], maps: Mapping[int, Picture]) -> str:
    """The page for a job's record (the data of job.json); every text is escaped. `maps` by sheet number."""
    environment = Environment(
        loader=PackageLoader("cncpanel.output", "pages"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["duration"] = minutes
    drawn = {number: Markup(svg(picture, f"Map of sheet {number}")) for number, picture in maps.items()}
    page = environment.get_template("report.html")
    return page.render(job=record, warnings=[str(warning) for warning in warnings], maps=drawn)
