"""A new job: the starter, or an example with its drawings."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job.examples import shipped_examples
from cncpanel.job.read import read_job
from cncpanel.make.new_job import write_new


@pytest.mark.parametrize("name", shipped_examples())
def test_every_example_is_copied_with_its_drawings_and_reads(tmp_path: Path, name: str) -> None:
    job = tmp_path / "own.toml"
    assert job in write_new(job, name)
    assert read_job(shipped_examples()[name]).job == read_job(job).job


def test_an_unknown_example_is_told_with_those_that_there_are(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"did you mean millrace\?.*lit_sign"):
        write_new(tmp_path / "own.toml", "milrace")
    assert [] == list(tmp_path.iterdir())


def test_a_drawing_that_lies_in_the_way_stops_the_copy_whole(tmp_path: Path) -> None:
    (tmp_path / "trail_plaque_outline.dxf").write_text("another drawing")
    with pytest.raises(ProblemsFound, match="exists already and was left alone"):
        write_new(tmp_path / "own.toml", "trail_plaque")
    assert ["trail_plaque_outline.dxf"] == [path.name for path in tmp_path.iterdir()]


def test_a_second_job_shares_the_drawing_that_the_first_brought(tmp_path: Path) -> None:
    write_new(tmp_path / "own.toml", "trail_plaque")
    assert (tmp_path / "other.toml",) == write_new(tmp_path / "other.toml", "trail_plaque")
