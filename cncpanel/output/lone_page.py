"""A page that stands alone: its style, its scripts and its data in one HTML file, nothing fetched."""

import json
from collections.abc import Iterable
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup


def page_templates() -> Environment:
    """The templates below pages/; every text put into one is escaped, a name it lacks is an error."""
    return Environment(
        loader=PackageLoader("cncpanel.output", "pages"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def lone_page(template: str, title: str, data: dict[str, Any], *, style: str, scripts: Iterable[str]) -> str:
    """The page; sources by their path below pages/, scripts in the order in which they run.

    The data stand in it as JSON, so that no text of a job is ever read as markup.
    """
    return (
        page_templates()
        .get_template(template)
        .render(
            title=title,
            style=_source(style),
            script=Markup("\n").join(_source(f"{name}.js") for name in scripts),
            data=Markup(json.dumps(data).replace("<", "\\u003c")),
        )
    )


def _source(name: str) -> Markup:
    return Markup(files("cncpanel.output").joinpath("pages", *name.split("/")).read_text(encoding="utf-8"))
