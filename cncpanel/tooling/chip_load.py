"""Chip load a tooth by material and diameter, as cutter makers print it.

Starting points for a depth of one diameter. There are two camps: industrial (A, B: rigid machine, vacuum,
5 to 10 kW) and light (C, E). Outputs say "cutter maker's table A"; the sources stand here only:

    A  cutter-shop.com, feeds and speeds chart
    B  asttooling.com, speeds and feeds charts, spiral solid carbide
    C  Amana Tool, solid-wood spiral plunge chart v5 and V-groove chart v2, 2 flutes, 18 000 rpm
    E  carpentryaccessories.com, metric table for MDF (a weak source)
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal

Column = Literal["industrial", "light"]
INCH = 25.4  # mm

PRINTED = {
    ("A", "mdf"): "1/8 .004-.007; 1/4 .013-.016; 3/8 .020-.023; 1/2 .025-.027",
    ("A", "plywood"): "1/8 .004-.006; 1/4 .011-.013; 3/8 .017-.020; 1/2 .021-.023",
    ("A", "hardwood"): "1/8 .003-.005; 1/4 .009-.011; 3/8 .015-.018; 1/2 0.19-.021",
    ("A", "acrylic"): "1/8 .003-.005; 1/4 .008-.010; 3/8 .010-.012; 1/2 .012-.015",
    ("B", "mdf"): "1/8 .004-.007; 1/4 .012-.015; 3/8 .017-.019; 1/2 .020-.025",
    ("B", "plywood"): "1/8 .003-.005; 1/4 .006-.009; 3/8 .015-.018; 1/2 .018-.021",
    ("B", "hardwood"): "1/8 .002-.004; 1/4 .005-.007; 3/8 .013-.015; 1/2 .017-.019",
    ("B", "softwood"): "1/8 .003-.005; 1/4 .006-.008; 3/8 .015-.017; 1/2 .019-.021",
    (
        "C",
        "wood",
    ): "1/8 .003-.005; 3/16 .004-.006; 1/4 .005-.007; 5/16 .005-.007; 3/8 .006-.008; 1/2 .007-.009",
    ("E", "mdf"): "3.175 mm 0.127-0.177; 4 mm 0.127-0.177; 6 mm 0.152-0.203",
}
"""Rows as printed: diameter, chip load from-to; inches unless mm is written. "mdf": "MDF / particleboard"."""

MISPRINTS = {("A", "hardwood", "1/2"): ("0.19", ".019")}
"""Known slips of the print and what they mean: other copies of the chart have .019."""

FORM_CUTTER = {"mdf": 0.0048 * INCH, "particleboard": 0.0048 * INCH}
"""Chip load of V-groove and other form cutters, mm, whatever their diameter: table C."""
FORM_CUTTER_ELSE = 0.0024 * INCH  # plywood, soft and hard wood; acrylic takes it too: common practice

_COLUMNS: dict[tuple[Column, str], tuple[tuple[str, str], ...]] = {
    ("industrial", "mdf"): (("A", "mdf"),),
    ("industrial", "particleboard"): (("A", "mdf"),),
    ("industrial", "plywood"): (("B", "plywood"),),
    ("industrial", "softwood"): (("B", "softwood"),),
    ("industrial", "hardwood"): (("B", "hardwood"),),
    ("industrial", "acrylic"): (("A", "acrylic"),),
    ("light", "mdf"): (("E", "mdf"), ("C", "wood")),  # E ends at 6 mm; C, for wood, goes on
    ("light", "particleboard"): (("E", "mdf"), ("C", "wood")),
    ("light", "plywood"): (("C", "wood"),),
    ("light", "softwood"): (("C", "wood"),),
    ("light", "hardwood"): (("C", "wood"),),
    ("light", "acrylic"): (("A", "acrylic"),),  # no light table lists acrylic
}

SAME_DIAMETER = 0.05  # mm; a tool this near to a row's diameter takes the row as printed
RUB = 0.4  # of the thinnest chip that the light tables list; below it a tooth rubs: common practice, no source


@dataclass(frozen=True, slots=True)
class Row:
    """One printed row, mm, of the table with this letter."""

    table: str
    diameter: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ChipLoad:
    """Chip a tooth from `low` to `high`, mm, and which table says so, in the words of an output."""

    low: float
    high: float
    label: str

    @property
    def middle(self) -> float:
        """Where to start."""
        return (self.low + self.high) / 2

    def scaled(self, factor: float, remark: str = "") -> "ChipLoad":
        """The same table with a derating or a thinning, and what the label says of it."""
        label = f"{self.label}, {remark}" if remark else self.label
        return ChipLoad(self.low * factor, self.high * factor, label)


@cache
def rows(table: str, column: str) -> tuple[Row, ...]:
    """A printed column, misprints mended. Raises ValueError where a range falls or diameters do not rise."""
    found = tuple(_row(table, column, text.strip()) for text in PRINTED[table, column].split(";"))
    if any(row.low > row.high for row in found) or list(found) != sorted(found, key=lambda row: row.diameter):
        raise ValueError(f"table {table}, {column}: a misprint that is not known")
    return found


def _row(table: str, column: str, text: str) -> Row:
    size, printed = text.rsplit(" ", 1)
    wrong, right = MISPRINTS.get((table, column, size), ("", ""))
    low, high = (printed.replace(wrong, right) if wrong else printed).split("-")
    if size.endswith("mm"):
        return Row(table, float(size.removesuffix("mm")), float(low), float(high))
    return Row(table, float(Fraction(size)) * INCH, float(low) * INCH, float(high) * INCH)


@cache
def chip_load(column: Column, material: str, diameter: float) -> ChipLoad:
    """The table's chip load for a tool of this diameter: linear between rows, never beyond the last row.

    Below the first row it shrinks with the diameter (common practice). KeyError: no such material.
    """
    found = _joined(column, material)
    first, last = found[0], found[-1]
    if diameter < first.diameter - SAME_DIAMETER:
        remark = f"scaled down from its smallest diameter, {first.diameter:.4g} mm"
        return _loaded(column, (first,), first.low, first.high, remark).scaled(diameter / first.diameter)
    if diameter > last.diameter + SAME_DIAMETER:
        remark = f"held at its largest diameter, {last.diameter:.4g} mm"
        return _loaded(column, (last,), last.low, last.high, remark)
    nearest = min(found, key=lambda row: abs(row.diameter - diameter))
    if abs(nearest.diameter - diameter) <= SAME_DIAMETER:
        return _loaded(column, (nearest,), nearest.low, nearest.high)
    return _between(column, found, diameter)


def _joined(column: Column, material: str) -> tuple[Row, ...]:
    """The rows of a material's tables one after the other; the next table only goes on upwards."""
    found: tuple[Row, ...] = ()
    for table, printed in _COLUMNS[column, material]:
        found += tuple(row for row in rows(table, printed) if not found or _goes_on(found[-1], row))
    return found


def _goes_on(last: Row, row: Row) -> bool:
    return row.diameter > last.diameter and row.low >= last.low and row.high >= last.high


def _between(column: Column, found: tuple[Row, ...], diameter: float) -> ChipLoad:
    above = next(index for index, row in enumerate(found) if row.diameter > diameter)
    left, right = found[above - 1], found[above]
    share = (diameter - left.diameter) / (right.diameter - left.diameter)
    low = left.low + share * (right.low - left.low)
    high = left.high + share * (right.high - left.high)
    return _loaded(column, (left, right), low, high, "interpolated")


def _loaded(column: Column, used: tuple[Row, ...], low: float, high: float, remark: str = "") -> ChipLoad:
    letters = list(dict.fromkeys(row.table for row in used))
    name = "cutter maker's table" if len(letters) == 1 else "cutter makers' tables"
    label = f"{name} {' and '.join(letters)} ({column})"
    return ChipLoad(low, high, f"{label}, {remark}" if remark else label)


def form_cutter_load(material: str) -> ChipLoad:
    """For v-bits and round-overs: one printed value, whatever the diameter."""
    value = FORM_CUTTER.get(material, FORM_CUTTER_ELSE)
    return ChipLoad(value, value, "cutter maker's table C, form cutters")


def least_chip(material: str, diameter: float) -> float:
    """mm; below it a tooth rubs instead of cutting."""
    return RUB * chip_load("light", material, diameter).low


def depth_derating(depth: float, diameter: float) -> float:
    """What of the table's chip load is left at this depth: 1 up to 1 x D, 0.75 at 2 x D, 0.5 at 3 x D.

    Source: tables B and C. Linear between is ours. Nobody goes beyond 3 x D: there 1.5 D / depth.
    """
    ratio = depth / diameter
    if ratio <= 1:
        return 1.0
    return 1.25 - ratio / 4 if ratio <= 3 else 1.5 / ratio
