"""Whatever the panels, a layout holds every part once, inside the margin, gap kept, the same each time."""

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st
from law_examples import examples
from layout_samples import plain_panel

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import Contour, circle, polygon
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import Face, Stock
from cncpanel.layout.judge import faults
from cncpanel.layout.place import lay_out
from cncpanel.panel.panel import Panel

BOARD = Stock(name="board", material="mdf", thickness=18, sheet=(1000, 600), count=9, margin=5)
SIDE = st.integers(30, 400).map(float)


def panel(index: int, outline: Contour, copies: int, mirrored: int, turn: str) -> Panel:
    face: Face = "show" if index % 2 else "back"
    return plain_panel(index, outline, stock=BOARD, copies=copies, mirrored=mirrored, turn=turn, face=face)


def wedge(width: float, height: float) -> Contour:
    return polygon([(0, 0), (width, 0), (width * 0.6, height), (width * 0.3, height * 0.4)])


OUTLINE = st.one_of(
    st.builds(lambda w, h: rectangle(0, 0, w, h), SIDE, SIDE),
    st.builds(lambda w, h: rectangle(0, 0, w, h, (5, 10, 0, 14)), SIDE, SIDE),
    st.builds(wedge, SIDE, SIDE),
    st.builds(lambda r: circle((r / 2, r / 2), r / 2), SIDE),
)
TURN = st.sampled_from(["any", "right-angles", "along", "across"])
SPEC = st.tuples(OUTLINE, st.integers(1, 2), st.integers(0, 1), TURN)


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(SPEC, min_size=1, max_size=7), st.sampled_from([3.0, 6.0, 12.5]))
def test_every_part_lies_once_inside_with_its_gap(specs: list[tuple], gap: float) -> None:
    panels = [panel(i, *spec) for i, spec in enumerate(specs)]
    gathering = Gathering()
    layout = lay_out(panels, gap, gathering)
    assert gathering.found == []
    assert faults(layout, {p.index: p for p in panels}) == ()
    placed = Counter((part.panel, part.mirrored_copy) for sheet in layout.sheets for part in sheet.parts)
    asked = Counter({(p.index, False): p.copies for p in panels})
    asked.update({(p.index, True): p.mirrored for p in panels})
    assert placed == +asked
    assert lay_out(panels, gap, Gathering()) == layout
