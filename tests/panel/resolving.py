"""What resolving a test's job gives; the fixture `resolved` is in conftest.py."""

from typing import NamedTuple, Protocol

from cncpanel.panel.panel import Panel

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
