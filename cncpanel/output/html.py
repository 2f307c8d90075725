"""The report as one HTML file that opens without a network: what was made, what was proven, what to look at."""

from collections.abc import Sequence
from typing import Any

from jinja2 import Environment, PackageLoader, select_autoescape

from cncpanel.errors import Problem


def report_page(record: dict[str, Any], warnings: Sequence[Problem]) -> str:
    """The page for a job's record (the data of job.json); every text is escaped."""
    environment = Environment(
        loader=PackageLoader("cncpanel.output", "pages"),
        autoescape=select_autoescape(default=True),
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("report.html").render(job=record, warnings=[str(w) for w in warnings])
