"""Small jobs that once came out wrong: each is proven now, or refused with what to do about it."""

from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

BOARD = """
[job]
name = "Mended"
machine = "{machine}"
units = "mm"

[settings]
packing = {{ steps = 0 }}
{settings}

[[stock]]
name = "board"
material = "{material}"
thickness = {thickness}
sheet = {sheet}
count = 1

[[panel]]
name = "panel"
stock = "board"
"""


def made(folder: Path, panel: str, **board: object) -> Made:
    """The set of one panel on a board of those values."""
    usual = {"machine": "nesting-router", "settings": "", "material": "plywood", "thickness": 18, "sheet": [700, 500]}
    path = folder / "job.toml"
    path.write_text(BOARD.format(**usual | board) + panel, encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def faults(one: Made) -> list[str]:
    """What the witness finds wrong."""
    return [str(f) for sheet in one.sheets for f in sheet.report.findings if f.severity != "remark"]


def test_a_small_disc_that_its_tabs_cannot_hold_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as found:
        made(tmp_path, "diameter = 40\n", thickness=25)
    told = [str(problem) for problem in found.value.problems if not problem.warning]
    assert len(told) == 1
    assert told[0].startswith("job.toml:18: panel[0]: panel: what holds it bears ")
    assert "times what the passes push with (2 times: higher or wider tabs (settings.tab_height" in told[0]


def test_the_same_disc_on_higher_tabs_is_proven(tmp_path: Path) -> None:
    assert faults(made(tmp_path, "diameter = 40\n", thickness=25, settings="tab_height = 3")) == []


@pytest.mark.parametrize("size", ["[60, 40]", "[60, 60]"])
def test_a_small_part_in_a_sheets_corner_hangs_on_tabs_side_by_side(size: str, tmp_path: Path) -> None:
    """Beyond its kerf at the sheet's two rims nothing is left to hang on: the other two sides have to do."""
    one = made(tmp_path, f"size = {size}\n", material="mdf")
    assert faults(one) == []
    tabs = one.sheets[0].runs.tabs
    assert len({(round(tab.along.x), round(tab.along.y)) for tab in tabs}) >= 2
    assert sum(tab.grip for tab in tabs) >= 2 * tabs[0].force - one.sheets[0].runs.freed[0].vacuum
    assert max(tab.grip for tab in tabs) > min(tab.grip for tab in tabs), "a gap that no tool enters holds too"


def test_a_rabbet_that_runs_out_aslant_leaves_nothing_in_its_corners(tmp_path: Path) -> None:
    outline = "outline = [[0, 0], [136, 0], [136, 64.4], [0, 134]]\n"
    rabbet = 'rabbet = [{ side = "right", width = 12, depth = 6 }]\n'
    assert faults(made(tmp_path, outline + rabbet, material="mdf")) == []


@pytest.mark.slow
def test_two_tools_in_the_rabbet_of_a_disc_stay_off_its_wall(tmp_path: Path) -> None:
    panel = 'diameter = 389\nrabbet = [{ width = 27.6, depth = 12.6, side = "bottom" }]\n'
    one = made(tmp_path, panel, machine="shop-router-inch", material="acrylic", sheet=[1200, 600])
    assert faults(one) == []


def test_bars_of_facing_walls_leave_no_wood_between_them_that_a_tool_would_reach(tmp_path: Path) -> None:
    """They stood a tool and 0.87 mm apart: too little to come down for, too much to count as one bar."""
    both = 'size = [162.4, 162.4]\nedge = [{ round = 2.5, faces = "both", side = "right" }]\n'
    small = '[[panel]]\nname = "small"\nstock = "board"\nsize = [40, 40]\n'
    assert faults(made(tmp_path, both + small, material="softwood")) == []


@pytest.mark.parametrize("size", ["[40, 251.1]", "[100, 100]"])
def test_a_part_just_large_enough_for_the_vacuum_is_proven_on_a_skin(size: str, tmp_path: Path) -> None:
    """The witness took the hair by which it tells loose pieces apart for a part's own size."""
    one = made(tmp_path, f"size = {size}\n", material="softwood", thickness=25, settings='hold = "skin"')
    assert one.sheets[0].runs.tabs == ()
    assert faults(one) == []


def test_the_horn_of_a_discs_rabbet_is_slotted_to_its_tip_before_the_tool_comes_down_there(tmp_path: Path) -> None:
    """The slot into it ended a little before what counted as cleared; a tool that cannot plunge came down beyond."""
    disc = 'diameter = 227\nrabbet = [{ side = "left", width = 17, depth = 3 }]\n'
    board = {"machine": "shop-router", "material": "mdf", "thickness": 12}
    assert faults(made(tmp_path, disc, **board)) == []


def test_the_horns_of_a_small_discs_rabbet_are_slotted_in_one_not_bit_by_bit(tmp_path: Path) -> None:
    """They are as narrow as their chords are coarse and fell into bits, with a way straight down into each."""
    disc = 'diameter = 46.1\nrabbet = [{ side = "bottom", width = 7.2, depth = 3 }]\n'
    board = {"machine": "shop-router", "material": "mdf", "thickness": 12}
    assert faults(made(tmp_path, disc, **board)) == []


def test_a_tab_keeps_off_the_kerf_of_a_third_part(tmp_path: Path) -> None:
    """The tip of one part stands in the mouth of another: a bar past the tip left wood on it."""
    vee = "[[0,0], [110.8,0], [110.8,113.4], [85.5,35], [22.2,34], [0,113.4]]"
    panels = (
        "outline = [[0,0], [115.9,0], [94.5,147.9]]\n"
        'rabbet = [{ side = "bottom", width = 20.8, depth = 7 }]\nface = "back"\n'
        f'[[panel]]\nname = "vee"\nstock = "board"\noutline = {vee}\n'
        'rabbet = [{ side = "bottom", width = 10, depth = 1 }]\nface = "back"\n'
    )
    one = made(tmp_path, panels, machine="shop-router", material="mdf", sheet=[900, 600])
    assert faults(one) == []


def test_the_bars_of_one_part_leave_no_dip_too_short_for_the_tool_of_the_part_they_end_on(tmp_path: Path) -> None:
    """Low tabs are many: the last before a corner left the neighbour's tool a tenth of a millimetre to come down in."""
    square = "size = [166, 166]\nradius = 12\n"
    board = {"machine": "shop-router-inch", "thickness": 25, "sheet": "[2440, 1220]\nmargin = 26"}
    settings = "wall_allowance = 0\ntab_height = 0.6"
    two = f'{square}[[panel]]\nname = "other"\nstock = "board"\n{square}'
    assert faults(made(tmp_path, two, settings=settings, **board)) == []


def test_bars_that_end_on_a_neighbours_bend_leave_its_tool_no_hair_to_come_down_in(tmp_path: Path) -> None:
    """A third of a millimetre on the roughing's way, none on the finish pass's: the tool stayed up over both bars."""
    board = {"machine": "shop-router", "material": "acrylic", "thickness": 25}
    two = (
        "outline = [[0, 0], [40, 0], [40, 24], {to = [24, 40], radius = 8}, [0, 40]]\n"
        '[[panel]]\nname = "other"\nstock = "board"\n'
        "outline = [[0, 0], [40, 0], [40, 73.2], {to = [24, 122], radius = 8}, [0, 122]]\n"
    )
    assert faults(made(tmp_path, two, **board)) == []


def test_where_a_strip_is_cleared_the_wood_of_the_ways_down_beside_it_goes_too(tmp_path: Path) -> None:
    """The strip beside the outline was cleared but for the disc in which the tool came down: that came free alone."""
    board = {"material": "hardwood", "thickness": "12\nmeasured = [12.4, 12.4]\nmargin = 7", "sheet": [2440, 1220]}
    small = "[0, 0], [40, 0], [40, 32.28], {to = [24, 53.8], radius = 8}, [0, 53.8]"
    grille = 'size = [66, 66], holes = {diameter = 6.5, pitch = 14, arrangement = "square"}'
    three = (
        f'outline = [{small}]\n[[panel]]\nname = "back"\nstock = "board"\nsize = [180, 180]\n'
        f"grille = [{{{grille}, centre = [49, 131]}}, {{{grille}, centre = [49, 49]}}]\n"
        '[[panel]]\nname = "round"\nstock = "board"\nsize = [40, 53.8]\nradius = 12\n'
    )
    assert faults(made(tmp_path, three, settings="tab_height = 1.8", **board)) == []


def test_a_part_on_the_sheets_edge_may_leave_a_wide_allowance_on_its_walls(tmp_path: Path) -> None:
    """Its roughing runs in the air, an allowance further out than the tool is wide."""
    board = {"machine": "shop-router", "thickness": 6, "sheet": "[700, 500]\nmargin = 0"}
    assert faults(made(tmp_path, "size = [136, 136]\n", settings="wall_allowance = 3", **board)) == []
