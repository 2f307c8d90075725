"""Floors from both faces: what stays between them, and which side a feature belongs to."""

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'
OVER = (
    'recess = [{size = [80, 80], at = [50, 50], depth = 9}, {size = [50, 50], at = [%d, 60], depth = 8, face = "back"}]'
)


def test_floors_that_meet_from_both_faces_are_told_with_their_figures(resolved: Resolve) -> None:
    (told,) = resolved(PANEL + OVER % 60).problems
    assert "8 mm deep from one face, and" in told
    assert "9 mm deep from the other" in told


def test_floors_beside_each_other_are_not(resolved: Resolve) -> None:
    assert resolved(PANEL + OVER % 200).problems == []


@pytest.mark.parametrize("face", ["show", "back"])
def test_a_counterbore_on_the_other_face_is_cut_there_and_its_hole_from_the_own(resolved: Resolve, face: str) -> None:
    other = {"show": "back", "back": "show"}[face]
    bore = "counterbore = {diameter = 12, depth = 4}"
    panel = resolved(
        PANEL + f'face = "{face}"\nhole = [{{centre = [75, 75], diameter = 5, face = "{other}", {bore}}}]'
    ).panel
    assert [5] == [hole.diameter for hole in panel.holes]
    assert () == panel.recesses
    assert panel.reverse is not None
    assert [4] == [recess.depth for recess in panel.reverse.recesses]
    assert () == panel.reverse.holes
