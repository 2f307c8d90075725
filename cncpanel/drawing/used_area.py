"""How much of a sheet its programs use: where the frame program goes, what is cut, where clamps may not stand."""

from collections.abc import Iterable
from dataclasses import dataclass

from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.segment import Bounds
from cncpanel.machine.model import Machine
from cncpanel.passes.run import Run
from cncpanel.sequence.frame import centre_box, grown

CLAMP_SPARE = 5.0  # mm between a clamp and what passes it: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedArea:
    """Boxes in the sheet's frame: of the tool's centre (the frame program's path), of what is cut, and of what
    clamps keep clear of (tool, or the nut where it dips below the clamps' tops)."""

    frame: Bounds
    cut: Bounds
    clear: Bounds


def used_area(runs: Iterable[Run], machine: Machine) -> UsedArea | None:
    """The boxes of all runs with steps (sheet frame); None where there are none."""
    cutting = [run for run in runs if run.steps]
    if not cutting:
        return None
    boxed = [(run, centre_box(run)) for run in cutting]
    return UsedArea(
        frame=joined_bounds(box for _, box in boxed),
        cut=joined_bounds(grown(box, run.tool.radius) for run, box in boxed),
        clear=joined_bounds(grown(box, _passing(run, machine) + CLAMP_SPARE) for run, box in boxed),
    )


def _passing(run: Run, machine: Machine) -> float:
    """How far from its centre the tool or its nut may touch a clamp."""
    nut_over_sheet = run.tool.stick_out + min(step.z for step in run.steps)
    dips = nut_over_sheet < machine.table.clamp_height
    return max(run.tool.radius, run.tool.nut_diameter / 2 if dips else 0.0)
