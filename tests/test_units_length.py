"""Lengths as workshops write them."""

import pytest

from cncpanel.units import as_fraction, length, shown


@pytest.mark.parametrize(
    ("written", "unit", "expected"),
    [
        (18, "mm", 18.0),
        (18.5, "mm", 18.5),
        (2, "inch", 50.8),
        ("18", "mm", 18.0),
        ("18", "inch", 457.2),
        (" 18 mm ", "inch", 18.0),
        ("18mm", "inch", 18.0),
        ("18 MM", "mm", 18.0),
        ("2.5 cm", "mm", 25.0),
        ("1.22 m", "mm", 1220.0),
        ("3/4 in", "mm", 19.05),
        ("3 / 4 in", "mm", 19.05),
        ('3/4"', "mm", 19.05),
        ("3/4″", "mm", 19.05),
        ("10 7/8 in", "mm", 276.225),
        ("10-7/8in", "mm", 276.225),
        ("10 7/8", "inch", 276.225),
        ("1 1/2 inch", "mm", 38.1),
        ("2 inches", "mm", 50.8),
        ("6 ft", "mm", 1828.8),
        ("6 feet", "mm", 1828.8),
        ("6' 3\"", "mm", 1905.0),
        ("6 ft 3 1/2 in", "mm", 1917.7),
        ("-3/4 in", "mm", -19.05),
        (".5 in", "mm", 12.7),
        ("1/2", "mm", 0.5),
    ],
)
def test_a_written_length_is(written: object, unit: str, expected: float) -> None:
    assert expected == length(written, unit)  # type: ignore[arg-type]


_SUCH = 'such as 18, "18 mm", "2.5 cm", "3/4 in" or "10 7/8 in"'


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("", f"an empty text, not a length ({_SUCH})"),
        ("wide", f'"wide" is not a length ({_SUCH})'),
        ("18 mmm", f'"18 mmm" is not a length ({_SUCH})'),
        ("18 mm 3 in", f'"18 mm 3 in" is not a length ({_SUCH})'),
        ("1e3", f'"1e3" is not a length ({_SUCH})'),
        ("--3", f'"--3" is not a length ({_SUCH})'),
        ("2,5 cm", '"2,5 cm" is not a length (write the decimal point as a point)'),
        ("10-7/8", '"10-7/8" reads two ways (write "10 7/8" or "10 - 7/8")'),
        ("3/0 in", "3/0 divides by zero"),
        ("9" * 61, f"a text of over 60 characters, not a length ({_SUCH})"),
        (True, f"not a length ({_SUCH})"),
        (None, f"not a length ({_SUCH})"),
        (float("nan"), "not a finite number"),
        (10**400, "too large a number for a length"),
    ],
)
def test_what_is_no_length_says_why(written: object, message: str) -> None:
    with pytest.raises(ValueError) as raised:  # noqa: PT011 - the whole message is compared below
        length(written, "mm")
    assert message == str(raised.value)


@pytest.mark.parametrize(
    ("millimetres", "unit", "expected"),
    [
        (18.0, "mm", "18 mm"),
        (18.25, "mm", "18.25 mm"),
        (0.0004, "mm", "0 mm"),
        (-0.0004, "mm", "0 mm"),
        (1220.0, "mm", "1220 mm"),
        (19.05, "inch", "0.75 in"),
        (18.0, "inch", "0.7087 in"),
    ],
)
def test_a_length_is_shown_as(millimetres: float, unit: str, expected: str) -> None:
    assert expected == shown(millimetres, unit)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("millimetres", "expected"),
    [(0, "0 in"), (276.225, "10 7/8 in"), (19.05, "3/4 in"), (25.3, "1 in"), (-38.1, "-1 1/2 in"), (0.4, "1/64 in")],
)
def test_an_inch_length_is_shown_as_a_fraction(millimetres: float, expected: str) -> None:
    assert expected == as_fraction(millimetres)
