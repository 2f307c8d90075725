"""A panel by the name that somebody typed."""

from collections.abc import Iterable
from pathlib import Path

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.errors.validation import nearest
from cncpanel.panel.panel import Panel


def panel_named(name: str, panels: Iterable[Panel], job: Path) -> Panel:
    """The panel of that name; raises ProblemsFound where the job has none."""
    found = {panel.name: panel for panel in panels}
    if name not in found:
        raise ProblemsFound([Problem(Place(str(job)), f'no panel is named "{name}"', nearest(name, found))])
    return found[name]
