"""An offer at a shop's rates: figures that add up, what has no price named, one page."""

from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.cabinet.quote import Line, Work, quote
from cncpanel.cabinet.rates import Rates
from cncpanel.cli import main
from cncpanel.errors import Gathering
from cncpanel.panel.resolve import resolve

RATES = Rates(machine_hour=60, bench_hour=40, margin=0.5, tax=0.2, glue_kg=10, finish_m2=20, minutes_panel=6)


@pytest.fixture(scope="module")
def lines(fixtures: Path) -> dict[str, Line]:
    whole = read_cabinet(fixtures / "cabinets" / "loop_board.toml")
    panels = resolve(whole.read, Gathering())
    sheets = {"birch 12": 1}
    work = Work(job=whole.read.job, panels=panels, sheets=sheets, machine_s=1800, assembly=whole.assembly)
    return {line.what: line for line in quote(work, RATES).lines}


def test_time_and_material_are_counted_as_by_hand(lines: dict[str, Line]) -> None:
    assert lines["machine"].amount == pytest.approx(30)
    assert lines["bench: parts"].quantity == pytest.approx(7 * 6 / 60)  # two sides, face, bottom, top, two rails
    assert lines["bench: rims by hand"].quantity == pytest.approx(
        3 / 60 * (2 * (0.44 + 0.36497) + 2 * (0.14 + 0.36 + 0.08) + 4 * 0.4158),
        abs=0.002,  # the face all round, the sides but for their fronts, two bevels and two rails' rips
    )
    face = 0.44 * 0.36497 + 2 * 0.36 * 0.11 + 0.4158 * (0.140 + 0.082 + 0.08) + 0.416 * 0.08
    assert lines["paint or film, show faces"].quantity == pytest.approx(face, abs=0.001)


def test_what_has_no_price_is_open_and_not_in_the_sum(lines: dict[str, Line]) -> None:
    assert lines["board: birch 12"].amount is None
    assert lines["cable grommet, 60"].amount is None


def test_sums() -> None:
    from cncpanel.cabinet.quote import Quote

    found = Quote(
        lines=(
            Line(what="a", quantity=2, unit="pieces", price=5),
            Line(what="b", quantity=3, unit="pieces", price=None),
        ),
        margin=0.5,
        tax=0.2,
    )
    assert (found.cost, found.net, found.total) == pytest.approx((10, 15, 18))
    assert [line.what for line in found.open_lines] == ["b"]


def test_the_offer_is_one_page_with_its_total(fixtures: Path, tmp_path: Path) -> None:
    cabinets, out = fixtures / "cabinets", tmp_path / "offer.pdf"
    arguments = ["quote", str(cabinets / "loop_board.toml"), "--rates", str(cabinets / "rates.toml"), "--out", str(out)]
    done = CliRunner().invoke(main, arguments)
    assert done.exit_code == 0, done.output
    pages = pypdf.PdfReader(out).pages
    assert len(pages) == 1
    text = pages[0].extract_text()
    total = done.stdout.strip().rsplit(": ", 1)[1].removesuffix(" EUR")
    assert total in text
    assert "440 wide, 152 deep, 362 high" in text
    assert "This offer holds for 30 days" in text


def test_wrong_rates_are_told_with_their_lines(fixtures: Path, tmp_path: Path) -> None:
    rates = tmp_path / "rates.toml"
    rates.write_text("[rates]\nmachine_hour = -3\nhourly = 2\n", encoding="utf-8")
    job = fixtures / "cabinets" / "loop_board.toml"
    told = CliRunner().invoke(main, ["quote", str(job), "--rates", str(rates), "--out", str(tmp_path / "offer.pdf")])
    assert told.exit_code == 2
    assert "rates.toml:2: rates.machine_hour: -3 is too small (at least 0)" in told.stderr
    assert "rates.toml:3: rates.hourly: unknown key" in told.stderr
    assert "rates.bench_hour: missing" in told.stderr


def test_money_stands_to_the_right_with_a_staples_price_in_full(fixtures: Path) -> None:
    from cncpanel.cabinet.quote import Quote
    from cncpanel.drawing.offer import offer
    from cncpanel.drawing.paper import Table
    from cncpanel.job.read import read_job

    found = Quote(
        lines=(
            Line(what="staples", quantity=48, unit="pieces", price=0.015),
            Line(what="screen", quantity=1, unit="pieces", price=None),
            Line(what="foot", quantity=4, unit="pieces", price=1.8),
        ),
        margin=0,
        tax=0,
    )
    job = read_job(fixtures / "jobs" / "control_deck.toml").job
    document = offer(job, found, RATES, "")
    tables = [piece for piece in document.pieces if isinstance(piece, Table)]
    assert [row[3:] for row in tables[0].rows] == [("0.015", "0.72"), ("open", "open"), ("1.80", "7.20")]
    assert tables[0].right == (3, 4)
