"""A sound cabinet passes every check with its numbers; a planted misfit fails and is named."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from misfits import Bench, Misfit, millrace_misfits

from cncpanel.cabinet.fit import fit_findings
from cncpanel.cabinet.scene import scene
from cncpanel.cli import main

MISFITS = tuple(millrace_misfits())
SOME = MISFITS[::8]


@pytest.fixture(scope="module")
def bench(fixtures: Path) -> Bench:
    return Bench(fixtures / "cabinets" / "millrace.toml")


def test_millrace_passes_every_check_with_its_numbers(bench: Bench) -> None:
    found = fit_findings(scene(bench.whole, bench.panels))
    told = [str(finding) for finding in found]
    assert [line for line in told if not line.startswith("ok")] == []
    assert any("left 3.00, right 3.00, below 3.00, above 3.00" in line for line in told)
    assert any("18891 mm2 let air in, 1.79 times the fans' 10568 mm2" in line for line in told)
    assert any("by 10.00" in line for line in told)


def test_there_are_a_hundred_misfits() -> None:
    assert len(MISFITS) >= 100
    assert len({misfit.name for misfit in MISFITS}) == len(MISFITS)


@pytest.mark.parametrize("misfit", SOME, ids=lambda misfit: misfit.name)
def test_a_planted_misfit_fails_and_is_named(bench: Bench, misfit: Misfit) -> None:
    assert any(misfit.named in finding.text for finding in bench.fails(misfit))


@pytest.mark.slow
def test_every_planted_misfit_fails_and_is_named(bench: Bench) -> None:
    missed = [m.name for m in MISFITS if not any(m.named in finding.text for finding in bench.fails(m))]
    assert missed == []


def test_make_refuses_what_does_not_fit_and_says_what_to_change(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(text.replace('size = ["400 - 6", "110 - 6"]', 'size = ["400 - 5", "110 - 6"]'), encoding="utf-8")
    made = CliRunner().invoke(main, ["make", str(wrong), "--out", str(tmp_path / "out")])
    assert made.exit_code == 2
    assert "does not fit: " in made.stderr
    assert 'right 2.00, below 3.00, above 3.00 instead of 3 all round: change "drawer front"' in made.stderr
    assert not (tmp_path / "out").exists()


def test_fit_tells_a_line_a_check_and_ends_with_1_where_one_fails(fixtures: Path, tmp_path: Path) -> None:
    sound = fixtures / "cabinets" / "millrace.toml"
    good = CliRunner().invoke(main, ["fit", str(sound)])
    assert (good.exit_code, good.stdout.splitlines()[-1]) == (0, "it fits")
    text = sound.read_text(encoding="utf-8").replace("round = 6\nair", "round = 6\nstaple = 60\nair")
    (tmp_path / "long.toml").write_text(text, encoding="utf-8")
    bad = CliRunner().invoke(main, ["fit", str(tmp_path / "long.toml"), "--quiet"])
    assert bad.exit_code == 1
    assert '60 long through "lower front" (17.9) and its cleat (40) comes out: at most 57.4' in bad.stdout


def test_fit_of_a_job_without_a_cabinet_says_so(fixtures: Path) -> None:
    told = CliRunner().invoke(main, ["fit", str(fixtures / "jobs" / "loop_board.toml")])
    assert told.exit_code == 2
    assert "loop_board.toml: has no [cabinet], so nothing says where its panels stand" in told.stderr


def test_a_panel_that_faces_one_way_touches_what_it_is_to_meet(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    short = tmp_path / "short.toml"
    short.write_text(text.replace("size = [380, 150]", "size = [377.5, 150]"), encoding="utf-8")
    told = CliRunner().invoke(main, ["fit", str(short), "--quiet"])
    assert told.exit_code == 1
    for copy in ("drawer carrier", "drawer carrier (other side)"):
        assert (
            f'"{copy}" is 2.50 mm short of "lower front", which it is to meet: make "drawer carrier" 2.50'
            in told.stdout
        )
    short.write_text(text.replace('meets = ["drawer carrier"]', 'meets = ["drawer carier"]'), encoding="utf-8")
    told = CliRunner().invoke(main, ["fit", str(short)])
    assert told.exit_code == 2
    assert '"drawer carier" is not a panel that it can meet (did you mean "drawer carrier"?)' in told.stderr


OVERLAY = """
[[panel]]
name = "overlay"
stock = "mdf 18"
size = [200, 100]
hole = [{ centre = [100, 50], diameter = HOLE }]

[panel.position]
facing = "up"
at = [100, 200, 700]

[[panel]]
name = "mount"
stock = "mdf 18"
size = [200, 100]
fitting = [{ part = "button 24", at = [[100, 50]], drawn = true }]
hole = [{ centre = [100, 50], diameter = 24 }]

[panel.position]
facing = "up"
at = [100, 200, 718]
"""


@pytest.mark.parametrize(("hole", "fits"), [("36", True), ("30", False)])
def test_a_body_goes_through_a_small_hole_of_another_panel_or_lies_in_it(
    fixtures: Path, tmp_path: Path, hole: str, fits: bool
) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    path = tmp_path / "layers.toml"
    path.write_text(text + OVERLAY.replace("HOLE", hole), encoding="utf-8")
    told = CliRunner().invoke(main, ["fit", str(path), "--quiet"])
    assert ("button 24 at (100, 50) on mount" not in told.stdout) == fits


def test_a_room_lower_than_the_cabinet_is_no_place_for_it(fixtures: Path, tmp_path: Path) -> None:
    text = (fixtures / "cabinets" / "millrace.toml").read_text(encoding="utf-8")
    path = tmp_path / "low.toml"
    path.write_text(text.replace("ceiling = 2400", "ceiling = 1600"), encoding="utf-8")
    told = CliRunner().invoke(main, ["fit", str(path), "--quiet"])
    assert "1630 high under a ceiling at 1600: make it 30 lower" in told.stdout
    assert told.exit_code == 1
