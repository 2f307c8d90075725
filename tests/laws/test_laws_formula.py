"""A formula gives what Python's own arithmetic gives, whatever the tree; a written length is read back."""

import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cncpanel.job.formula import parse
from cncpanel.job.quantity import LOOSE, FormulaError, Quantity
from cncpanel.units import as_fraction, length, shown

NAMES = {"a": 3.25, "board": 18.0, "x_1": -7.5}
KNOWN = {name: Quantity(value, LOOSE) for name, value in NAMES.items()}
PYTHON = {
    **NAMES,
    "pi": math.pi,
    "min": min,
    "max": max,
    "sqrt": math.sqrt,
    "sin": lambda degrees: math.sin(math.radians(degrees)),
    "cos": lambda degrees: math.cos(math.radians(degrees)),
}

LEAVES = st.one_of(
    st.integers(0, 999).map(str),
    st.decimals(0, 99, places=3).map(str),
    st.sampled_from([*NAMES, "pi"]),
)


def _grown(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.one_of(
        st.tuples(inner, st.sampled_from(["+", "-", "*", "/", " + ", " - ", " * ", " / "]), inner).map("".join),
        inner.map("({})".format),
        inner.map("-{}".format),
        st.tuples(st.sampled_from(["sqrt", "sin", "cos"]), inner).map(lambda part: f"{part[0]}({part[1]})"),
        st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(lambda part: f"{part[0]}({part[1]}, {part[2]})"),
    )


def _found(text: str) -> float | str:
    """The formula's value, or why it has none."""
    try:
        return parse(text, "mm").value(KNOWN).value
    except FormulaError as error:
        return str(error)


@given(st.recursive(LEAVES, _grown, max_leaves=12))
def test_a_formula_gives_what_python_gives(text: str) -> None:
    assume(len(text) <= 500)
    try:
        # Python's own evaluation of a text that this test made is what the parser is measured against.
        expected = eval(text, {"__builtins__": {}}, PYTHON)
    except (ZeroDivisionError, ValueError, OverflowError):
        with pytest.raises(FormulaError):
            parse(text, "mm").value(KNOWN)
        return
    assert _found(text) in (expected, "the result is too large")


@given(st.text("0123456789 .+-*/(),abins\"'x_", max_size=40))
def test_any_text_gives_a_value_or_a_formula_error(text: str) -> None:
    found = _found(text)
    assert found if isinstance(found, str) else math.isfinite(found)


@given(st.floats(-1e5, 1e5), st.sampled_from(["mm", "inch"]))
def test_a_shown_length_reads_back_to_its_last_decimal(millimetres: float, unit: str) -> None:
    half = 0.0005 if unit == "mm" else 0.00005 * 25.4
    again = length(shown(millimetres, unit), unit)  # type: ignore[arg-type]
    assert abs(again - millimetres) <= half * 1.001


@given(st.integers(-64 * 400, 64 * 400))
def test_a_length_in_sixty_fourths_reads_back_exactly(parts: int) -> None:
    millimetres = float(Fraction(parts, 64) * Fraction(254, 10))
    assert millimetres == length(as_fraction(millimetres), "mm")


@given(
    st.integers(0, 400), st.integers(0, 63), st.sampled_from([" ", "-"]), st.sampled_from(["in", " in", '"', " inch"])
)
def test_every_way_of_writing_a_mixed_number_is_the_same(whole: int, over: int, join: str, unit: str) -> None:
    expected = float((whole + Fraction(over, 64)) * Fraction(254, 10))
    assert expected == length(f"{whole}{join}{over}/64{unit}", "mm")
    assert expected == pytest.approx(parse(f"{whole}{join}{over}/64{unit}", "mm").value({}).value)
