"""A sheet that nobody has described, guessed from what the programs cut in it."""

from collections.abc import Iterable
from math import isnan

import shapely

from cncpanel.machine.model import Machine
from cncpanel.proof.motion import Move
from cncpanel.proof.setup import Setup
from cncpanel.proof.sweep import extent
from cncpanel.proof.target import Target

RIM = 50.0  # mm of sheet that is left standing round all cuts
UNDER = 1.0  # mm of sheet that is left under the deepest cut: what goes through is not known


def blank(size: tuple[float, float], thickness: float, machine: Machine) -> Target:
    """A sheet of a size along program X and Y, of which nothing is wanted but that it be cut safely."""
    x, y = size
    sheet = shapely.box(0.0, 0.0, *((y, x) if machine.sheet_turned else (x, y)))
    return Target(sheet=sheet, thickness=thickness, pieces=(), floors=())


def rough_size(moves: Iterable[Move], setup: Setup) -> tuple[float, float, float]:
    """As large as every cut from the zero on and RIM more, and thicker than the deepest cut by UNDER."""
    right = high = deep = 0.0
    for move in moves:
        if move.kind != "rapid" and not any(map(isnan, move.start + move.end)):
            box = extent(move)
            right, high = max(right, box[2]), max(high, box[3])
            deep = max(deep, setup.top - move.start[2], setup.top - move.end[2])
    return right - setup.corner[0] + RIM, high - setup.corner[1] + RIM, deep + UNDER
