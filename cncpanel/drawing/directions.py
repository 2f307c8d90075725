"""Which way the tool goes along walls and edges, in words."""

from cncpanel.job.model import Settings
from cncpanel.machine.model import Machine
from cncpanel.passes.shop import Direction, directions

_HOW: dict[Direction, str] = {
    "climb": "climb (the material on the tool's right)",
    "conventional": "conventional (the material on the tool's left)",
}


def direction_words(machine: Machine, settings: Settings) -> str:
    """Of roughing and of the last pass: one sentence."""
    rough, last = directions(machine, settings)
    if rough == last:
        return f"Along walls and edges roughing and the last pass are {_HOW[rough]}."
    return f"Along walls and edges roughing is {_HOW[rough]}, the last pass {_HOW[last]}."
