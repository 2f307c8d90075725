"""Why a file or an entity cannot be used: raised where it is found, a problem by the reader's hand."""

from collections.abc import Iterable
from math import isfinite
from typing import NamedTuple

FARTHEST = 1e9  # drawing units; beyond, a double keeps no micrometre


class UnusableError(ValueError):
    """Says, after the file's or entity's name, what is wrong with it, and what would do."""

    def __init__(self, text: str, allowed: str = "") -> None:
        """Keep both texts."""
        super().__init__(text)
        self.allowed = allowed


class Spot(NamedTuple):
    """A place in space."""

    x: float
    y: float
    z: float


def usable(spot: Iterable[float]) -> Spot:
    """The three numbers as a Spot; raises UnusableError when one is no number or out of all reason."""
    x, y, z = (float(value) for value in spot)
    if not all(isfinite(v) and abs(v) < FARTHEST for v in (x, y, z)):
        raise UnusableError(f"has a coordinate that cannot be: ({x:.6g}, {y:.6g}, {z:.6g})")
    return Spot(x, y, z)
