"""Formulas: what they may say, what comes out, what is refused and in which words."""

import math

import pytest

from cncpanel.job.formula import parse
from cncpanel.job.quantity import LENGTH, LOOSE, NUMBER, FormulaError, Quantity

KNOWN = {
    "width": Quantity(640, LOOSE),
    "board": Quantity(18, LENGTH),
    "face": Quantity(324, 2),
}


def value(text: str, unit: str = "mm") -> Quantity:
    return parse(text, unit).value(KNOWN)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1 + 2 * 3", 7),
        ("(1 + 2) * 3", 9),
        ("10 - 4 - 3", 3),
        ("64 / 4 / 2", 8),
        ("-2 * -3", 6),
        ("--5", 5),
        ("2 - -5", 7),
        ("-(1 + 1) / 4", -0.5),
        ("+3", 3),
        ("width - 2 * board", 604),
        ("width - 3/4 in", 640 - 19.05),
        ("width/4", 160),
        ("width*3/4 in", 640 * 19.05),
        ("10 7/8 in", 276.225),
        ("10-7/8 in", 276.225),
        ("10 - 7/8 in", 10 - 22.225),
        ("6 ft 3 in", 1905),
        ("6' 3\"", 1905),
        ("2 ft - 1 in", 584.2),
        ("1 1/2", 1.5),
        ("max(3, 9, 6)", 9),
        ("min(width, board)", 18),
        ("sqrt(face)", 18),
        ("sqrt(board * board + 24 mm * 24 mm)", 30),
        ("sin(30)", 0.5),
        ("cos(60)", 0.5),
        ("tan(45)", 1),
        ("2 * pi", 2 * math.pi),
        (".5 + 1.", 1.5),
        ("max(1, min(2, 3) * 2)", 4),
    ],
)
def test_a_formula_gives(text: str, expected: float) -> None:
    assert value(text).value == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "power"),
    [
        ("2 * 9", LOOSE),
        ("2 * board", LENGTH),
        ("board + 1", LENGTH),
        ("board / board", NUMBER),
        ("board * board", 2),
        ("face / board", LENGTH),
        ("sqrt(face)", LENGTH),
        ("sin(30)", NUMBER),
        ("width * sin(30)", LOOSE),
        ("board * sin(30)", LENGTH),
        ("width / board", NUMBER),
        ("1.5/2 in", NUMBER),
        ("width / 2", LOOSE),
        ("board / width", LENGTH),
        ("board / board / 2", LOOSE),
        ("1 mm", LENGTH),
        ("max(1, board)", LENGTH),
    ],
)
def test_a_formula_knows_what_it_measures(text: str, power: int | None) -> None:
    assert power == value(text).power


def test_lengths_are_computed_in_the_jobs_own_unit() -> None:
    assert value("25.4 mm + 1", "inch").value == pytest.approx(2)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("board + sin(30)", "a length and a plain number cannot be added"),
        ("face - board", "an area and a length cannot be subtracted"),
        ("sin(board)", "sin of a length (an angle in degrees)"),
        ("sqrt(board)", "sqrt of a length (a number or an area)"),
        ("sqrt(0 - 1)", "sqrt of a negative number"),
        ("1 / (2 - 2)", "division by zero"),
        ("tan(90)", "tan of a right angle has no value"),
        ("1" + "0" * 19, "the result is too large"),
        ("9" * 400, "the result is not a finite number"),
        ("9" * 400 + " in", "the number is too large"),
        ("widht", 'no value is named "widht" (did you mean "width"?)'),
        ("eval(1)", 'no function is named "eval" (min, max, sqrt, sin, cos, tan)'),
        ("width.real", '"." stands where + - * / or the end is needed'),
        ("[1]", '"[" stands where a number, a name or ( is needed'),
        ("min()", '")" stands where a number, a name or ( is needed'),
        ("5 in in", '"in" stands where + - * / or the end is needed'),
        ("2 * in", 'the unit "in" does not follow a number'),
    ],
)
def test_a_wrong_formula_says_why(text: str, message: str) -> None:
    with pytest.raises(FormulaError) as raised:
        value(text)
    assert message == str(raised.value)


def test_a_formula_names_the_values_it_needs_once_and_in_order() -> None:
    assert parse("width - board * 2 + width", "mm").names == ("width", "board")


def test_depth_and_length_have_bounds_that_hold_to_the_last_step() -> None:
    assert value("(" * 50 + "1" + ")" * 50).value == 1
    with pytest.raises(FormulaError, match="nested more than 50 deep"):
        value("(" * 51 + "1" + ")" * 51)
    assert value("1" + "+1" * 249).value == 250
    with pytest.raises(FormulaError, match="a formula of 501 characters"):
        value("1" + "+1" * 250)
