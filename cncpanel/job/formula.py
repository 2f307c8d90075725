"""Plain arithmetic as a job file writes it: `width - 2 * board`, `(a + 3/4 in) / 2`, `max(r, 6 mm)`.

    sum      product {("+" | "-") product}
    product  signed {("*" | "/") signed}
    signed   {"-" | "+"} single
    single   measure | number | mixed number | name | name "(" sum {"," sum} ")" | "(" sum ")"
    measure  a number directly followed by its unit: 18 mm, 3/4 in, 10 7/8 in, 10-7/8in, 6 ft 3 in

A text is parsed once into steps for a stack, without eval; the steps are run as often as wanted.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from cncpanel.errors.validation import nearest, quoted
from cncpanel.job.quantity import CONSTANTS, FUNCTIONS, LENGTH, LOOSE, FormulaError, Quantity
from cncpanel.units import (
    MEASURE,
    MILLIMETRES,
    NUMBER,
    Unit,
    amount,
    in_millimetres,
    is_foot,
    measure,
    plain,
    two_ways,
)

LONGEST = 500  # characters
DEEPEST = 50  # parentheses and signs within one another

_SPACE = re.compile(r"[ \t]*")
_NUMBER = re.compile(NUMBER, re.ASCII)
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_MIXED = re.compile(r"\d+[ \t]+\d+/\d+", re.ASCII)
_TWO_WAYS = re.compile(r"\d+-\d+/\d+", re.ASCII)
_SUMS: dict[str, Callable[[Quantity, Quantity], Quantity]] = {"+": Quantity.plus, "-": Quantity.minus}
_PRODUCTS: dict[str, Callable[[Quantity, Quantity], Quantity]] = {"*": Quantity.times, "/": Quantity.over}


@dataclass(frozen=True, slots=True)
class Call:
    """Take `count` quantities off the stack and put the result back."""

    compute: Callable[..., Quantity]
    count: int


@dataclass(frozen=True, slots=True)
class Name:
    """Put a named value on the stack."""

    name: str


Step = Quantity | Name | Call


@dataclass(frozen=True, slots=True)
class Formula:
    """Parsed arithmetic."""

    text: str
    steps: tuple[Step, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """The values that it needs, in order, each once."""
        return tuple(dict.fromkeys(step.name for step in self.steps if isinstance(step, Name)))

    def value(self, known: Mapping[str, Quantity]) -> Quantity:
        """Run it; raises FormulaError for an unknown name and for arithmetic without a result."""
        stack: list[Quantity] = []
        for step in self.steps:
            if isinstance(step, Quantity):
                stack.append(step)
            elif isinstance(step, Name):
                stack.append(_looked_up(step.name, known))
            else:
                taken = stack[-step.count :]
                del stack[-step.count :]
                stack.append(step.compute(*taken))
        return stack[0]


def _looked_up(name: str, known: Mapping[str, Quantity]) -> Quantity:
    if name not in known:
        raise unknown(name, known)
    return known[name]


def unknown(name: str, known: Mapping[str, object]) -> FormulaError:
    """What to say of a name that is not in [values]."""
    hint = nearest(name, known) or "names stand in [values]"
    return FormulaError(f"no value is named {quoted(name)} ({hint})")


def reserved(name: str) -> bool:
    """Whether a value may not bear this name, because formulas use it for something else."""
    return name in FUNCTIONS or name in CONSTANTS or name.lower() in MILLIMETRES


def is_name(name: str) -> bool:
    """Whether formulas can refer to it."""
    return _NAME.fullmatch(name) is not None


def parse(text: str, unit: Unit) -> Formula:
    """Parse `text`, its lengths turned into the job's `unit`; raises FormulaError with what is wrong."""
    if len(text) > LONGEST:
        raise FormulaError(f"a formula of {len(text)} characters (at most {LONGEST})")
    if not text.strip():
        raise FormulaError("an empty text where a number or a formula is needed")
    parser = _Parser(plain(text), unit)
    parser.sum(0)
    parser.end()
    return Formula(text, tuple(parser.steps))


@dataclass(slots=True)
class _Parser:
    """Precedence by descent; emits steps in the order of a stack."""

    text: str
    unit: Unit
    at: int = 0
    steps: list[Step] = field(default_factory=list)

    def sum(self, depth: int) -> None:
        self._chain(self._product, _SUMS, depth)

    def _product(self, depth: int) -> None:
        self._chain(self._signed, _PRODUCTS, depth)

    def _chain(
        self,
        part: Callable[[int], None],
        operators: Mapping[str, Callable[[Quantity, Quantity], Quantity]],
        depth: int,
    ) -> None:
        part(depth)
        while (sign := self._next()) in operators:
            self.at += 1
            part(depth)
            self.steps.append(Call(operators[sign], 2))

    def _signed(self, depth: int) -> None:
        if depth > DEEPEST:
            raise FormulaError(f"parentheses or signs nested more than {DEEPEST} deep")
        sign = self._next()
        if sign not in ("-", "+"):
            self._single(depth)
            return
        self.at += 1
        self._signed(depth + 1)
        if sign == "-":
            self.steps.append(Call(Quantity.__neg__, 1))

    def _single(self, depth: int) -> None:
        if self._next() == "(":
            self.at += 1
            self.sum(depth + 1)
            self._close()
        elif found := MEASURE.match(self.text, self.at):
            self._measure(found)
        elif found := _TWO_WAYS.match(self.text, self.at):
            raise FormulaError(two_ways(found[0]))
        elif found := _MIXED.match(self.text, self.at):
            self.at = found.end()
            self.steps.append(Quantity(_exact(amount, found[0]), LOOSE))
        elif found := _NUMBER.match(self.text, self.at):
            self.at = found.end()
            self.steps.append(Quantity(float(found[0]), LOOSE))
        elif found := _NAME.match(self.text, self.at):
            self.at = found.end()
            self._name(found[0], depth)
        else:
            raise FormulaError(f"{self._here()} where a number, a name or ( is needed")

    def _measure(self, found: re.Match[str]) -> None:
        millimetres = _exact(measure, found)
        self.at = found.end()
        self._next()
        inches = MEASURE.match(self.text, self.at) if is_foot(found) else None
        if inches and MILLIMETRES[inches[2].lower()] == MILLIMETRES["in"]:
            millimetres += _exact(measure, inches)
            self.at = inches.end()
        self.steps.append(Quantity(millimetres / in_millimetres(self.unit), LENGTH))

    def _name(self, name: str, depth: int) -> None:
        is_call = self._next() == "("
        if is_call and name in FUNCTIONS:
            self._call(name, depth)
        elif is_call:
            raise FormulaError(f"no function is named {quoted(name)} ({nearest(name, FUNCTIONS)})")
        elif name in FUNCTIONS:
            raise FormulaError(f"{name} needs its arguments in parentheses")
        elif name in CONSTANTS:
            self.steps.append(CONSTANTS[name])
        elif reserved(name):
            raise FormulaError(f"the unit {quoted(name)} does not follow a number")
        else:
            self.steps.append(Name(name))

    def _call(self, name: str, depth: int) -> None:
        self.at += 1
        count = 1
        self.sum(depth + 1)
        while self._next() == ",":
            self.at += 1
            self.sum(depth + 1)
            count += 1
        self._close()
        needed = FUNCTIONS[name].arguments
        if needed is not None and count != needed:
            raise FormulaError(f"{name} has {count} arguments (it takes {needed})")
        self.steps.append(Call(FUNCTIONS[name].compute, count))

    def _close(self) -> None:
        if self._next() != ")":
            raise FormulaError(f"{self._here()} where ) is needed")
        self.at += 1

    def end(self) -> None:
        if self._next():
            hint = " (write the decimal point as a point)" if self.text[self.at] == "," else ""
            raise FormulaError(f"{self._here()} where + - * / or the end is needed{hint}")

    def _next(self) -> str:
        """The next character that is not blank; empty at the end."""
        space = _SPACE.match(self.text, self.at)
        self.at = space.end() if space else self.at
        return self.text[self.at : self.at + 1]

    def _here(self) -> str:
        rest = self.text[self.at :]
        found = _NAME.match(rest) or _NUMBER.match(rest)
        return f"{quoted(found[0] if found else rest[0])} stands" if rest else "it ends"


def _exact(read: Callable[..., Fraction], found: object) -> float:
    try:
        return float(read(found))
    except ValueError as error:
        raise FormulaError(str(error)) from None
    except OverflowError:
        raise FormulaError("the number is too large") from None
