"""Every kind of mistake has a file in fixtures/invalid, and beside it the whole message that it must give."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job.read import read_job

FOLDER = Path(__file__).parents[2] / "fixtures" / "invalid"
CASES = sorted(path for path in FOLDER.glob("*.toml") if path.with_suffix(".expected").exists())


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_a_wrong_job_is_refused_with_this_message(path: Path) -> None:
    with pytest.raises(ProblemsFound) as raised:
        read_job(path)

    expected = path.with_suffix(".expected").read_text(encoding="utf-8")
    assert expected == f"{raised.value}\n".replace(str(FOLDER), "{folder}")


def test_the_fixtures_hold_many_kinds_of_mistakes() -> None:
    assert len(CASES) >= 50


def test_every_mistake_stands_on_a_line_of_its_file() -> None:
    for path in CASES:
        lines = path.read_bytes().count(b"\n") + 1
        with pytest.raises(ProblemsFound) as raised:
            read_job(path)
        assert all(0 <= problem.place.line <= lines for problem in raised.value.problems)
