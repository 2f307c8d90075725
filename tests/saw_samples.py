"""Jobs for the saw, written as text and read as any job; a plan of them."""

from collections.abc import Sequence
from pathlib import Path

from cncpanel.errors import Gathering
from cncpanel.job.read import ReadJob, read_job
from cncpanel.layout.saw.plan import SawPlan
from cncpanel.layout.saw.planner import saw_plan
from cncpanel.panel.panel import Panel
from cncpanel.panel.resolve import resolve

SHEET = (2440.0, 1220.0)


def job_text(
    sizes: Sequence[tuple[float, float]],
    saw: str = "",
    sheet: tuple[float, float] = SHEET,
    *,
    stock: str = "",
    panel: str = "",
) -> str:
    """A job of rectangles of one stock; `saw`, `stock` and `panel` are lines of their tables."""
    head = f'[job]\nname = "Sample"\n[saw]\n{saw}\n'
    board = (
        f'[[stock]]\nname = "mdf"\nmaterial = "mdf"\nthickness = 18\nmargin = 0\nsheet = [{sheet[0]!r}, {sheet[1]!r}]\n'
    )
    panels = (
        f'[[panel]]\nname = "p{n}"\nstock = "mdf"\nsize = [{x!r}, {y!r}]\n{panel}\n' for n, (x, y) in enumerate(sizes)
    )
    return f"{head}{board}count = 9\n{stock}\n{''.join(panels)}"


def read(folder: Path, text: str, gathering: Gathering | None = None) -> tuple[ReadJob, tuple[Panel, ...]]:
    """The job and its panels."""
    path = folder / "sample.toml"
    path.write_text(text, encoding="utf-8")
    found = read_job(path, gathering)
    own = Gathering()
    panels = resolve(found, own)
    own.stop_if_any()
    return found, panels


def planned(folder: Path, text: str) -> SawPlan:
    """The job's plan; raises ProblemsFound."""
    gathering = Gathering()
    plan = saw_plan(*read(folder, text, gathering), gathering)
    gathering.stop_if_any()
    return plan
