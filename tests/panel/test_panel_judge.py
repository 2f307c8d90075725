"""Cuts outside, over each other, too near to each other."""

from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_cuts_outside_are_told_with_side_and_amount(resolved: Resolve) -> None:
    told = resolved(
        PANEL + "opening = [{size = [100, 50], at = [350, 100]}]\n"
        "hole = [{centre = [-20, 50], diameter = 10}, {centre = [20, 298], diameter = 10, depth = 5}]\n"
        "recess = [{size = [100, 50], at = [150, -7], depth = 5}]\n"
        "grille = [{size = [30, 30], at = [380, 200], holes = {diameter = 5, pitch = 10}}]"
    ).problems
    assert told == [
        'panel[0].opening[0]: panel "a", opening[0]: it reaches 50 mm beyond the panel\'s right side',
        'panel[0].hole[0]: panel "a", hole[0]: it reaches 25 mm beyond the panel\'s left side',
        'panel[0].hole[1]: panel "a", hole[1]: it reaches 3 mm beyond the panel\'s upper side',
        'panel[0].grille[0]: panel "a", grille[0]: it reaches 7.5 mm beyond the panel\'s right side',
        'panel[0].recess[0]: panel "a", recess[0]: it reaches 7 mm beyond the panel\'s lower side',
    ]


def test_a_cut_in_the_hollow_of_an_outline_is_told_where(resolved: Resolve) -> None:
    outline = "outline = [[0, 0], [300, 0], [300, 100], [200, 100], [200, 40], [100, 40], [100, 100], [0, 100]]\n"
    panel = '[[panel]]\nname = "u"\nstock = "mdf"\n' + outline
    told = resolved(panel + "opening = [{size = [40, 40], at = [80, 50]}]").problems
    text = "it reaches 20 mm beyond the outline at (120 mm, 90 mm)"
    assert told == [f'panel[0].opening[0]: panel "u", opening[0]: {text}']


def test_a_sharp_recess_in_a_round_corner_is_told_at_the_corner(resolved: Resolve) -> None:
    told = resolved(PANEL + "radius = 30\nrecess = [{size = [60, 60], at = [0, 0], depth = 6}]").problems
    text = "it reaches 12.43 mm beyond the outline at (0 mm, 0 mm)"
    assert told == [f'panel[0].recess[0]: panel "a", recess[0]: {text}']


def test_openings_and_holes_over_each_other_are_told_in_pairs(resolved: Resolve) -> None:
    told = resolved(
        PANEL + 'opening = [{name = "x", size = [100, 50], at = [50, 100]}, {size = [100, 50], at = [140, 120]}]\n'
        "hole = [{centre = [100, 120], diameter = 10}, {centre = [300, 120], diameter = 10},"
        " {centre = [305, 120], diameter = 10}, {centre = [300, 50], diameter = 10, depth = 5},"
        " {centre = [303, 50], diameter = 10, depth = 8}]"
    ).problems
    assert sorted(told) == [
        'panel[0].hole[1]: panel "a", hole[1]: it overlaps hole[2] at (302.5 mm, 120 mm)',
        'panel[0].hole[3]: panel "a", hole[3]: it overlaps hole[4] at (301.5 mm, 50 mm)',
        'panel[0].opening[0]: panel "a", opening "x": it overlaps hole[0] at (100 mm, 120 mm)',
        'panel[0].opening[0]: panel "a", opening "x": it overlaps opening[1] at (140 mm, 120 mm)',
    ]


def test_webs_are_told_with_both_names_width_and_place(resolved: Resolve) -> None:
    told = resolved(
        PANEL + 'opening = [{name = "x", size = [100, 50], at = [50, 100]}, {size = [100, 50], at = [153, 120]},'
        " {size = [20, 20], at = [377, 200]}]\n"
        "hole = [{centre = [300, 120], diameter = 10, row = {count = 4, pitch = 12}}]"
    ).problems
    assert told == [
        'panel[0].opening[2]: panel "a", opening[2]: only 3 mm stay between it and the rim at (398.5 mm, 200 mm)',
        'panel[0].opening[0]: panel "a", opening "x": only 3 mm stay between it and opening[1] at (151.5 mm, 120 mm)',
        'panel[0].hole[0]: panel "a", hole[0]: '
        "only 2 mm stay between it and another of its own at (306 mm, 120 mm), and so in 2 more places",
    ]


def test_a_web_exactly_as_wide_as_allowed_passes(resolved: Resolve) -> None:
    found = resolved(
        PANEL + "opening = [{size = [100, 50], at = [4, 100]}, {diameter = 50, at = [108, 100]}]\n"
        "hole = [{centre = [167, 125], diameter = 10}, {centre = [181, 125], diameter = 10}]"
    )
    assert (found.problems, found.warnings) == ([], [])


def test_thin_walls_beside_recesses_are_warnings(resolved: Resolve) -> None:
    found = resolved(
        PANEL
        + "recess = [{size = [40, 20], at = [100, 100], depth = 9}, {size = [40, 20], at = [142, 100], depth = 9},"
        " {size = [40, 20], at = [2, 200], depth = 5}]\nhole = [{centre = [120, 125], diameter = 6}]"
    )
    assert found.problems == []
    assert found.warnings == [
        'panel[0].recess[2]: panel "a", recess[2]: only 2 mm stay between it and the rim at (1 mm, 200 mm)',
        'panel[0].hole[0]: panel "a", hole[0]: only 2 mm stay between it and recess[0] at (120 mm, 121 mm)',
        'panel[0].recess[0]: panel "a", recess[0]: only 2 mm stay between it and recess[1] at (141 mm, 100 mm)',
    ]


def test_an_opening_that_nearly_comes_round_to_itself_is_told(resolved: Resolve) -> None:
    start, end = "[100, 100], [200, 100], [200, 148.5], [190, 148.5], [190, 110]", "[190, 190], [190, 151.5]"
    ring = f"outline = [{start}, [110, 110], [110, 190], {end}, [200, 151.5], [200, 200], [100, 200]]"
    told = resolved(PANEL + f"opening = [{{{ring}}}]").problems
    assert told == [
        'panel[0].opening[0]: panel "a", opening[0]: its outline leaves a neck too thin at (195 mm, 150 mm)'
    ]


def test_a_gap_that_is_itself_cut_away_is_no_web(resolved: Resolve) -> None:
    found = resolved(
        PANEL
        + "recess = [{size = [40, 40], at = [100, 100], depth = 9}, {size = [40, 40], at = [143, 100], depth = 9}]\n"
        "groove = [{path = [[120, 120], [160, 120]], width = 50, depth = 9}]"
    )
    assert (found.problems, found.warnings) == ([], [])
