"""Units and formulas against published figures."""

from math import isclose
from pathlib import Path

import pytest

from cncpanel.errors.lines import lines_of
from cncpanel.errors.toml import read_toml
from cncpanel.job.formula import parse
from cncpanel.units import MILLIMETRES, as_fraction, length

# NIST Special Publication 811 (2008), appendix B.8: inch to metre 2.54 E-02 exactly, foot to metre 3.048 E-01 exactly.
NIST_METRES = {"inch": 0.0254, "foot": 0.3048}


@pytest.mark.parametrize("unit", NIST_METRES)
def test_units_are_nists_exact_ones(unit: str) -> None:
    assert float(MILLIMETRES[unit]) == NIST_METRES[unit] * 1000


# The usual chart of fractions, decimals and millimetres (machinists' handbooks, from memory; exact by 25.4 / 64).
CHART = {"1/64": 0.396875, "1/16": 1.5875, "3/32": 2.38125, "1/8": 3.175, "23/32": 18.25625, "7/8": 22.225}


@pytest.mark.parametrize("fraction", CHART)
def test_fractions_of_an_inch_are_the_charts(fraction: str) -> None:
    assert length(f"{fraction} in", "mm") == CHART[fraction]
    assert as_fraction(CHART[fraction]) == f"{fraction} in"


# Exact values of the sine and tangent (any trigonometry; from memory).
EXACT = {"sin(18)": (5**0.5 - 1) / 4, "cos(36)": (5**0.5 + 1) / 4, "tan(15)": 2 - 3**0.5, "sin(45) * sin(45)": 0.5}


@pytest.mark.parametrize("formula", EXACT)
def test_angles_are_degrees(formula: str) -> None:
    assert isclose(parse(formula, "mm").value({}).value, EXACT[formula], rel_tol=1e-14)


# TOML v1.0.0 (toml.io, 2021-01-11), the examples of its sections on keys, strings, arrays and tables, put in one file.
TOML_EXAMPLES = """\
# This is a full-line comment
key = "value"  # This is a comment at the end of a line
another = "# This is not a comment"
physical.color = "orange"
site."google.com" = true
str1 = \"\"\"
Roses are red
Violets are blue\"\"\"
str5 = \"\"\"Here are three quotation marks: ""\\".\"\"\"
str7 = \"\"\""This," she said, "is just a pointless statement.\"\"\"\"
winpath  = 'C:\\Users\\nodejs\\templates'
quot15 = '''Here are fifteen quotation marks: \"\"\"\"\"\"\"\"\"\"\"\"\"\"\"'''
odt4 = 1979-05-27 07:32:00Z
integers2 = [
  1, 2, 3
]
integers3 = [
  1,
  2, # this is ok
]
name = { first = "Tom", last = "Preston-Werner" }
animal = { type.name = "pug" }

[dog."tater.man"]
type.name = "pug"

[[fruits]]
name = "apple"

[fruits.physical]  # subtable
color = "red"

[[fruits.varieties]]  # nested array of tables
name = "red delicious"

[[fruits.varieties]]
name = "granny smith"

[[fruits]]
name = "banana"

[[fruits.varieties]]
name = "plantain"
"""


def test_the_toml_specifications_examples_have_their_lines(tmp_path: Path) -> None:
    path = tmp_path / "examples.toml"
    path.write_text(TOML_EXAMPLES, encoding="utf-8")
    file = read_toml(path)
    written = TOML_EXAMPLES.splitlines()
    for key_path, start in {
        ("another",): "another",
        ("site", "google.com"): "site.",
        ("str5",): "str5",
        ("str7",): "str7",
        ("winpath",): "winpath",
        ("quot15",): "quot15",
        ("odt4",): "odt4",
        ("integers2", 1): "  1, 2, 3",
        ("integers3", 1): "  2, #",
        ("animal", "type", "name"): "animal",
        ("dog", "tater.man", "type", "name"): "type.name",
        ("fruits", 0, "physical", "color"): 'color = "red"',
        ("fruits", 0, "varieties", 1, "name"): 'name = "granny',
        ("fruits", 1, "varieties", 0, "name"): 'name = "plantain',
    }.items():
        assert file.value(key_path) is not None
        assert written[file.place(key_path).line - 1].startswith(start)
    assert set(lines_of(TOML_EXAMPLES)) >= {("fruits", 0), ("fruits", 1)}
