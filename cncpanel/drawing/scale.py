"""The scales that drawings are made at: those that ISO 5455 recommends, as ratios of paper to part."""

from collections.abc import Iterable
from fractions import Fraction

# ISO 5455:1979 (Technical drawings; Scales), clause 4: enlargement 50:1 20:1 10:1 5:1 2:1, full size 1:1, reduction
# 1:2 1:5 1:10 1:20 1:50 1:100 and on to 1:10 000. From memory of the standard's table.
ENLARGED = (50, 20, 10, 5, 2)
REDUCED = (2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
STANDARD = (*map(Fraction, ENLARGED), Fraction(1), *(Fraction(1, n) for n in REDUCED))
LARGEST = Fraction(5)  # a panel enlarged further says nothing more


def scales() -> Iterable[Fraction]:
    """Those that a panel's drawing may have, the largest first."""
    return (scale for scale in STANDARD if scale <= LARGEST)


def scale_words(scale: Fraction) -> str:
    """`1:5`, `2:1`."""
    return f"{scale.numerator}:{scale.denominator}"
