"""The drawing's unit: said by the job, believed of the header only where the size makes sense, never guessed."""

from pathlib import Path

import pytest
from dxf_drawn import box, drawn


def sized(folder: Path, width: float, height: float, **options: object):
    return drawn(folder, lambda s: box(s, 0, 0, width, height), **options)


@pytest.mark.parametrize(
    ("code", "millimetres"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (10, 914.4), (14, 100)]
)
def test_a_plausible_header_is_believed(tmp_path: Path, code: int, millimetres: float) -> None:
    outcome = sized(tmp_path, 600 / millimetres, 400 / millimetres, units=code)
    assert outcome.only.outer.area == pytest.approx(240_000)
    assert outcome.warnings == []


def test_a_missing_unit_is_asked_for_with_the_sizes_it_would_give(tmp_path: Path) -> None:
    assert sized(tmp_path, 160, 90, units=0).problems == [
        "the file does not say its unit (say unit in the job: "
        "as mm 160 x 90 mm, as cm 1600 x 900 mm, as inch 4064 x 2286 mm)"
    ]


def test_a_file_without_a_header_has_no_unit(tmp_path: Path) -> None:
    """R12 files hold no $INSUNITS; a parser's own default must not stand in for it."""
    outcome = drawn(tmp_path, lambda s: s.add_circle((0, 0), 50), version="R12")
    assert outcome.problems[0].startswith("the file does not say its unit")


def test_the_jobs_word_settles_a_missing_unit_without_a_warning(tmp_path: Path) -> None:
    outcome = sized(tmp_path, 20, 10, units=0, unit="inch")
    assert outcome.only.outer.area == pytest.approx(200 * 25.4**2)
    assert outcome.warnings == []


def test_an_absurd_header_is_a_problem(tmp_path: Path) -> None:
    assert sized(tmp_path, 580, 400, units=1).problems == [
        "its header says inch, so it is 14732 x 10160 mm (say unit in the job: "
        "as mm 580 x 400 mm, as cm 5800 x 4000 mm, as inch 14732 x 10160 mm)"
    ]


def test_the_jobs_word_beats_an_absurd_header_with_a_warning(tmp_path: Path) -> None:
    outcome = sized(tmp_path, 580, 400, units=1, unit="mm")
    assert outcome.only.outer.area == pytest.approx(232_000)
    assert outcome.warnings == ["its header says inch, the job says mm: taken as mm, 580 x 400 mm"]


def test_an_odd_size_in_the_jobs_own_unit_is_a_warning(tmp_path: Path) -> None:
    outcome = sized(tmp_path, 6.4, 5, units=0, unit="mm")
    assert outcome.only.outer.area == pytest.approx(32)
    assert outcome.warnings[0].startswith("in mm the drawing is 6.4 x 5 mm (as mm")


def test_past_all_reason_even_the_jobs_word_is_refused(tmp_path: Path) -> None:
    assert sized(tmp_path, 5e5, 10, unit="mm").problems[0].startswith("in mm the drawing is 500000 x 10 mm")


def test_an_unknown_word_for_a_unit_is_answered_with_the_known(tmp_path: Path) -> None:
    outcome = sized(tmp_path, 50, 50, unit="cubit")
    assert outcome.problems == ["unit 'cubit' is not known (one of mm, cm, m, inch, foot)"]
