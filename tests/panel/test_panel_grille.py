"""Grilles: whole cells, the fullest phase, open area."""

from math import pi

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def test_staggered_holes_are_all_a_pitch_apart_and_wholly_inside(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + "grille = [{diameter = 92, centre = [200, 150], holes = {diameter = 6, pitch = 10}}]"
    ).panel
    centres = [hole.centre for hole in panel.holes]
    assert max(((c.x - 200) ** 2 + (c.y - 150) ** 2) ** 0.5 for c in centres) <= 43 + 1e-6
    nearest = [min(a.distance(b) for b in centres if b != a) for a in centres]
    assert nearest == pytest.approx([10] * len(centres))
    assert {hole.depth for hole in panel.holes} == {None}


def test_the_open_area_counts_whole_cells_over_the_boundary(resolved: Resolve) -> None:
    (report,) = resolved(
        PANEL + 'grille = [{name = "left", diameter = 92, centre = [200, 150], holes = {diameter = 6, pitch = 10}}]'
    ).panel.grilles
    assert report.name == "left"
    assert report.open_area == pytest.approx(report.cells * pi * 9)
    assert report.open_share == pytest.approx(report.open_area / (pi * 46**2))


@pytest.mark.parametrize(("width", "cells"), [(45, 4), (46, 5), (55, 5), (56, 6)])
def test_as_many_cells_as_fit_stand_about_the_middle(resolved: Resolve, width: int, cells: int) -> None:
    field = f"size = [{width}, 7], centre = [200, 150], holes = {{diameter = 6, pitch = 10, arrangement = 'square'}}"
    panel = resolved(PANEL + f"grille = [{{{field}}}]").panel
    assert len(panel.holes) == cells
    assert sum(hole.centre.x for hole in panel.holes) / cells == pytest.approx(200)


def test_slots_are_openings_with_round_ends(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + "grille = [{size = [200, 60], at = [50, 50], slots = {length = 60, width = 6, pitch = [70, 12]}}]"
    ).panel
    assert len(panel.openings) == 3 * 5
    assert panel.openings[0].contour.area == pytest.approx(54 * 6 + pi * 9)


def test_slots_turn_with_their_lattice(resolved: Resolve) -> None:
    field = "size = [60, 200], at = [50, 50], slots = {length = 60, width = 6, pitch = [70, 12], turn_deg = 90}"
    panel = resolved(PANEL + f"grille = [{{{field}}}]").panel
    xmin, ymin, xmax, ymax = panel.openings[0].contour.bounds
    assert (xmax - xmin, ymax - ymin) == pytest.approx((6, 60))
    assert len(panel.openings) == 3 * 5


def test_a_grille_keeps_clear_of_an_island_in_a_hollow_boundary(resolved: Resolve) -> None:
    outline = "outline = [[50, 50], [150, 50], [150, 150], [110, 150], [110, 90], [90, 90], [90, 150], [50, 150]]"
    panel = resolved(PANEL + f"grille = [{{{outline}, holes = {{diameter = 5, pitch = 10}}}}]").panel
    inside = [h for h in panel.holes if 87.5 + 1e-6 < h.centre.x < 112.5 - 1e-6 and h.centre.y > 87.5 + 1e-6]
    assert inside == []
    assert len(panel.holes) > 60


def test_grilles_that_cannot_be_are_told(resolved: Resolve) -> None:
    told = resolved(
        PANEL + "grille = [{size = [99, 99], at = [50, 50], slots = {length = 80, width = 8, pitch = [80, 14]}},"
        " {size = [5, 5], at = [270, 50], holes = {diameter = 6, pitch = 10}},"
        " {size = [99, 99], at = [270, 150], holes = {diameter = 6, pitch = 6}},"
        " {size = [90, 90], at = [170, 150], holes = {diameter = 0.1, pitch = 0.2}}]"
    ).problems
    assert told == [
        'panel[0].grille[0].slots.pitch: panel "a", grille[0]: pitch 80 mm, 14 mm is too small for slots 80 mm x 8 mm',
        'panel[0].grille[1]: panel "a", grille[1]: no whole cell fits inside the boundary',
        'panel[0].grille[2].holes.pitch: panel "a", grille[2]: the pitch leaves nothing between the cells',
        'panel[0].grille[3].holes.pitch: panel "a", grille[3]: about 233827 cells',
    ]


def test_webs_between_cells_are_told_once(resolved: Resolve) -> None:
    told = resolved(PANEL + "grille = [{size = [99, 99], at = [50, 50], holes = {diameter = 6, pitch = 9}}]").problems
    assert len(told) == 1
    assert told[0].startswith('panel[0].grille[0]: panel "a", grille[0]: only 3 mm stay between it and another of its')


@pytest.mark.parametrize(("diameter", "warned"), [(6, False), (7, True), (12, True), (12.5, False)])
def test_cells_that_hold_a_finger_are_warned_of(resolved: Resolve, diameter: float, warned: bool) -> None:
    field = f"size = [99, 99], at = [50, 50], holes = {{diameter = {diameter}, pitch = 20}}"
    assert bool(resolved(PANEL + f"grille = [{{{field}}}]").warnings) == warned


def test_cells_over_a_recess_begin_at_its_floor(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + "recess = [{diameter = 100, centre = [200, 150], depth = 13}]\n"
        "grille = [{diameter = 92, centre = [200, 150], holes = {diameter = 6, pitch = 10}}]"
    ).panel
    assert {hole.top for hole in panel.holes} == {13}
