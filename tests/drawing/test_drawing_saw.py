"""Saw plans on paper: every cut numbered once, settings told when they change, bevels with tilt and long point."""

from pathlib import Path

import pytest
from saw_samples import job_text, planned, read

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.paper import Cautions, Label, Piece, Sentence, Stroke, Table, Together
from cncpanel.drawing.saw_map import SawView, cut_lines, saw_map
from cncpanel.drawing.saw_pages import SawPages, saw_pieces
from cncpanel.drawing.saw_tables import Scale, cut_table
from cncpanel.drawing.words import label_box
from cncpanel.layout.saw.plan import SawPlan
from cncpanel.units import DimensionUnit

SIZES = [(700.0, 300.0), (700.0, 300.0), (500.0, 300.0), (400.25, 180.0), (400.25, 110.0), (900.0, 60.0)]
BEVEL = '[[panel.edge]]\nside = "top"\nbevel_deg = 12\nbench = true'


def pieces(folder: Path, text: str, unit: DimensionUnit = "mm") -> list[Piece]:
    plan = planned(folder, text)
    found, panels = read(folder, text)
    by_index = {panel.index: panel for panel in panels}
    pages = SawPages(head=found.job.job, plan=plan, panels=by_index, told=Dimensioning(unit))
    return list(saw_pieces(pages, 180.0))


def tables(found: list[Piece]) -> list[Table]:
    return [
        one
        for piece in found
        for one in (piece.pieces if isinstance(piece, Together) else (piece,))
        if isinstance(one, Table)
    ]


def words(found: list[Piece]) -> str:
    said: list[str] = []
    for piece in found:
        if isinstance(piece, Cautions):
            said += piece.points
        if isinstance(piece, Sentence):
            said.append(piece.text)
    return " ".join(said)


@pytest.fixture
def plan(tmp_path: Path) -> SawPlan:
    return planned(tmp_path, job_text(SIZES))


def test_every_cut_has_its_number_on_the_drawing_once_and_no_two_numbers_meet(plan: SawPlan) -> None:
    sheet = plan.sheets[0]
    picture = saw_map(SawView.within(sheet, 3.2, 180.0, 110.0), Dimensioning("mm"))
    labels = [item for item in picture.items if isinstance(item, Label) and item.text.isdigit() and item.bold]
    assert [str(cut.number) for cut in sheet.cuts] == sorted((label.text for label in labels), key=int)
    boxes = [label_box(label) for label in labels]
    meeting = [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if meet(a, b)]
    assert [] == meeting


def meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def test_everything_drawn_lies_on_the_paper(plan: SawPlan) -> None:
    picture = saw_map(SawView.within(plan.sheets[0], 3.2, 180.0, 110.0), Dimensioning("mm"))
    assert picture.width <= 180.001
    for item in picture.items:
        points = item.points if isinstance(item, Stroke) else (label_box(item)[:2], label_box(item)[2:])
        assert all(0 <= x <= picture.width and 0 <= y <= picture.height for x, y in points)


def test_a_cuts_line_runs_through_the_middle_of_its_kerf(plan: SawPlan) -> None:
    sheet = plan.sheets[0]
    (_, first), *_ = cut_lines(sheet, 3.2)
    assert (sheet.length, sheet.cuts[0].setting + 1.6) == pytest.approx(first)


def test_the_table_tells_a_setting_once_and_marks_one_between_the_marks(plan: SawPlan) -> None:
    table = cut_table(plan.sheets[0], Dimensioning("mm"), Scale(0.5))
    settings = [row[3] for row in table.rows]
    assert [str(cut.number) for cut in plan.sheets[0].cuts] == [row[0] for row in table.rows]
    assert "400.25*" in settings
    told = [s for s in settings if not s.endswith("off")]
    assert plan.sheets[0].settings == sum(s != "as before" for s in told)
    parts = [part.label for part in plan.sheets[0].parts]
    assert sorted(parts) == sorted(name for row in table.rows for name in row[6].split(" and ") if name)


def test_inches_are_told_as_fractions_where_the_job_says_so(tmp_path: Path) -> None:
    found = tables(pieces(tmp_path, job_text([(609.6, 304.8)], 'trim = "1/4 in"'), "fraction"))
    settings = [row[3] for row in found[1].rows]
    assert ["12 1/4", "12", "1/4 off", "24"] == settings


def test_cautions_stand_on_the_first_page_and_beside_every_sheet(tmp_path: Path) -> None:
    said = words(pieces(tmp_path, job_text(SIZES)))
    for needed in ("Guard on", "riving knife", "at least 450 mm for the last 300 mm", "local safety rules come before"):
        assert needed in said
    assert 1 == said.count("A second person for the full sheet of about")


def test_a_bevel_tells_tilt_long_point_and_the_setting_at_the_table(tmp_path: Path) -> None:
    bevels = tables(pieces(tmp_path, job_text([(400.0, 138.0)], panel=BEVEL)))[-1]
    # by hand: 138 - 18 tan 12 deg = 138 - 3.826
    assert ("p0: top", "12", "138", "134.17", "fence", "show face down on the table, long point up") == bevels.rows[0]
