"""The test coupon: a job of its own, cut and proven like any other."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.job.examples import shipped_examples
from cncpanel.job.read import read_job
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make
from cncpanel.make.new_job import write_coupon


def coupon_of(tmp_path: Path, example: str, stock: str | None = None) -> Path:
    return write_coupon(shipped_examples()[example], stock, tmp_path / "coupon.toml")


def test_grooves_rise_by_a_tenth_from_the_thickest_reading(tmp_path: Path) -> None:
    read = read_job(coupon_of(tmp_path, "millrace"))
    widths = [groove.width for groove in read.job.panel[0].groove]
    assert [pytest.approx(read.job.stock[0].thickest + tenths / 10) for tenths in range(6)] == widths
    assert [f"{tenths / 10:.1f}" for tenths in range(6)] == [mark.text for mark in read.job.panel[0].mark]


@pytest.mark.parametrize(("example", "stock"), [("millrace", None), ("lit_sign", "acrylic 3"), ("loop_board", None)])
def test_a_coupon_of_every_kind_of_board_passes_its_proof(tmp_path: Path, example: str, stock: str | None) -> None:
    made = make(coupon_of(tmp_path, example, stock), Choice(), lambda text: None)
    assert made.passed
    assert 1 == len(made.layout.sheets)


INCHES = """\
[job]
name = "Inches"
units = "inch"
machine = "shop-router-inch"
[[stock]]
name = "mdf"
material = "mdf"
thickness = "3/4 in"
sheet = ["97 in", "49 in"]
count = 1
[[panel]]
name = "one"
stock = "mdf"
size = [4, 4]
"""


def test_a_coupon_in_inches_steps_by_four_thousandths(tmp_path: Path) -> None:
    (tmp_path / "plain.toml").write_text(INCHES, encoding="utf-8")
    job = read_job(write_coupon(tmp_path / "plain.toml", None, tmp_path / "coupon.toml")).job
    assert ["0.000", "0.004", "0.008"] == [mark.text for mark in job.panel[0].mark][:3]
    assert pytest.approx(0.754 * 25.4) == job.panel[0].groove[1].width


def test_what_the_coupon_of_an_inch_job_says_is_in_inches(tmp_path: Path) -> None:
    path = tmp_path / "inches.toml"
    path.write_text(INCHES, encoding="utf-8")
    note = read_job(write_coupon(path, None, tmp_path / "coupon.toml")).job.panel[0].note
    assert note.startswith("Groove marks tell the width over 0.75 in. Check of Z zero: 0.1181 in deep;")
    assert " mm" not in note


def test_a_coupon_of_a_board_with_scattered_readings_leaves_the_floor_that_the_job_asks_for(tmp_path: Path) -> None:
    path = tmp_path / "thin.toml"
    text = INCHES.replace('"3/4 in"', '"3 mm"\nmeasured = ["2.6 mm", "3.2 mm"]')
    path.write_text(text, encoding="utf-8")
    (panel, _) = read_job(write_coupon(path, None, tmp_path / "coupon.toml")).job.panel
    assert [recess.depth for recess in panel.recess] == pytest.approx([0.6, 0.6])  # 2 mm are left of 2.6


def test_a_coupon_is_cut_round_the_clamps_and_screws_of_its_job_as_they_stand(tmp_path: Path) -> None:
    held = """keep_out = [
    { kind = "clamp", at = [0, 20], size = [2, 2], height = "1 1/4 in", clear = 1 },
    { kind = "screw", at = [90, 20], size = [0.5, 0.5], height = "1/8 in" },
]
[[panel]]"""
    (tmp_path / "held.toml").write_text(INCHES.replace("[[panel]]", held), encoding="utf-8")
    known = read_job(tmp_path / "held.toml").job.stock[0].keep_out
    of_coupon = read_job(write_coupon(tmp_path / "held.toml", None, tmp_path / "coupon.toml")).job.stock[0].keep_out
    assert known[0].height == pytest.approx(31.75)
    for one, other in zip(known, of_coupon, strict=True):
        assert one.kind == other.kind
        assert (*one.at, *one.size) == pytest.approx((*other.at, *other.size), abs=1e-3)
        for key in ("height", "clear"):
            assert getattr(other, key) == pytest.approx(getattr(one, key), abs=1e-3), key


def test_an_unknown_stock_and_an_existing_file_are_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r'--stock: the job has no stock "mdf 81".*did you mean "mdf 18"'):
        coupon_of(tmp_path, "millrace", "mdf 81")
    coupon_of(tmp_path, "millrace")
    with pytest.raises(ProblemsFound, match="exists already and was left alone"):
        coupon_of(tmp_path, "millrace")


def test_a_machine_file_beside_the_job_is_found_from_the_coupon(tmp_path: Path) -> None:
    (tmp_path / "jobs").mkdir()
    (tmp_path / "coupons").mkdir()
    job = tmp_path / "jobs" / "own.toml"
    text = shipped_examples()["millrace"].read_text(encoding="utf-8").replace('"shop-router"', '"own-router.toml"')
    job.write_text(text, encoding="utf-8")
    coupon = write_coupon(job, None, tmp_path / "coupons" / "coupon.toml")
    assert "../jobs/own-router.toml" == read_job(coupon).job.job.machine
