"""Holes, their patterns, counterbores and tops."""

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'


def centres(resolved: Resolve, hole: str) -> list[tuple[float, float]]:
    """Rounded, in order."""
    panel = resolved(PANEL + f"hole = [{{centre = [200, 150], diameter = 5, {hole}}}]").panel
    return [(round(h.centre.x, 6), round(h.centre.y, 6)) for h in panel.holes]


def test_a_grid_is_centred_and_runs_row_by_row(resolved: Resolve) -> None:
    found = centres(resolved, "grid = {columns = 3, rows = 2, pitch = [32, 20]}")
    assert found == [(168, 140), (200, 140), (232, 140), (168, 160), (200, 160), (232, 160)]


def test_a_ring_begins_at_its_first_angle_and_runs_counter_clockwise(resolved: Resolve) -> None:
    found = centres(resolved, "ring = {count = 4, diameter = 40, first_deg = 90}")
    assert found == [(200, 170), (180, 150), (200, 130), (220, 150)]


def test_a_row_begins_at_the_position(resolved: Resolve) -> None:
    assert centres(resolved, "row = {count = 3, pitch = 32, direction_deg = 90}") == [
        (200, 150),
        (200, 182),
        (200, 214),
    ]


def test_a_hole_in_a_recess_begins_at_its_floor_and_one_across_its_wall_at_the_face(resolved: Resolve) -> None:
    panel = resolved(
        PANEL + "recess = [{size = [50, 50], at = [50, 50], depth = 10}]\n"
        "hole = [{centre = [75, 75], diameter = 5}, {centre = [60, 60], diameter = 5, depth = 12},"
        " {centre = [100, 75], diameter = 5}, {centre = [150, 75], diameter = 5}]"
    ).panel
    assert [hole.top for hole in panel.holes] == [10, 10, 0, 0]


def test_a_hole_across_two_floors_begins_at_the_shallower(resolved: Resolve) -> None:
    panel = resolved(
        PANEL
        + "recess = [{size = [50, 50], at = [50, 50], depth = 10}, {size = [50, 50], at = [100, 50], depth = 4}]\n"
        "hole = [{centre = [101, 75], diameter = 6}]"
    ).panel
    assert panel.holes[0].top == 4


def test_a_counterbore_is_a_recess_with_the_hole_in_it(resolved: Resolve) -> None:
    found = resolved(PANEL + "hole = [{centre = [75, 75], diameter = 5, counterbore = {diameter = 12, depth = 6}}]")
    (recess,) = found.panel.recesses
    assert (recess.kind, recess.depth, recess.region.bounds) == ("counterbore", 6, (69, 69, 81, 81))
    assert found.panel.holes[0].top == 6
    assert found.warnings == []


def test_a_counterbore_sunk_into_a_recess_is_no_slip_but_one_above_its_floor_is(resolved: Resolve) -> None:
    recess = "recess = [{size = [50, 50], at = [50, 50], depth = 6}]\n"
    hole = "hole = [{centre = [75, 75], diameter = 5, counterbore = {diameter = 12, depth = %d}}]"
    assert resolved(PANEL + recess + hole % 10).warnings == []
    assert len(resolved(PANEL + recess + hole % 4).warnings) == 2


def test_a_counterbore_no_wider_than_its_hole_or_as_deep_is_told(resolved: Resolve) -> None:
    told = resolved(
        PANEL + "hole = [{centre = [75, 75], diameter = 12, counterbore = {diameter = 12, depth = 6}},"
        " {centre = [175, 75], diameter = 6, depth = 6, counterbore = {diameter = 12, depth = 6}}]"
    ).problems
    assert told == [
        'panel[0].hole[0].counterbore.diameter: panel "a", hole[0]: counterbore 12 mm is no wider than its hole, 12 mm',
        'panel[0].hole[1].counterbore.depth: panel "a", hole[1]: '
        "counterbore 6 mm deep reaches the bottom of its hole, 6 mm",
    ]


def test_blind_holes_are_judged_by_the_thinnest_reading(resolved: Resolve) -> None:
    found = resolved(
        PANEL
        + "hole = [{centre = [75, 75], diameter = 5, depth = 17.8}, {centre = [95, 75], diameter = 5, depth = 17},"
        " {centre = [115, 75], diameter = 5, depth = 15.8}]"
    )
    assert found.problems == [
        'panel[0].hole[0].depth: panel "a", hole[0]: depth 17.8 mm comes through mdf at its thinnest reading, 17.8 mm'
    ]
    assert found.warnings == [
        'panel[0].hole[1].depth: panel "a", hole[1]: depth 17 mm leaves 0.8 mm under the hole at the thinnest reading'
    ]


def test_a_blind_hole_that_ends_above_its_floor_is_told(resolved: Resolve) -> None:
    told = resolved(
        PANEL + "recess = [{size = [50, 50], at = [50, 50], depth = 10}]\n"
        "hole = [{centre = [75, 75], diameter = 5, depth = 8}]"
    ).problems
    assert told == ['panel[0].hole[0]: panel "a", hole[0]: depth 8 mm ends above the floor that it is in, 10 mm deep']


@pytest.mark.parametrize("face", ["show", "back"])
def test_a_through_hole_of_either_face_is_cut_with_the_outline(resolved: Resolve, face: str) -> None:
    other = {"show": "back", "back": "show"}[face]
    panel = resolved(PANEL + f'face = "{face}"\nhole = [{{centre = [75, 75], diameter = 5, face = "{other}"}}]').panel
    assert [5] == [hole.diameter for hole in panel.holes]
    assert panel.reverse is None
