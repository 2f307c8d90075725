"""A number with what it measures: the arithmetic of formulas, and the rules that keep lengths lengths.

Every number is held in the job's own unit, so its value never depends on what it is taken for; the power only
guards against nonsense. A bare number is *loose*: it goes along with what it meets, a number or a length.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, isfinite, pi, radians, sin, sqrt, tan

LOOSE = None
NUMBER = 0
LENGTH = 1
_MOST = 1e18  # in the job's unit; the volume of a cabinet is a billionth of it
_MOST_POWER = 9
_SMALLEST_COSINE = 1e-12  # below it a tangent is a quarter turn's rounding


class FormulaError(ValueError):
    """What is wrong with a formula, `wrong (allowed)`."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """`value` in the job's unit; `power` of length: None loose, 0 a plain number, 1 a length, 2 an area."""

    value: float
    power: int | None

    def __post_init__(self) -> None:
        """Refuse what has run away."""
        if not isfinite(self.value):
            raise FormulaError("the result is not a finite number")
        if abs(self.value) > _MOST or abs(self.power or 0) > _MOST_POWER:
            raise FormulaError("the result is too large")

    def __neg__(self) -> "Quantity":
        """The opposite."""
        return Quantity(-self.value, self.power)

    def plus(self, other: "Quantity") -> "Quantity":
        """The sum of like things."""
        return Quantity(self.value + other.value, _common(self, other, "added"))

    def minus(self, other: "Quantity") -> "Quantity":
        """The difference of like things."""
        return Quantity(self.value - other.value, _common(self, other, "subtracted"))

    def times(self, other: "Quantity") -> "Quantity":
        """The product; length times length is an area."""
        return Quantity(self.value * other.value, _product_power(self.power, other.power))

    def over(self, other: "Quantity") -> "Quantity":
        """The quotient; length over length is a plain number."""
        if other.value == 0:
            raise FormulaError("division by zero")
        return Quantity(_overflowing(lambda: self.value / other.value), _quotient_power(self.power, other.power))

    @property
    def kind(self) -> str:
        """What it is, in words."""
        if self.power is None:
            return "a number"
        return {0: "a plain number", 1: "a length", 2: "an area", 3: "a volume"}.get(
            self.power, f"a length to the power {self.power}"
        )


def _overflowing(compute: Callable[[], float]) -> float:
    try:
        return compute()
    except OverflowError:
        raise FormulaError("the result is too large") from None


def _common(left: Quantity, right: Quantity, done: str) -> int | None:
    if left.power is None or right.power is None:
        return right.power if left.power is None else left.power
    if left.power != right.power:
        raise FormulaError(f"{left.kind} and {right.kind} cannot be {done}")
    return left.power


def _product_power(left: int | None, right: int | None) -> int | None:
    if left is None or right is None:
        return (left if right is None else right) or LOOSE
    return left + right


def _quotient_power(left: int | None, right: int | None) -> int | None:
    """A loose number over a length can only be a length over a length to be of use: so it is no length itself."""
    if left is None:
        return LENGTH - right if right else LOOSE
    if right is None:
        return left or LOOSE
    return left - right


def _turn(function: Callable[[float], float], name: str) -> Callable[[Quantity], Quantity]:
    def turned(angle: Quantity) -> Quantity:
        if angle.power not in (LOOSE, NUMBER):
            raise FormulaError(f"{name} of {angle.kind} (an angle in degrees)")
        return Quantity(function(radians(angle.value)), NUMBER)

    return turned


def _tangent(angle: float) -> float:
    if abs(cos(angle)) < _SMALLEST_COSINE:
        raise FormulaError("tan of a right angle has no value")
    return tan(angle)


def _root(of: Quantity) -> Quantity:
    if of.value < 0:
        raise FormulaError("sqrt of a negative number")
    if of.power is not None and of.power % 2:
        raise FormulaError(f"sqrt of {of.kind} (a number or an area)")
    return Quantity(sqrt(of.value), of.power if of.power is None else of.power // 2)


def _least(*of: Quantity) -> Quantity:
    return _chosen(min, "compared", of)


def _most(*of: Quantity) -> Quantity:
    return _chosen(max, "compared", of)


def _chosen(choose: Callable[..., float], done: str, of: tuple[Quantity, ...]) -> Quantity:
    chosen = of[0]
    for other in of[1:]:
        power = _common(chosen, other, done)
        chosen = Quantity(choose(chosen.value, other.value), power)
    return chosen


@dataclass(frozen=True, slots=True)
class Function:
    """A function of formulas and how many arguments it takes (None: any number from one)."""

    compute: Callable[..., Quantity]
    arguments: int | None


FUNCTIONS: dict[str, Function] = {
    "min": Function(_least, None),
    "max": Function(_most, None),
    "sqrt": Function(_root, 1),
    "sin": Function(_turn(sin, "sin"), 1),
    "cos": Function(_turn(cos, "cos"), 1),
    "tan": Function(_turn(_tangent, "tan"), 1),
}
CONSTANTS: dict[str, Quantity] = {"pi": Quantity(pi, NUMBER)}
