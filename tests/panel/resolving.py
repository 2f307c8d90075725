"""What resolving a test's job gives; the fixture `resolved` is in conftest.py."""

from typing import NamedTuple, Protocol

import pytest

from cncpanel.geometry.combine import difference, intersection
from cncpanel.geometry.region import Region
from cncpanel.panel.panel import Panel
from cncpanel.panel.rim import RUN_OUT

HEAD = """
[job]
name = "test"
machine = "shop"
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
measured = [17.8, 18.2]
sheet = [2440, 1220]
count = 1
"""


class Resolved(NamedTuple):
    """What came out: panels, problem and warning texts without the file's name."""

    panels: tuple[Panel, ...]
    problems: list[str]
    warnings: list[str]

    @property
    def panel(self) -> Panel:
        """The only panel, of a job without problems."""
        assert self.problems == []
        (panel,) = self.panels
        return panel


class Resolve(Protocol):
    """Resolves panels written as TOML, under a head of the test's own if need be."""

    def __call__(self, panels: str, head: str = HEAD) -> Resolved: ...


def assert_opened_exactly(panel: Panel) -> None:
    """Inside the panel the open region is the region; outside it reaches at most the run-out."""
    whole = Region(panel.outline)
    for recess in panel.recesses:
        inside = intersection((recess.open_region,), (whole,))
        assert sum(r.area for r in inside) == pytest.approx(recess.region.area, abs=1e-3)
        assert difference((recess.region,), (recess.open_region,)) == ()
        xmin, ymin, xmax, ymax = recess.open_region.bounds
        left, low, right, high = panel.outline.bounds
        assert min(xmin - left, ymin - low, right - xmax, high - ymax) >= -RUN_OUT - 1e-6
