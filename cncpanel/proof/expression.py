"""Numbers, parameters and bracketed expressions of RS-274/NGC, worked out with a stack, never by recursion.

Source: NISTIR 6556 (2000) section 3.3 and appendix E. Text is lower case, without spaces.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import acos, asin, atan2, ceil, cos, degrees, exp, floor, isfinite, log, radians, sin, sqrt, tan

NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII)
_NAME = re.compile(r"abs|acos|asin|atan|cos|exp|fix|fup|ln|round|sin|sqrt|tan")
_BINARY = re.compile(r"\*\*|\*|/|mod|\+|-|xor|or|and")
_RANK = {"**": 3, "*": 2, "/": 2, "mod": 2, "+": 1, "-": 1, "or": 1, "xor": 1, "and": 1}
PARAMETERS = 5399  # highest parameter number (section 3.3.2.2)
WHOLE = 0.0001  # a number this near to a whole one counts as it (section 3.3.2.1)


class Unreadable(Exception):  # noqa: N818 - a signal inside the reader, no error of the tree
    """A place in the text where the grammar or the arithmetic fails; caught by the reader, line by line."""

    def __init__(self, position: int, kind: str, text: str) -> None:
        """Where (index into the text), the finding's kind, the sentence."""
        super().__init__(text)
        self.position, self.kind, self.text = position, kind, text


def whole(value: float) -> int | None:
    """The whole number that `value` stands for, or None."""
    nearest = round(value)
    return nearest if abs(value - nearest) <= WHOLE else None


def _half_up(value: float) -> float:
    """To the nearest whole number, halves away from zero (the report's ROUND)."""
    return floor(value + 0.5) if value >= 0 else ceil(value - 0.5)


_UNARY: dict[str, Callable[[float], float]] = {
    "abs": abs,
    "acos": lambda v: degrees(acos(v)),
    "asin": lambda v: degrees(asin(v)),
    "cos": lambda v: cos(radians(v)),
    "exp": exp,
    "fix": floor,
    "fup": ceil,
    "ln": log,
    "round": _half_up,
    "sin": lambda v: sin(radians(v)),
    "sqrt": sqrt,
    "tan": lambda v: tan(radians(v)),
}
_LIMITS = {
    "acos": "the inverse cosine of a number outside -1..1",
    "asin": "the inverse sine of a number outside -1..1",
    "ln": "the logarithm of zero or less",
    "sqrt": "the square root of a negative number",
}


def shown(character: str) -> str:
    """A character of a program in a message: none reaches a terminal that would do something there."""
    return f"'{character}'" if character.isprintable() else f"a character of code {ord(character)}"


def _power(a: float, b: float) -> float:
    if a == 0 and b < 0:
        raise ValueError("zero to a negative power")
    result = a**b
    if isinstance(result, complex):
        raise ValueError("a negative number to a power that is not whole")
    return float(result)


def _divided(a: float, b: float) -> float:
    if b == 0:
        raise ValueError("a division by zero")
    return a / b


def _modulo(a: float, b: float) -> float:
    if b == 0:
        raise ValueError("a division by zero")
    rest = a - b * floor(a / b)
    return rest + abs(b) if rest < 0 else rest


_COMBINE: dict[str, Callable[[float, float], float]] = {
    "**": _power,
    "*": lambda a, b: a * b,
    "/": _divided,
    "mod": _modulo,
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "or": lambda a, b: float(bool(a) or bool(b)),
    "xor": lambda a, b: float(bool(a) != bool(b)),
    "and": lambda a, b: float(bool(a) and bool(b)),
}


@dataclass(slots=True)
class _Working:
    """The two stacks of one value being read."""

    text: str
    parameters: Mapping[int, float]
    at: int
    values: list[float] = field(default_factory=list)
    marks: list[str] = field(default_factory=list)  # '#', '[', '[name' or an operator
    open: int = 0

    def fail(self, kind: str, text: str) -> Unreadable:
        return Unreadable(self.at, kind, text)

    def operand(self) -> bool:
        """Take one thing where a value is due; whether a value is complete now."""
        text, at = self.text, self.at
        if at >= len(text):
            raise self.fail("number", "a number is missing")
        if text[at] == "#":
            self.marks.append("#")
            self.at += 1
            return False
        if text[at] == "[":
            return self.bracket("[", 1)
        if name := _NAME.match(text, at):
            if text[name.end() : name.end() + 1] != "[":
                raise self.fail("expression", f"no left bracket after {name.group().upper()}")
            return self.bracket("[" + name.group(), len(name.group()) + 1)
        if not (number := NUMBER.match(text, at)):
            raise self.fail("number", "no digits where a number should be")
        self.at = number.end()
        self.push(float(number.group()))
        return True

    def bracket(self, mark: str, length: int) -> bool:
        self.marks.append(mark)
        self.open += 1
        self.at += length
        return False

    def push(self, value: float) -> None:
        """Keep a complete value, looked up once for every # before it."""
        while self.marks and self.marks[-1] == "#":
            self.marks.pop()
            value = self.looked_up(value)
        self.values.append(value)

    def looked_up(self, value: float) -> float:
        index = whole(value)
        if index is None or not 1 <= index <= PARAMETERS:
            raise self.fail("parameter-number", f"parameter #{value:g} does not exist (1..{PARAMETERS})")
        if index not in self.parameters:
            raise self.fail(
                "parameter-unknown", f"parameter #{index} is read but its value is not known (not simulated)"
            )
        return self.parameters[index]

    def operator(self) -> bool:
        """Take what may follow a value inside brackets; whether the next thing due is again an operator."""
        if self.at >= len(self.text):
            raise self.fail("expression", "an expression is not closed")
        if self.text[self.at] == "]":
            return self.closed()
        if not (found := _BINARY.match(self.text, self.at)):
            raise self.fail("expression", f"unknown operation {shown(self.text[self.at])}")
        self.reduce(_RANK[found.group()])
        self.marks.append(found.group())
        self.at = found.end()
        return False

    def reduce(self, rank: int) -> None:
        """Work out the operators on top that bind at least as tightly as `rank`."""
        while self.marks and _RANK.get(self.marks[-1], 0) >= rank:
            right, left = self.values.pop(), self.values.pop()
            self.values.append(self.worked_out(_COMBINE[self.marks.pop()], "", left, right))

    def closed(self) -> bool:
        self.reduce(1)
        name = self.marks.pop()[1:]
        self.open -= 1
        self.at += 1
        if name == "atan":
            if self.text[self.at : self.at + 2] != "/[":
                raise self.fail("expression", "a slash and a bracket are missing after ATAN's first value")
            return self.bracket("[second", 2)
        value = self.values.pop()
        if name == "second":
            value = degrees(atan2(self.values.pop(), value))
        elif name:
            value = self.worked_out(_UNARY[name], name, value)
        self.push(value)
        return True

    def worked_out(self, function: Callable[..., float], name: str, *values: float) -> float:
        try:
            result = float(function(*values))
        except (ValueError, OverflowError, ZeroDivisionError) as error:
            own = str(error) if isinstance(error, ValueError) and not name else ""
            reason = _LIMITS.get(name) or own or "a number out of range"
            raise self.fail("arithmetic", f"{reason} cannot be worked out") from None
        if not isfinite(result):
            raise self.fail("arithmetic", "a number out of range cannot be worked out")
        return result


def value_at(text: str, at: int, parameters: Mapping[int, float]) -> tuple[float, int]:
    """The value that begins at `at`, and where it ends. Raises Unreadable."""
    working = _Working(text, parameters, at)
    complete = False
    while not complete or working.open:
        complete = working.operator() if complete else working.operand()
    return working.values[0], working.at
