"""One way to make a feature: its operation with a tool, what stays unreached, about how long it takes."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cncpanel.errors import Place
from cncpanel.geometry.region import Region
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Operation

ORDER = {"mark": 0, "recess": 1, "hole": 2, "opening": 3, "outline": 4, "edge": 5, "slot": 6}


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """A feature made with one tool.

    `missed` is what the tool cannot reach; `avoidable` the part of that area (mm2) that a smaller tool
    would reach: corners drawn sharp are left out. `slender`: deeper than a tool of this diameter should go. `frays`:
    how badly its flutes suit a face that splinters (`flutes.Manner`).
    `first`: what a larger tool clears before.
    """

    tool: Tool
    operation: Operation
    time_s: float
    missed: tuple[Region, ...] = ()
    avoidable: float = 0.0
    slender: bool = False
    frays: int = 0
    first: Operation | None = None

    @property
    def operations(self) -> tuple[Operation, ...]:
        """In the order of cutting."""
        return (self.first, self.operation) if self.first else (self.operation,)


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a tool cannot make a feature: the end of a sentence that begins with the tool."""

    tool: Tool
    reason: str


def refused(refusals: Iterable[Refusal]) -> Iterator[str]:
    """The reasons in turn, each with the tools that it keeps out: `T1 6 mm up-cut, T3 3 mm up-cut: too wide ...`."""
    tools: dict[str, list[str]] = {}
    for refusal in refusals:
        tools.setdefault(refusal.reason, []).append(f"T{refusal.tool.number} {refusal.tool.name}")
    yield from (f"{', '.join(names)}: {reason}" for reason, names in tools.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """A feature and every way the rack offers to make it."""

    panel: str
    feature: str
    order: int
    place: Place
    asked: str | None
    ways: tuple[Way, ...]
    refusals: tuple[Refusal, ...]
