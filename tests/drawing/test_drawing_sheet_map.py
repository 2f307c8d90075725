"""The map shows a sheet as it lies on the machine, every name inside its part."""

import re
from dataclasses import replace

import pytest
from drawing_samples import MACHINES, sample
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.pdfmetrics import stringWidth

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.drawing.part_label import part_label
from cncpanel.drawing.setup import SetUp, setup_map, setup_view
from cncpanel.drawing.used_area import used_area
from cncpanel.drawing.view import View
from cncpanel.geometry.area import Area
from cncpanel.geometry.point import Point
from cncpanel.layout.layout import placement
from cncpanel.make.flow import Made
from cncpanel.make.paper_set import setup_of
from cncpanel.passes.run import Step
from cncpanel.sequence.frame import programmed
from cncpanel.sequence.program import Cut

CAPS = 0.72
NOTHING = Area.of(())


def setups(made: Made) -> list[SetUp]:
    return [setup_of(made, sheet) for sheet in made.sheets]


def words_box(label: Label) -> tuple[float, float, float, float]:
    """The box of a label as the type really sets it: capitals' height, descenders left out."""
    width = stringWidth(label.text, "Helvetica-Bold", label.size / CAPS)
    if label.turn_deg:
        return label.x - label.size, label.y - width / 2, label.x, label.y + width / 2
    return label.x - width / 2, label.y, label.x + width / 2, label.y + label.size


def part_labels(picture: Picture) -> dict[int, Label]:
    found = [item for item in picture.items if isinstance(item, Label) and item.bold]
    return {int(m[1]): label for label in found if (m := re.match(r"(\d+)(?: |$)", label.text))}


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


def test_every_part_has_a_label_inside_its_box(made: Made) -> None:
    for setup in setups(made):
        view = setup_view(setup, 180.0)
        labels = part_labels(setup_map(setup, view))
        assert len(setup.sheet.parts) == len(labels)
        for number, part in enumerate(setup.sheet.parts, start=1):
            panel = setup.plans[part.panel].panel
            corners = view.box(placement(panel, part).contour(panel.outline).bounds)
            left, low, right, high = words_box(labels[number])
            assert min(x for x, _ in corners) <= left
            assert right <= max(x for x, _ in corners)
            assert min(y for _, y in corners) <= low
            assert high <= max(y for _, y in corners)


def test_nothing_is_drawn_outside_the_picture(made: Made) -> None:
    for setup in setups(made):
        picture = setup_map(setup, setup_view(setup, 180.0))
        strokes = [item for item in picture.items if isinstance(item, Stroke)]
        assert all(0 <= x <= picture.width and 0 <= y <= picture.height for s in strokes for x, y in s.points)
        for label in (item for item in picture.items if isinstance(item, Label)):
            width = stringWidth(label.text, "Helvetica-Bold", label.size / CAPS)
            start = {"left": 0.0, "middle": width / 2, "right": width}[label.anchor]
            first, last = (label.y, label.turn_deg and picture.height) if label.turn_deg else (label.x, picture.width)
            assert first - start >= 0
            assert first - start + width <= last


def test_every_tab_is_drawn_and_is_long_enough_to_be_seen(made: Made) -> None:
    for setup in setups(made):
        picture = setup_map(setup, setup_view(setup, 180.0))
        bars = [s for s in picture.items if isinstance(s, Stroke) and s.width == 1.1]
        assert len(setup.runs.tabs) == len(bars) > 0
        assert all(Point(*bar.points[0]).distance(Point(*bar.points[1])) >= 0.999 for bar in bars)


def test_the_view_names_places_as_the_programs_do(made: Made) -> None:
    for setup in setups(made):
        view = setup_view(setup, 180.0)
        for run in setup.runs.runs:
            start = programmed(run, setup.sheet, setup.machine).start
            assert start == view.program(run.start)
            paper = view.at(run.start)
            assert paper == pytest.approx((8.0 + start.x * view.factor, 8.0 + start.y * view.factor))


def test_the_frame_on_the_map_is_the_frame_programs_way(made: Made) -> None:
    for sheet, setup in zip(made.sheets, setups(made), strict=True):
        assert sheet.trace is not None
        used = used_area(setup.runs.runs, setup.machine)
        assert used is not None
        view = setup_view(setup, 180.0)
        drawn = {view.program(corner) for corner in ((used.frame[0], used.frame[1]), (used.frame[2], used.frame[3]))}
        cuts = [block for block in sheet.trace.program.blocks if isinstance(block, Cut)]
        driven = (min(c.x for c in cuts), min(c.y for c in cuts), max(c.x for c in cuts), max(c.y for c in cuts))
        told = (min(p.x for p in drawn), min(p.y for p in drawn), max(p.x for p in drawn), max(p.y for p in drawn))
        assert told == pytest.approx(driven)


def test_a_turned_sheet_is_drawn_upright_with_its_zero_at_the_lower_left(made: Made) -> None:
    for setup in setups(made):
        picture = setup_map(setup, setup_view(setup, 180.0))
        assert setup.machine.sheet_turned == (picture.height > picture.width)
        assert sorted(
            item.text for item in picture.items if isinstance(item, Label) and item.text in ("X", "Y", "X0 Y0")
        ) == ["X", "X0 Y0", "Y"]


def test_clamps_keep_clear_of_the_nut_where_it_dips_below_them(made: Made) -> None:
    run = made.sheets[0].runs.runs[0]
    deep = replace(run, start=Point(100, 100), steps=(Step(100.0, 100.0, -10.0, 500.0),))
    machine = made.machine.model_copy(update={"table": made.machine.table.model_copy(update={"clamp_height": 15.0})})
    short, long = (
        replace(deep, tool=run.tool.model_copy(update={"stick_out": out, "nut_diameter": 40.0})) for out in (24, 26)
    )
    for cutter, reach in ((short, 20.0), (long, run.tool.radius)):
        used = used_area([cutter], machine)
        assert used is not None
        assert used.frame == (100.0, 100.0, 100.0, 100.0)
        assert 100.0 + run.tool.radius == used.cut[2]
        assert 100.0 + reach + 5.0 == used.clear[2]


NAMES = st.text(alphabet="abcmwWMil ijÄ.-/01", min_size=1, max_size=40)


@given(NAMES, st.floats(0.2, 80), st.floats(0.2, 80), st.integers(1, 200))
def test_a_label_lies_inside_its_part_however_small(name: str, width: float, height: float, number: int) -> None:
    label = part_label(number, name, Area.box((5, 5, 5 + width, 5 + height)), NOTHING, NOTHING)[-1]
    assert isinstance(label, Label)
    left, low, right, high = words_box(label)
    slack = 1e-9
    assert left >= 5 - slack
    assert low >= 5 - slack
    assert right <= 5 + width + slack
    assert high <= 5 + height + slack
    assert label.text in (str(number), f"{number} {name}")


@given(st.text(alphabet=st.characters(min_codepoint=32, max_codepoint=255, exclude_categories=["Cc"])))
def test_words_are_never_taken_for_narrower_than_they_are_set(text: str) -> None:
    # Outside: the standard Helvetica-Bold metrics (Adobe core font AFM) as reportlab carries them.
    assert text_width(text, 3.0) >= stringWidth(text, "Helvetica-Bold", 3.0 / CAPS) - 1e-9


def test_a_name_that_does_not_fit_gives_way_to_its_number() -> None:
    (label,) = part_label(7, "a very long name indeed", Area.box((0, 0, 9, 6)), NOTHING, NOTHING)[-1:]
    assert isinstance(label, Label)
    assert label.text == "7"


def test_a_label_keeps_off_an_opening_where_there_is_room() -> None:
    opening = Area.box((10, 5, 50, 25))
    found = part_label(1, "door", Area.box((0, 0, 60, 40)), opening, opening)
    assert len(found) == 1
    assert isinstance(found[0], Label)
    assert Area.box(words_box(found[0])).overlap(opening) == pytest.approx(0.0)


def test_the_view_fits_both_ways(made: Made) -> None:
    for setup in setups(made):
        width, height = View.within(setup.sheet, turned=not setup.machine.sheet_turned, width=150, height=90).size
        assert (width, height) == pytest.approx((150, height)) or (width, height) == pytest.approx((width, 90))
        assert width <= 150 + 1e-9
        assert height <= 90 + 1e-9
