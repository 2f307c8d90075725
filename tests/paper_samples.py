"""Panels of a job as seen, for the tests of templates and artwork."""

import tomllib
from functools import cache
from pathlib import Path

from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template_pages import Told
from cncpanel.errors import Gathering
from cncpanel.job.read import ReadJob, read_job
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve

JOBS = Path(__file__).parents[1] / "fixtures" / "jobs"
TOLD = Told(job="Sample", revision="A", date="", unit="mm")
HEAD = '[job]\nname = "sample"\nmachine = "shop-router"\n'
STOCK = '[[stock]]\nname = "board"\nmaterial = "mdf"\nthickness = 18\nsheet = [2440, 1220]\ncount = 1\n'


@cache
def job(name: str) -> tuple[ReadJob, tuple[Panel, ...]]:
    """A demo job and its panels."""
    return resolved(JOBS / f"{name}.toml")


def resolved(path: Path) -> tuple[ReadJob, tuple[Panel, ...]]:
    """The job and its panels."""
    gathering = Gathering()
    read = read_job(path, gathering)
    panels = resolve(read, gathering)
    gathering.stop_if_any()
    return read, panels


def of_text(folder: Path, panels: str, settings: str = "") -> tuple[ReadJob, tuple[Panel, ...]]:
    """A job of one stock `board` with these panels' TOML."""
    path = folder / "sample.toml"
    path.write_text(f"{HEAD}{settings}\n{STOCK}{panels}", encoding="utf-8")
    return resolved(path)


def seen(name: str, panel: str, **how: object) -> Seen:
    """A panel of a demo job as it is seen."""
    read, panels = job(name)
    found = next(one for one in panels if one.name == panel)
    return Seen(panel=found, edges=read.job.panel[found.index].edge, **how)


DEMOS = tuple(sorted(path.stem for path in JOBS.glob("*.toml")))
ALL = [(name, panel["name"]) for name in DEMOS for panel in tomllib.loads((JOBS / f"{name}.toml").read_text())["panel"]]
