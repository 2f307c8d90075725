"""Low ways between cuts only where nothing stands, nothing is free and nothing unseen has room."""

import pytest
from sequence_samples import JOB, machine, outline_run, run, sheet_runs, stock

from cncpanel.errors import Gathering
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet
from cncpanel.sequence.frame import clearance_height, hop_over, top_of_sheet
from cncpanel.sequence.program import Rapid
from cncpanel.sequence.retract import Heights
from cncpanel.sequence.sheet import setting_of, sheet_programs

SHOP, NESTING = machine("shop-router"), machine("nesting-router")
CLAMP = KeepOut(kind="clamp", at=(200.0, 200.0), size=(30.0, 30.0), height=20.0)
FAR = KeepOut(kind="screw", at=(680.0, 480.0), size=(10.0, 10.0))


def board(*keep_outs: KeepOut) -> Sheet:
    return Sheet(number=1, stock=stock().model_copy(update={"keep_out": keep_outs}), parts=())


def dots(cutter, *places, part="p", feature="grille", **kinds):
    return [run("hole", part, cutter, place, to=place, feature=feature, **kinds) for place in places]


def heights(router, on, runs):
    """Over the sheet's top: how high each rapid across goes between the first cut and the last."""
    gathering = Gathering()
    (program,) = sheet_programs(on, sheet_runs(*runs), router, JOB, gathering)
    assert gathering.problems == ()
    found, z, cutting = [], None, 0
    for block in program.blocks:
        z = getattr(block, "z", None) if getattr(block, "z", None) is not None else z
        cutting += type(block).__name__ == "Cut"
        if isinstance(block, Rapid) and block.x is not None and cutting:
            found.append(z - top_of_sheet(on.stock, router))
    return found[:-1]  # the last goes home


def low(router):
    return pytest.approx(hop_over(router))


def high(router, on=None):
    return pytest.approx(clearance_height((on or board()).stock, router) - top_of_sheet(stock(), router))


@pytest.mark.parametrize("router", [SHOP, NESTING], ids=["shop", "nesting"])
def test_the_low_height_is_the_top_the_bow_and_three(router):
    table = router.table
    assert table.flatness + table.z_error + table.thickness_spread + 3 == low(router)


def test_on_a_table_without_clamps_every_way_is_low_until_a_part_is_cut():
    cutter = NESTING.tool[1]
    holes = dots(cutter, (100, 100), (600, 400), (100, 400))
    outlines = [
        outline_run("p", cutter, (50, 50), (100, 100)),
        outline_run("q", cutter, (300, 300), (100, 100)),
    ]
    assert heights(NESTING, board(), [*holes, *outlines]) == [low(NESTING)] * 3 + [high(NESTING)]


def test_named_clamps_are_gone_over_and_other_ways_are_low():
    # 100,215 -> 400,215 goes over the clamp; 400,215 -> 400,400 does not.
    on = board(CLAMP)
    runs = dots(SHOP.tool[0], (100, 215), (400, 215), (400, 400))
    assert heights(SHOP, on, runs) == [high(SHOP, on), low(SHOP)]


@pytest.mark.parametrize(("beside", "is_low"), [(10.0, True), (7.0, False)])
def test_a_way_beside_a_clamp_keeps_five_mm_and_the_tool_from_it(beside, is_low):
    cutter = SHOP.tool[0]  # 6 mm: 3 + 5 from its middle to the clamp
    on = board(KeepOut(kind="clamp", at=(200.0, 200.0), size=(30.0, 30.0), height=6.0))
    y = 200.0 - beside
    assert heights(SHOP, on, dots(cutter, (100, y), (400, y))) == [low(SHOP) if is_low else high(SHOP, on)]


def test_a_clamp_as_tall_as_the_collet_nut_is_low_over_keeps_the_nut_away():
    cutter = SHOP.tool[0]
    on = board(KeepOut(kind="clamp", at=(200.0, 200.0), size=(30.0, 30.0), height=cutter.stick_out + 3))
    y = 200.0 - cutter.nut_diameter / 2 - 4
    assert heights(SHOP, on, dots(cutter, (100, y), (400, y))) == [high(SHOP, on)]


def test_unnamed_screws_have_no_room_inside_a_close_grille_only():
    cutter = SHOP.tool[0]
    grid = dots(cutter, *((x, y) for y in (100, 108, 116) for x in (100, 108, 116)))
    setting = setting_of(board(), grid, SHOP, JOB, sheets=1)
    ways = Heights(setting, grid)
    over = top_of_sheet(board().stock, SHOP)
    assert ways.after(grid[3], grid[4]) - over == low(SHOP), "within its middle row"
    assert ways.after(grid[0], grid[1]) - over == high(SHOP), "a screw may stand beside its first row"
    named = Heights(setting_of(board(FAR), grid, SHOP, JOB, sheets=1), grid)
    assert named.after(grid[0], grid[1]) - over == low(SHOP)


def test_the_way_from_one_feature_to_another_is_high_where_screws_are_not_named():
    cutter = SHOP.tool[0]
    runs = [*dots(cutter, (100, 100)), *dots(cutter, (110, 100), feature="other")]
    assert heights(SHOP, board(), runs) == [high(SHOP)]


def test_a_dog_legged_rapid_keeps_its_whole_box_off_a_clamp():
    straight = dots(NESTING.tool[1], (150, 150), (400, 400))
    on = board(KeepOut(kind="clamp", at=(300.0, 180.0), size=(20.0, 20.0)))
    assert heights(NESTING, on, straight) == [high(NESTING, on)]
    motion = NESTING.motion.model_copy(update={"rapid_path": "straight"})
    assert heights(NESTING.model_copy(update={"motion": motion}), on, straight) == [low(NESTING)]


def test_a_change_of_speed_is_made_at_full_height():
    cutter = NESTING.tool[1]
    runs = [*dots(cutter, (100, 100)), *dots(cutter, (110, 100), rpm=12000.0)]
    assert heights(NESTING, board(), runs) == [high(NESTING)]


def test_once_a_part_is_cut_every_way_is_high_in_later_files_too():
    cutter, other = NESTING.tool[1], NESTING.tool[2]
    dialect = NESTING.dialect.model_copy(update={"tool_change": "file", "length_offsets": False})
    router = NESTING.model_copy(update={"dialect": dialect})
    late = [run("edge", "p", other, place, to=place) for place in ((100, 100), (300, 100))]
    gathering = Gathering()
    runs = sheet_runs(outline_run("p", cutter, (50, 50), (300, 200)), *late)
    first, second = sheet_programs(board(), runs, router, JOB, gathering)
    top, clear = top_of_sheet(stock(), router), clearance_height(stock(), router)
    lifts = [b.z for b in second.blocks if isinstance(b, Rapid) and b.z is not None and b.z > top + 2.5]
    assert len(first.tools) == 1
    assert lifts == [clear] * 4


def test_driven_screws_are_gone_over():
    runs = dots(SHOP.tool[0], (100, 215), (400, 215), (400, 400))
    setting = setting_of(board(), runs, SHOP, JOB, sheets=1)
    screw = KeepOut(kind="screw", at=(210.0, 210.0), size=(8.0, 8.0), height=3.0)
    ways = Heights(setting, runs, (screw,))
    assert ways.after(runs[0], runs[1]) == high(SHOP)
    assert ways.after(runs[1], runs[2]) == low(SHOP)
