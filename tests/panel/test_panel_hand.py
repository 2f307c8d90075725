"""Mirrored copies."""

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\nmirrored = 1\n'
WARNED = ['panel[0].mirrored: panel "a": it is symmetric: mirrored copies are the same as plain ones']


@pytest.mark.parametrize(
    "features",
    [
        "",
        "hole = [{centre = [100, 150], diameter = 10}, {centre = [300, 150], diameter = 10}]",
        "hole = [{centre = [100, 50], diameter = 10}, {centre = [100, 250], diameter = 10}]",
        "recess = [{size = [100, 60], centre = [200, 150], depth = 6}]",
        'mark = [{text = "F", at = [50, 60]}]',
    ],
)
def test_a_mirrored_copy_of_a_symmetric_panel_is_warned_of(resolved: Resolve, features: str) -> None:
    assert resolved(PANEL + features).warnings == WARNED


@pytest.mark.parametrize(
    "features",
    [
        "hole = [{centre = [100, 100], diameter = 10}, {centre = [300, 200], diameter = 10}]",
        "hole = [{centre = [100, 100], diameter = 10}, {centre = [300, 100], diameter = 10, depth = 9}]",
        "recess = [{size = [100, 60], at = [20, 20], depth = 6}]",
        "opening = [{outline = [[100, 100], [300, 100], [100, 200]]}]",
    ],
)
def test_a_mirrored_copy_that_differs_is_not(resolved: Resolve, features: str) -> None:
    assert resolved(PANEL + features).warnings == []


def test_a_square_panel_may_be_symmetric_about_its_diagonal(resolved: Resolve) -> None:
    text = PANEL.replace("[400, 300]", "[300, 300]")
    assert resolved(text + "recess = [{size = [60, 60], at = [20, 20], depth = 6}]").warnings == WARNED


def test_mirrored_copies_may_be_cut_from_both_faces(resolved: Resolve) -> None:
    found = resolved(
        PANEL + 'face = "back"\nrecess = [{name = "pad", size = [50, 50], at = [50, 50], depth = 8, face = "show"}]\n'
        'hole = [{centre = [300, 120], diameter = 10, face = "show"}]'
    )
    assert ([], []) == (found.problems, found.warnings)
    reverse = found.panels[0].reverse
    assert reverse is not None
    assert ("show", [8]) == (reverse.face, [recess.depth for recess in reverse.recesses])


def test_a_panel_whose_other_face_differs_is_not_symmetric(resolved: Resolve) -> None:
    pad = 'recess = [{size = [50, 50], at = [50, 50], depth = 8, face = "back"}]'
    assert [] == resolved(PANEL + pad).warnings
