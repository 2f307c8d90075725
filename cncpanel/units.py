"""Lengths as a workshop writes them, read and shown; inside, a length is a float in millimetres."""

import re
from fractions import Fraction
from math import isfinite
from typing import Literal

Unit = Literal["mm", "inch"]
DimensionUnit = Literal["mm", "inch", "fraction"]

MILLIMETRES: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction(254, 10),
    "inch": Fraction(254, 10),
    "inches": Fraction(254, 10),
    '"': Fraction(254, 10),
    "ft": Fraction(3048, 10),
    "foot": Fraction(3048, 10),
    "feet": Fraction(3048, 10),
    "'": Fraction(3048, 10),
}
_WORDS = "|".join(sorted((word for word in MILLIMETRES if word.isalpha()), key=len, reverse=True))
NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)"
AMOUNT = rf"(?:\d+(?:-|[ \t]+)\d+/\d+|\d+[ \t]*/[ \t]*\d+|{NUMBER})"
MEASURE = re.compile(rf"({AMOUNT})[ \t]*((?:{_WORDS})(?![A-Za-z0-9_])|[\"'])", re.IGNORECASE | re.ASCII)
_BARE_AMOUNT = re.compile(rf"({AMOUNT})\Z", re.ASCII)
_TYPOGRAPHIC = str.maketrans({"″": '"', "′": "'", "”": '"', "’": "'", "−": "-", "\u00a0": " "})
SHOWN_ERROR = 0.0005  # in; a smaller one is nothing at three decimals
_LONGEST = 60  # characters of one written length
_ALLOWED = 'such as 18, "18 mm", "2.5 cm", "3/4 in" or "10 7/8 in"'


def plain(text: str) -> str:
    """The text with typographic inch, foot and minus signs made plain ones."""
    return text.translate(_TYPOGRAPHIC)


def amount(text: str) -> Fraction:
    """The number written as `18`, `2.5`, `3/4`, `10 7/8` or `10-7/8`; ValueError for a division by zero."""
    if "/" not in text:
        return Fraction(text if text[0] != "." else f"0{text}")
    whole, _, rest = text.replace("-", " ").rpartition(" ") if re.search(r"\d[ \t-]+\d", text) else ("0", "", text)
    over, _, under = rest.partition("/")
    if int(under) == 0:
        raise ValueError(f"{text} divides by zero")
    return Fraction(whole.strip() or "0") + Fraction(int(over), int(under))


def measure(match: re.Match[str]) -> Fraction:
    """The millimetres of one match of MEASURE."""
    return amount(match[1]) * MILLIMETRES[match[2].lower()]


def in_millimetres(unit: Unit) -> float:
    """How long one job unit is."""
    return float(MILLIMETRES[unit])


def length(value: object, unit: Unit) -> float:
    """A length in mm from a number in `unit`, or a text with or without its own unit.

    ValueError says what is wrong and, in parentheses, what is allowed.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise ValueError(f"not a length ({_ALLOWED})")
    if isinstance(value, str):
        return _written(value, unit)
    try:
        found = float(value) * in_millimetres(unit)
    except OverflowError:
        raise ValueError("too large a number for a length") from None
    if not isfinite(found):
        raise ValueError("not a finite number")
    return found


def _written(value: str, unit: Unit) -> float:
    text = plain(value).strip()
    if not text or len(text) > _LONGEST:
        raise ValueError(
            f"{'an empty text' if not text else 'a text of over 60 characters'}, not a length ({_ALLOWED})"
        )
    sign = -1 if text[0] == "-" else 1
    body = text.lstrip("-+").strip() if text[0] in "-+" and text[1:2] not in "-+" else text
    found = _with_units(body)
    if found is None:
        found = _without_unit(body, unit)
    if found is None:
        comma = re.match(r"\d+,\d", body)
        hint = "write the decimal point as a point" if comma else _ALLOWED
        raise ValueError(f'"{text}" is not a length ({hint})')
    return sign * float(found)


def _with_units(body: str) -> Fraction | None:
    """One measure, or feet followed by inches."""
    first = MEASURE.match(body)
    if not first:
        return None
    rest = body[first.end() :].strip()
    if not rest:
        return measure(first)
    second = MEASURE.fullmatch(rest)
    if second and is_foot(first) and MILLIMETRES[second[2].lower()] == MILLIMETRES["in"]:
        return measure(first) + measure(second)
    return None


def is_foot(match: re.Match[str]) -> bool:
    """Whether a match of MEASURE is in feet."""
    return MILLIMETRES[match[2].lower()] == MILLIMETRES["ft"]


def _without_unit(body: str, unit: Unit) -> Fraction | None:
    found = _BARE_AMOUNT.match(body)
    if not found:
        return None
    if "-" in body:
        raise ValueError(two_ways(body))
    return amount(body) * MILLIMETRES[unit]


def two_ways(text: str) -> str:
    """What to say of `10-7/8` without a unit: a mixed number or a subtraction."""
    whole, _, rest = text.partition("-")
    return f'"{text}" reads two ways (write "{whole} {rest}" or "{whole} - {rest}")'


def shown(millimetres: float, unit: DimensionUnit) -> str:
    """A length for people: `18.25 mm` (3 decimals at most), `0.7087 in` (4) or `23/32 -0.010 in`."""
    if unit == "mm":
        return f"{_trimmed(millimetres, 3)} mm"
    if unit == "inch":
        return f"{_trimmed(millimetres / 25.4, 4)} in"
    return f"{ruled(millimetres)} in"


def shown_area(square_metres: float, unit: DimensionUnit) -> str:
    """An area for people: `1.25 m2`, or `13.46 ft2` where lengths are in inches (a foot is 0.3048 m, NIST SP 811)."""
    return f"{square_metres:.2f} m2" if unit == "mm" else f"{square_metres / 0.3048**2:.2f} ft2"


def ruled(millimetres: float) -> str:
    """The nearest 1/64 in, bare, and what the true length has over it in inches: `1/2`, `23 25/32 -0.002`."""
    nearest = as_fraction(millimetres).removesuffix(" in")
    error = fraction_error(millimetres) / 25.4
    return nearest if abs(error) < SHOWN_ERROR else f"{nearest} {error:+.3f}"


def _trimmed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def as_fraction(millimetres: float) -> str:
    """A length in inches to the nearest 1/64: `10 7/8 in`."""
    parts = round(abs(millimetres) / 25.4 * 64)
    whole, rest = divmod(parts, 64)
    sign = "-" if millimetres < 0 and parts else ""
    fraction = str(Fraction(rest, 64)) if rest else ""
    body = " ".join(piece for piece in (str(whole) if whole or not rest else "", fraction) if piece)
    return f"{sign}{body} in"


def fraction_error(millimetres: float) -> float:
    """How much longer than its nearest 1/64 in a length is, in mm: what `as_fraction` leaves unsaid."""
    sixty_fourth = 25.4 / 64
    return millimetres - round(millimetres / sixty_fourth) * sixty_fourth
