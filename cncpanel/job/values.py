"""The named values of a job, and every length and number of the file that may be a formula over them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic_core import PydanticCustomError

from cncpanel.errors import Gathering
from cncpanel.errors.toml import TomlFile
from cncpanel.errors.validation import ALREADY_TOLD, kind_of, quoted, split_allowed
from cncpanel.job.formula import Formula, is_name, parse, reserved, unknown
from cncpanel.job.quantity import LENGTH, LOOSE, NUMBER, FormulaError, Quantity
from cncpanel.units import Unit, in_millimetres, shown

LONGEST = 100_000.0  # mm; no machine is near it, and geometry stays far from a float's end
MOST_STEPS = 1_000_000  # in all formulas of a file; a large job has some thousands


@dataclass(slots=True)
class Values:
    """What the formulas of one file are computed with. `broken` values were told of already."""

    unit: Unit
    known: dict[str, Quantity] = field(default_factory=dict)
    broken: set[str] = field(default_factory=set)
    steps: int = 0

    @property
    def context(self) -> dict[str, object]:
        """What the job's models convert with."""
        return {"length": self.length, "number": self.number, "unit": self.unit}

    def length(self, written: object) -> object:
        """Millimetres of a length; ValueError says what is wrong. Lists and tables go on to pydantic."""
        found = self._quantity(written)
        if found is None:
            return written
        if found.power not in (LOOSE, LENGTH):
            raise ValueError(f"{quoted(written)} is {found.kind} where a length is needed")
        millimetres = found.value * in_millimetres(self.unit)
        if abs(millimetres) > LONGEST:
            raise ValueError(f"{quoted(written)} is too long (at most {shown(LONGEST, self.unit)})")
        return millimetres

    def number(self, written: object) -> object:
        """A plain number: a count or degrees; ValueError says what is wrong."""
        found = self._quantity(written)
        if found is None:
            return written
        if found.power not in (LOOSE, NUMBER):
            raise ValueError(f"{quoted(written)} is {found.kind} where a plain number is needed")
        nearest_whole = round(found.value)
        return nearest_whole if abs(found.value - nearest_whole) < 1e-9 else found.value  # 3 * (1/3) is 1

    def _quantity(self, written: object) -> Quantity | None:
        if isinstance(written, bool):
            raise ValueError("a number is needed, not true or false")
        if isinstance(written, int | float):
            return loose(written)
        if not isinstance(written, str):
            return None
        formula = parse(written, self.unit)
        if self.broken.intersection(formula.names):
            raise PydanticCustomError(ALREADY_TOLD, "a value that it needs is wrong")
        return self.computed(formula)

    def computed(self, formula: Formula) -> Quantity:
        """The formula's result; raises FormulaError, also past MOST_STEPS."""
        self.steps += len(formula.steps)
        if self.steps > MOST_STEPS:
            raise FormulaError("more arithmetic than a job may hold")
        return formula.value(self.known)


def loose(number: float) -> Quantity:
    """A bare number; raises FormulaError where it is not finite or too large."""
    try:
        return Quantity(float(number), LOOSE)
    except OverflowError:
        raise FormulaError("the number is too large") from None


def read_values(file: TomlFile, unit: Unit, gathering: Gathering) -> Values:
    """Compute [values], in whatever order they stand; every mistake goes to `gathering`."""
    values = Values(unit)
    table = file.data.get("values", {})
    formulas: dict[str, Formula] = {}
    for name, written in (table if isinstance(table, dict) else {}).items():
        try:
            _check_name(name)
            formulas[name] = _formula(written, unit)
        except FormulaError as error:
            _tell(file, name, error, values, gathering)
    for name in _in_order(formulas, values, file, gathering):
        _compute(name, formulas, values, file, gathering)
    return values


def _check_name(name: str) -> None:
    if not is_name(name):
        raise FormulaError(f"{quoted(name)} cannot be a value's name (letters, digits and _)")
    if reserved(name):
        raise FormulaError(f"{quoted(name)} cannot be a value's name: formulas use it for a unit or a function")


def _formula(written: Any, unit: Unit) -> Formula:
    if isinstance(written, str):
        return parse(written, unit)
    if isinstance(written, bool) or not isinstance(written, int | float):
        raise FormulaError(f"a number, a length or a formula is needed, not {kind_of(written)}")
    return Formula(str(written)[:40], (loose(written),))


def _compute(name: str, formulas: Mapping[str, Formula], values: Values, file: TomlFile, gathering: Gathering) -> None:
    formula = formulas[name]
    try:
        for needed in formula.names:
            if needed not in formulas and needed not in values.broken:
                raise unknown(needed, formulas)
        if values.broken.isdisjoint(formula.names):
            values.known[name] = values.computed(formula)
        else:
            values.broken.add(name)
    except FormulaError as error:
        _tell(file, name, error, values, gathering)


def _tell(file: TomlFile, name: str, error: FormulaError, values: Values, gathering: Gathering) -> None:
    gathering.problem(file.place(("values", name)), *split_allowed(str(error)))
    values.broken.add(name)


def _in_order(formulas: Mapping[str, Formula], values: Values, file: TomlFile, gathering: Gathering) -> list[str]:
    """Names so that each comes after those it needs; a ring of names is told once and left out."""
    order: list[str] = []
    done: set[str] = set()
    for first in formulas:
        way = {first: None}  # from `first` down to what is being looked at, in order
        while way:
            name = next(reversed(way))
            following = next((n for n in formulas[name].names if n in formulas and n not in done), None)
            if name in done or following is None:
                del way[name]
                if name not in done:
                    done.add(name)
                    order.append(name)
            elif following in way:
                ring = list(way)[list(way).index(following) :]
                text = " -> ".join([*ring, following])
                _tell(file, following, FormulaError(f"goes round in a ring: {text}"), values, gathering)
                values.broken.update(ring)
                done.update(ring)
            else:
                way[following] = None
    return order
