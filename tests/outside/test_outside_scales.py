"""Scales and codes against what is published: ISO 5455, ISO/IEC 18004."""

from fractions import Fraction

from cncpanel.drawing.scale import STANDARD, scale_words
from cncpanel.output.pdf_qr import qr_modules


def test_scales_are_those_of_iso_5455() -> None:
    # ISO 5455:1979, clause 4, recommended scales: from memory of the standard's table.
    published = "50:1 20:1 10:1 5:1 2:1 1:1 1:2 1:5 1:10 1:20 1:50 1:100 1:200 1:500 1:1000 1:2000 1:5000 1:10000"
    assert published.split() == [scale_words(scale) for scale in STANDARD]
    assert sorted(STANDARD, reverse=True) == list(STANDARD)
    assert Fraction(1) in STANDARD


def test_a_code_has_the_size_and_finders_of_iso_18004() -> None:
    # ISO/IEC 18004: version n has 17 + 4 n modules a side; a finder is 7 x 7, a ring round a core of 3 x 3.
    # From memory of the standard.
    finder = ["1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"]
    for text in ("a", "panel01-side", "x" * 60):
        code = qr_modules(text)
        side = len(code)
        assert (side - 17) % 4 == 0
        for row, column in ((0, 0), (0, side - 7), (side - 7, 0)):
            corner = ["".join("01"[dark] for dark in line[column : column + 7]) for line in code[row : row + 7]]
            assert finder == corner
