"""The visible size of a screen from its diagonal."""

from math import hypot


def visible_size(diagonal: float, aspect: tuple[float, float]) -> tuple[float, float]:
    """Width and height, in the diagonal's unit, of a screen whose sides are as `aspect`.

    Pythagoras: width = diagonal * a / sqrt(a^2 + b^2). Names round the diagonal, so leave 1 to 2 mm a side.
    """
    a, b = aspect
    return diagonal * a / hypot(a, b), diagonal * b / hypot(a, b)
