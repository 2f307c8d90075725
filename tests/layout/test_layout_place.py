"""Parts on sheets: sizes and prices, keep-outs, turns, the budget, what cannot be beaten."""

from dataclasses import replace
from math import cos, radians, sin
from random import Random

import pytest
import shapely
from layout_samples import BOARD, SIDE, plain_panel

from cncpanel.errors import Gathering
from cncpanel.geometry.contour import circle, polygon
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import KeepOut, SheetSize, Stock
from cncpanel.layout.budget import Budget
from cncpanel.layout.fit import grown
from cncpanel.layout.judge import faults
from cncpanel.layout.layout import Layout, Part, Sheet, placement
from cncpanel.layout.place import lay_out
from cncpanel.panel.panel import Panel


def laid(panels: list[Panel], gap: float = 8.0, steps: int = 0, seed: int = 1) -> Layout:
    gathering = Gathering()
    layout = lay_out(panels, gap, gathering, Budget(steps=steps, seed=seed))
    assert gathering.found == []
    assert faults(layout, {panel.index: panel for panel in panels}) == ()
    return layout


def stock(**changed: object) -> Stock:
    return BOARD.model_copy(update=changed)


def pair(shift: float, gap: float) -> Layout:
    """A side and its mirror image, their fronts facing, the second shifted by `shift`."""
    left = Part(panel=0, name="p0", copy=1, mirrored_copy=False, x=10, y=10, angle_deg=90)
    right = Part(panel=0, name="p0", copy=1, mirrored_copy=True, x=10 + shift, y=590, angle_deg=90)
    return Layout(sheets=(Sheet(number=1, stock=BOARD, parts=(left, right)),), gap=gap)


def test_two_mirrored_sides_clash_unshifted_and_fit_shifted() -> None:
    side = plain_panel(0, SIDE, mirrored=1)
    by_index = {0: side}
    assert faults(pair(0, 8), by_index) == ("sheet 1: p0 and p0 mirrored are 0.000 mm apart, not 8",)
    assert faults(pair(125, 8), by_index) == ()
    layout = laid([side])
    assert len(layout.sheets) == 1
    assert max(part.x for part in layout.sheets[0].parts) > 10
    used = max(part.x + 1600 for part in layout.sheets[0].parts)
    assert used < 10 + 1600 + 200  # the two lie interlocked, shifted by less than 200


def test_the_quick_layout_stands_where_area_says_that_none_is_better() -> None:
    layout = laid([plain_panel(0, rectangle(0, 0, 600, 500), copies=6)], steps=50)
    assert (layout.packed[0].sheets, layout.packed[0].is_best, layout.steps) == (1, True, 0)


def test_parts_of_which_no_two_share_a_sheet_prove_their_number() -> None:
    layout = laid([plain_panel(0, rectangle(0, 0, 1500, 700), copies=3)], steps=50)
    bound = layout.packed[0].bound
    assert (bound.area_sheets, bound.sheets, len(layout.sheets)) == (2, 3, 3)
    assert bound.reason == "3 parts of which no two can share a sheet"


def test_a_cheaper_sheet_is_taken_while_it_is_there() -> None:
    offcut = SheetSize(sheet=(1200, 600), count=1, price=5)
    board = stock(price=40.0, size=(offcut,))
    one = laid([plain_panel(0, rectangle(0, 0, 900, 500), stock=board)])
    two = laid([plain_panel(0, rectangle(0, 0, 900, 500), stock=board, copies=2)])
    assert [sheet.stock.sheet for sheet in one.sheets] == [(1200, 600)]
    assert [sheet.stock.sheet for sheet in two.sheets] == [(2440, 1220)]
    assert (one.packed[0].cost, two.packed[0].cost) == (5, 40)


def test_nothing_lies_on_a_keep_out_nor_within_the_gap_of_a_clamp() -> None:
    clamp = KeepOut(kind="clamp", at=(600, 400), size=(80, 60))
    board = stock(keep_out=(clamp,))
    layout = laid([plain_panel(0, rectangle(0, 0, 500, 360), stock=board, copies=6)])
    part = replace(layout.sheets[0].parts[0], x=100, y=32, angle_deg=0)
    near = replace(layout, sheets=(replace(layout.sheets[0], parts=(part,)),))
    panels = {0: plain_panel(0, rectangle(0, 0, 500, 360), stock=board)}
    assert faults(near, panels) == ()
    nearer = replace(part, x=95, y=35)
    nearer_layout = replace(layout, sheets=(replace(layout.sheets[0], parts=(nearer,)),))
    assert faults(nearer_layout, panels) == ("sheet 1: p0 is 7.071 mm from a keep-out (clamp), not 8",)


def test_a_list_of_degrees_is_kept_to() -> None:
    layout = laid([plain_panel(0, rectangle(0, 0, 2500, 60), turn=(0, 22, 90))])
    assert [part.angle_deg for part in layout.sheets[0].parts] == [22]


def test_a_panel_that_fits_only_a_size_that_ran_out_is_a_mistake() -> None:
    board = stock(sheet=(800, 600), size=(SheetSize(sheet=(2000, 600), count=1),))
    gathering = Gathering()
    lay_out([plain_panel(0, rectangle(0, 0, 1500, 300), stock=board, copies=3)], 8, gathering)
    assert [str(found) for found in gathering.found] == [
        "job.toml:1: panel[0]: panel p0: there is no sheet left that it fits, keep-outs and all "
        "(more sheets of a size that holds it, or other keep-outs)"
    ]


def crowded() -> list[Panel]:
    """Shapes that the quick layout puts on one sheet more than is needed."""
    small = stock(sheet=(600, 400), margin=5)
    return [
        plain_panel(0, rectangle(0, 0, 290, 190), stock=small, copies=3),
        plain_panel(1, circle((95, 95), 95), stock=small, copies=3),
        plain_panel(2, rectangle(0, 0, 140, 190), stock=small, copies=4),
    ]


def test_the_same_seed_and_steps_give_the_same_layout() -> None:
    assert laid(crowded(), gap=5, steps=6) == laid(crowded(), gap=5, steps=6)


def test_a_search_never_makes_it_worse_and_takes_no_more_steps_than_it_may() -> None:
    quick, searched = laid(crowded(), gap=5), laid(crowded(), gap=5, steps=6)
    assert len(searched.sheets) <= len(quick.sheets)
    assert searched.steps <= 6


@pytest.mark.parametrize("missing", ["dropped", "doubled"])
def test_the_judge_counts_the_parts(missing: str) -> None:
    panel = plain_panel(0, rectangle(0, 0, 300, 200), copies=2)
    layout = laid([panel])
    sheet = layout.sheets[0]
    parts = sheet.parts[:1] if missing == "dropped" else (*sheet.parts, replace(sheet.parts[0], x=1500))
    told = faults(replace(layout, sheets=(replace(sheet, parts=parts),)), {0: panel})
    assert told == (f"p0: {len(parts)} copies are placed, not 2",)


def test_a_last_sheet_emptied_in_part_leaves_a_larger_rest() -> None:
    random = Random(8)
    panels = []
    for index in range(8):
        wide, tall = random.randint(400, 1000), random.randint(300, 700)
        wedge = polygon([(0, 0), (wide, 0), (0.2 * wide, tall)])
        panels.append(plain_panel(index, wedge if index % 3 == 0 else rectangle(0, 0, 0.6 * wide, tall), copies=2))
    quick, searched = laid(panels), laid(panels, steps=4)
    assert (len(quick.sheets), len(searched.sheets)) == (2, 2)
    assert rest(searched, panels) > rest(quick, panels) + 200
    assert laid(panels, steps=4) == searched


def rest(layout: Layout, panels: list[Panel]) -> float:
    """mm of the emptiest sheet's length beyond its parts."""
    ends = (
        max(placement(panels[p.panel], p).contour(panels[p.panel].outline).bounds[2] for p in sheet.parts)
        for sheet in layout.sheets
    )
    return BOARD.sheet[0] - min(ends)


@pytest.mark.parametrize("gap", [0.0, 3.0, 8.0])
@pytest.mark.parametrize("corner_deg", [8, 20, 45, 83, 90, 120])
def test_what_keeps_others_off_holds_all_within_the_gap_and_no_long_tip(corner_deg: float, gap: float) -> None:
    tip = shapely.Polygon([(0, 0), (300, 0), (300 * cos(radians(corner_deg)), 300 * sin(radians(corner_deg)))])
    around = grown(tip, gap)
    assert around.buffer(1e-9).covers(shapely.buffer(tip, gap, quad_segs=32))
    assert shapely.hausdorff_distance(around, tip) <= 2 * gap + 1e-9
