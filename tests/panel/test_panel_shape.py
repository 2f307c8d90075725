"""Shapes put where they belong."""

from pathlib import Path

import pytest
from resolving import Resolve

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'
TRIANGLE = "outline = [[300, 100], [340, 100], [300, 120]]"


@pytest.mark.parametrize(
    ("shape", "box"),
    [
        ("size = [40, 20], at = [100, 90]", (100, 90, 140, 110)),
        ("size = [40, 20], centre = [100, 90]", (80, 80, 120, 100)),
        ("size = [40, 20], at = [100, 90], turn_deg = 90", (100, 90, 120, 130)),
        ("size = [40, 20], centre = [100, 90], turn_deg = 90", (90, 70, 110, 110)),
        ("diameter = 30, at = [100, 90]", (100, 90, 130, 120)),
        (TRIANGLE, (300, 100, 340, 120)),
        (f"{TRIANGLE}, at = [50, 60]", (50, 60, 90, 80)),
        (f"{TRIANGLE}, centre = [50, 60]", (30, 50, 70, 70)),
        (f"{TRIANGLE}, turn_deg = 90", (310, 90, 330, 130)),
        (f"{TRIANGLE}, turn_deg = 90, at = [50, 60]", (50, 60, 70, 100)),
    ],
)
def test_a_shape_is_turned_about_the_middle_of_its_box_and_then_put(
    resolved: Resolve, shape: str, box: tuple[float, ...]
) -> None:
    panel = resolved(PANEL + f"opening = [{{{shape}}}]").panel
    assert panel.openings[0].contour.bounds == pytest.approx(box)


def test_a_turned_triangle_keeps_its_hand(resolved: Resolve) -> None:
    panel = resolved(PANEL + f"opening = [{{{TRIANGLE}, turn_deg = 180}}]").panel
    corners = {(round(v.x, 6), round(v.y, 6)) for v in panel.openings[0].contour.vertices}
    assert corners == {(340, 120), (300, 120), (340, 100)}


def test_a_radius_that_does_not_fit_is_told_with_panel_feature_and_key(resolved: Resolve) -> None:
    told = resolved(PANEL + 'opening = [{name = "slot", size = [40, 20], radius = 11, at = [9, 9]}]').problems
    assert told == [
        'panel[0].opening[0].radius: panel "a", opening "slot": '
        "the radii at both ends of the right side take 22 mm of its 20 mm"
    ]


def test_a_mistake_in_a_step_is_told_at_the_step(resolved: Resolve) -> None:
    step = "step = [{size = [10, 10], radius = 6, at = [50, 50], depth = 8}]"
    told = resolved(PANEL + f"recess = [{{size = [90, 90], at = [20, 20], depth = 5, {step}}}]").problems
    assert [line.split(": ")[0] for line in told] == ["panel[0].recess[0].step[0].radius"]


def test_a_dxf_outline_brings_its_holes_as_openings(resolved: Resolve, tmp_path: Path) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    drawing = ezdxf.new("R2010", units=4)
    space = drawing.modelspace()
    space.add_lwpolyline([(500, 100), (700, 100), (700, 250), (500, 250)], close=True)
    space.add_circle((600, 200), 20)
    drawing.saveas(tmp_path / "plate.dxf")
    text = '[[panel]]\nname = "plate"\nstock = "mdf"\ndxf = {file = "plate.dxf"}\n'
    panel = resolved(text + "hole = [{centre = [520, 120], diameter = 6}]").panel
    assert panel.outline.bounds == pytest.approx((0, 0, 200, 150))
    assert panel.openings[0].contour.bounds == pytest.approx((80, 80, 120, 120))
    assert panel.holes[0].centre == pytest.approx((20, 20))


def test_a_dxf_file_with_two_outlines_is_no_panel(resolved: Resolve, tmp_path: Path) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    drawing = ezdxf.new("R2010", units=4)
    drawing.modelspace().add_circle((0, 0), 50)
    drawing.modelspace().add_circle((200, 0), 50)
    drawing.saveas(tmp_path / "two.dxf")
    found = resolved('[[panel]]\nname = "p"\nstock = "mdf"\ndxf = {file = "two.dxf"}\n')
    assert found.problems == ['panel[0].dxf: panel "p": the DXF file gives 2 separate outlines']
    assert found.panels == ()


def test_an_opening_from_a_drawing_with_islands_is_told_once(resolved: Resolve, tmp_path: Path) -> None:
    ezdxf = pytest.importorskip("ezdxf")
    drawing = ezdxf.new("R2010", units=4)
    for x in (100, 200):
        drawing.modelspace().add_circle((x, 100), 30)
        drawing.modelspace().add_circle((x, 100), 20)
    drawing.saveas(tmp_path / "rings.dxf")
    told = resolved(PANEL + 'opening = [{dxf = {file = "rings.dxf"}}]').problems
    text = "a contour lies inside another: the piece within would come free"
    assert told == [f'panel[0].opening[0].dxf: panel "a", opening[0]: {text}']
