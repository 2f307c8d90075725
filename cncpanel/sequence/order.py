"""The order in which a sheet's runs are cut.

Marks, recesses, holes, openings, then outlines; a part's outline after all its inside work, small parts'
outlines first; as few tool changes as that allows; short ways between. All in program coordinates; equal
input gives equal output.
"""

from collections.abc import Iterable

from cncpanel.geometry.point import Point
from cncpanel.passes.run import Run
from cncpanel.sequence.chain import chains, forerunners
from cncpanel.sequence.changes import tool_groups
from cncpanel.sequence.links import linked


def ordered(runs: Iterable[Run], at: Point) -> tuple[tuple[Run, ...], ...]:
    """The runs in cutting order from `at`, one tuple for each stay of a tool in the spindle."""
    work = chains(runs)
    before = forerunners(work)
    groups = []
    for members in tool_groups(work, before):
        order = linked(work, before, members, at)
        groups.append(tuple(run for index in order for run in work[index].runs))
        at = work[order[-1]].end
    return tuple(groups)
