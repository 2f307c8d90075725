"""What a sheet leaves: the largest rectangles, clear of parts, of cut-away places and of one another."""

from dataclasses import replace
from itertools import combinations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from law_examples import examples
from layout_samples import BOARD, plain_panel

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, flat
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.layout.leftover import Box, leftovers
from cncpanel.layout.place import lay_out
from cncpanel.layout.side import Side

PANEL = plain_panel(0, rectangle(0, 0, 1000, 600))


def sheet(*corners: tuple[float, float], **changes: object) -> Sheet:
    parts = tuple(
        Part(panel=0, name="p0", copy=n, mirrored_copy=False, x=x, y=y, angle_deg=0) for n, (x, y) in enumerate(corners)
    )
    return Sheet(number=1, stock=BOARD.model_copy(update=changes), parts=parts)


def left(found: Sheet, least: tuple[float, float] = (400, 250)) -> tuple[Box, ...]:
    return leftovers(found, {0: PANEL}, 8, least, {})


def test_an_empty_sheet_is_one_piece() -> None:
    assert left(sheet()) == ((0, 0, 2440, 1220),)


def test_beside_a_part_the_gap_is_left_and_between_two_pieces_a_saws_cut() -> None:
    assert left(sheet((10, 10))) == ((1018, 0, 2440, 1220), (0, 618, 1014, 1220))


def test_a_smaller_piece_than_asked_is_not_kept() -> None:
    assert left(sheet((10, 10)), (1300, 700)) == ((1018, 0, 2440, 1220),)
    assert left(sheet((10, 10)), (2000, 1300)) == ()


def test_a_clamp_leaves_no_trace_but_a_screw_and_a_defect_do() -> None:
    for kind, count in (("clamp", 1), ("screw", 2), ("used", 2), ("defect", 2)):
        keep = KeepOut(kind=kind, at=(1200, 0), size=(40, 1220))
        assert len(left(sheet(keep_out=(keep,)))) == count


def test_a_dowel_s_hole_lies_in_no_piece() -> None:
    dowels = (Point(400, 610), Point(2240, 610))
    side = Side(number=2, axis="x", by="dowels", dowel=8, dowels=dowels)
    found = left(replace(sheet(), side=side))
    assert found == ((404, 0, 2236, 1220), (0, 0, 396, 1220))
    assert all(shapely.box(*box).distance(shapely.Point(dowel)) >= 4 for box in found for dowel in dowels)


def test_the_waste_of_an_opening_that_stays_whole_is_a_piece() -> None:
    slug = rectangle(150, 100, 700, 400)
    found = leftovers(sheet((10, 10)), {0: PANEL}, 8, (500, 300), {0: (slug,)})
    assert found[-1] == (168, 118, 852, 502)


SMALL = BOARD.model_copy(update={"sheet": (1000, 600)})
SIDE = st.integers(60, 400).map(float)
OUTLINE = st.one_of(
    st.builds(lambda w, h: rectangle(0, 0, w, h), SIDE, SIDE), st.builds(lambda r: circle((r / 2, r / 2), r / 2), SIDE)
)


@settings(max_examples=examples(25))
@given(st.lists(OUTLINE, min_size=1, max_size=6), st.sampled_from([0.0, 6.0, 11.0]))
def test_parts_pieces_and_the_rest_are_the_board_and_none_overlap(outlines: list, gap: float) -> None:
    panels = {i: plain_panel(i, outline, stock=SMALL) for i, outline in enumerate(outlines)}
    for laid in lay_out(list(panels.values()), gap, Gathering()).sheets:
        parts = [flat(Region(placement(panels[p.panel], p).contour(panels[p.panel].outline))) for p in laid.parts]
        boxes = [shapely.box(*box) for box in leftovers(laid, panels, gap, (300, 150), {})]
        board = shapely.box(0, 0, laid.length, laid.width)
        assert all(board.covers(box) for box in boxes)
        assert all(min(box.distance(part) for part in parts) >= gap - 0.01 for box in boxes)
        assert all(a.distance(b) >= 3.99 for a, b in combinations(boxes, 2))
        rest = board.difference(shapely.union_all([*parts, *boxes])).area
        total = sum(shape.area for shape in [*parts, *boxes]) + rest
        assert abs(total - board.area) < 1.0  # chords of discs
