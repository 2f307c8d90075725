"""The order in which a sheet's runs are cut.

Marks, recesses, holes, openings, then outlines; a part's outline after all its inside work, small parts'
outlines first; as few tool changes as that allows; short ways between, closed passes entered where that is near, and
never longer than by the nearest next one. All in program coordinates; equal input gives equal output.
"""

from collections.abc import Callable, Iterable, Sequence

from cncpanel.geometry.point import Point
from cncpanel.passes.run import Run
from cncpanel.sequence.chain import Chain, chains, forerunners
from cncpanel.sequence.changes import tool_groups
from cncpanel.sequence.links import linked, nearest

Row = Callable[[list[Chain], Sequence[int], Sequence[int], Point], list[int]]


def ordered(runs: Iterable[Run], at: Point) -> tuple[tuple[Run, ...], ...]:
    """The runs in cutting order from `at`, one tuple for each stay of a tool in the spindle."""
    work = chains(runs)
    before = forerunners(work)
    groups = tool_groups(work, before)
    plain, entered = list(work), list(work)
    nearer = _rows(plain, before, groups, at, nearest)
    shorter = _rows(entered, before, groups, at, linked)
    if _length(plain, nearer, at) < _length(entered, shorter, at):
        entered, shorter = plain, nearer
    return tuple(tuple(run for index in row for run in entered[index].cut()) for row in shorter)


def _rows(
    work: list[Chain], before: Sequence[int], groups: Iterable[Sequence[int]], at: Point, row: Row
) -> list[list[int]]:
    found = []
    for members in groups:
        found.append(row(work, before, members, at))
        at = work[found[-1][-1]].end
    return found


def _length(work: Sequence[Chain], rows: Iterable[Iterable[int]], at: Point) -> float:
    """All ways between the chains, mm."""
    length = 0.0
    for row in rows:
        for index in row:
            length += at.distance(work[index].start)
            at = work[index].end
    return length
