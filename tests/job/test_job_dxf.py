"""Every kind of entity becomes the lines and arcs that it draws."""

from math import cos, hypot, pi, radians, sin, sqrt
from pathlib import Path

import ezdxf
import pytest
from dxf_drawn import box, drawn, lines, read

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point
from cncpanel.job import dxf_walk

HALF = sqrt(0.5)


def bulges(contour: Contour) -> list[float]:
    return [round(vertex.bulge, 6) for vertex in contour.vertices]


def near(contour: Contour) -> tuple[float, ...]:
    return tuple(round(value, 6) for value in contour.bounds)


def test_four_lines_in_any_order_and_direction_make_a_rectangle(tmp_path: Path) -> None:
    def draw(space):
        space.add_line((0, 0), (100, 0))
        space.add_line((0, 50), (0, 0))
        space.add_line((100, 0), (100, 50))
        space.add_line((0, 50), (100, 50))

    shape = drawn(tmp_path, draw).only
    assert len(shape.outer.vertices) == 4
    assert shape.outer.area == pytest.approx(5000)
    assert shape.holes == ()


def test_lines_and_arcs_chain_and_arcs_stay_exact(tmp_path: Path) -> None:
    def draw(space):
        lines(space, (0, 0), (100, 0))
        space.add_arc((100, 25), 25, -90, 90)
        lines(space, (100, 50), (0, 50))
        space.add_arc((0, 25), 25, 90, 270)

    shape = drawn(tmp_path, draw).only
    assert sorted(bulges(shape.outer)) == [0, 0, 1, 1]
    assert shape.outer.area == pytest.approx(100 * 50 + pi * 25**2, abs=1e-9)


def test_a_circle_is_two_half_turns(tmp_path: Path) -> None:
    shape = drawn(tmp_path, lambda space: space.add_circle((10, 20), 15)).only
    assert bulges(shape.outer) == [1, 1]
    assert shape.outer.area == pytest.approx(pi * 225, abs=1e-9)


def test_an_arc_of_more_than_half_a_turn_is_split(tmp_path: Path) -> None:
    def draw(space):
        space.add_arc((0, 0), 50, 45, 315)
        lines(space, (50 * HALF, 50 * HALF), (50 * HALF, -50 * HALF))

    shape = drawn(tmp_path, draw).only
    assert max(map(abs, bulges(shape.outer))) <= 1
    assert shape.outer.area == pytest.approx(50**2 * (radians(270) - sin(radians(270))) / 2, abs=1e-6)


@pytest.mark.parametrize("version", ["R12", "R2010"])
def test_polylines_keep_their_bulges_in_both_kinds(tmp_path: Path, version: str) -> None:
    corners = [(0, 0, 0), (60, 0, 1), (60, 40, 0), (0, 40, -0.5)]

    def draw(space):
        if version == "R12":
            space.add_polyline2d(corners, format="xyb", close=True)
        else:
            space.add_lwpolyline(corners, format="xyb", close=True)

    shape = drawn(tmp_path, draw, version=version, unit="mm").only
    assert bulges(shape.outer) == [0, 1, 0, -0.5]


def test_a_polyline_bulge_past_half_a_turn_is_split(tmp_path: Path) -> None:
    shape = drawn(tmp_path, lambda s: s.add_lwpolyline([(0, 0, 3), (20, 0, 0)], format="xyb", close=True)).only
    assert max(map(abs, bulges(shape.outer))) <= 1
    radius = 20 * (1 + 9) / 12
    assert shape.outer.bounds[3] - shape.outer.bounds[1] == pytest.approx(radius + sqrt(radius**2 - 100))


def test_an_open_polyline_whose_ends_meet_is_closed(tmp_path: Path) -> None:
    corners = [(0, 0), (50, 0), (50, 30), (0, 30), (0, 0)]
    assert drawn(tmp_path, lambda s: s.add_lwpolyline(corners)).only.outer.area == pytest.approx(1500)


def test_a_polyline_in_space_lies_flat(tmp_path: Path) -> None:
    corners = [(0, 0, 5), (50, 0, 5), (50, 30, 5)]
    shape = drawn(tmp_path, lambda s: s.add_polyline3d(corners, close=True)).only
    assert shape.outer.area == pytest.approx(750)


def test_a_circular_ellipse_becomes_arcs(tmp_path: Path) -> None:
    shape = drawn(tmp_path, lambda s: s.add_ellipse((5, 5), (30, 0), ratio=1.0)).only
    assert bulges(shape.outer) == [1, 1]


def test_an_ellipse_is_fitted_within_the_path_tolerance(tmp_path: Path) -> None:
    shape = drawn(tmp_path, lambda s: s.add_ellipse((0, 0), (80, 0), ratio=0.4)).only
    assert shape.outer.area == pytest.approx(pi * 80 * 32, rel=2e-5)
    assert len(shape.outer.vertices) < 80
    for x, y in shape.outer.flattened(0.001):
        value = hypot(x / 80, y / 32)
        slope = hypot(x / 80**2, y / 32**2) / value
        assert abs(value - 1) / slope < 0.008  # first-order distance; FLATTEN + FIT + chord


def test_half_an_ellipse_and_a_line_close(tmp_path: Path) -> None:
    def draw(space):
        space.add_ellipse((0, 0), (50, 0), ratio=0.5, start_param=0, end_param=pi)
        lines(space, (-50, 0), (50, 0))

    assert drawn(tmp_path, draw).only.outer.area == pytest.approx(pi * 50 * 25 / 2, rel=1e-4)


def spline_circle(space, radius: float) -> None:
    """A circle as a rational quadratic spline: exact by the theory of NURBS."""
    r, w = radius, HALF
    corners = [(r, 0), (r, r), (0, r), (-r, r), (-r, 0), (-r, -r), (0, -r), (r, -r), (r, 0)]
    weights = [1, w, 1, w, 1, w, 1, w, 1]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]
    space.add_rational_spline([(x, y, 0) for x, y in corners], weights, degree=2, knots=knots)


def test_a_rational_spline_that_is_a_circle_comes_out_round(tmp_path: Path) -> None:
    shape = drawn(tmp_path, lambda s: spline_circle(s, 40)).only
    assert len(shape.outer.vertices) <= 6
    assert shape.outer.area == pytest.approx(pi * 1600, abs=0.005 * 2 * pi * 40)
    assert all(abs(Point(0, 0).distance(p) - 40) < 0.007 for p in shape.outer.flattened(0.001))


def test_a_spline_through_fit_points_passes_them(tmp_path: Path) -> None:
    through = [(0, 0), (30, 20), (60, -5), (100, 0)]

    def draw(space):
        space.add_spline(fit_points=[(x, y, 0) for x, y in through])
        lines(space, (100, 0), (100, -60), (0, -60), (0, 0))

    points = drawn(tmp_path, draw).only.outer.flattened(0.001)
    for x, y in through:
        assert min(Point(x, y).distance(p) for p in points) < 0.3  # the next flattened point


def test_an_unclamped_periodic_spline_closes(tmp_path: Path) -> None:
    ring = [(50 * cos(i * pi / 4), 50 * sin(i * pi / 4), 0) for i in range(8)]
    wrapped = [*ring, *ring[:3]]

    def draw(space):
        space.add_spline().set_open_uniform(wrapped)
        spline = space[-1]
        spline.knots = [float(i) for i in range(len(wrapped) + 4)]

    shape = drawn(tmp_path, draw).only
    at_knots = 50 * (4 + 2 * cos(pi / 4)) / 6  # a uniform cubic B-spline weighs three neighbours 1, 4, 1
    assert shape.outer.area == pytest.approx(pi * at_knots**2, rel=0.002)
    xmin, ymin, xmax, ymax = shape.outer.bounds
    assert xmax - xmin == pytest.approx(ymax - ymin, abs=0.02)


def test_an_entity_seen_from_behind_is_mirrored(tmp_path: Path) -> None:
    """Extrusion (0, 0, -1): x runs the other way (arbitrary axis rule of the DXF reference)."""

    def draw(space):
        space.add_lwpolyline(
            [(10, 0, 0), (50, 0, 0.4), (50, 20, 0)],
            format="xyb",
            close=True,
            dxfattribs={"extrusion": (0, 0, -1)},
        )

    outer = drawn(tmp_path, draw).only.outer
    assert outer.bounds[0] < -50
    assert outer.bounds[2] == pytest.approx(-10)


def test_an_arc_seen_from_behind_meets_its_lines(tmp_path: Path) -> None:
    def draw(space):
        space.add_arc((10, 0), 20, 0, 90, dxfattribs={"extrusion": (0, 0, -1)})
        lines(space, (-30, 0), (-10, 0), (-10, 20))

    assert drawn(tmp_path, draw).only.outer.area == pytest.approx(pi * 100, abs=1e-9)


def block(document, name: str = "PART"):
    part = document.blocks.new(name, base_point=(5, 0))
    part.add_lwpolyline([(5, 0, 0), (45, 0, 1), (45, 20, 0), (5, 20, 0)], format="xyb", close=True)
    return part


def inserted(folder: Path, **attributes: object):
    document = ezdxf.new("R2010", units=4)
    block(document)
    document.modelspace().add_blockref("PART", (100, 50), dxfattribs=attributes)
    path = folder / "blocks.dxf"
    document.saveas(path)
    return read(path)


AREA = 40 * 20 + pi * 100 / 2


def test_a_block_lies_where_it_is_inserted_from_its_base_point(tmp_path: Path) -> None:
    outer = inserted(tmp_path).only.outer
    assert near(outer) == (100, 50, 150, 70)
    assert outer.area == pytest.approx(AREA)


def test_a_mirrored_scaled_turned_block_keeps_arcs(tmp_path: Path) -> None:
    outer = inserted(tmp_path, xscale=-2, yscale=2, rotation=90).only.outer
    assert outer.area == pytest.approx(4 * AREA)
    assert sorted(bulges(outer)) == [0, 0, 0, 1]
    assert near(outer) == (60, -50 - 0, 100, 50)


def test_a_block_seen_from_behind_is_mirrored(tmp_path: Path) -> None:
    outer = inserted(tmp_path, extrusion=(0, 0, -1)).only.outer
    assert near(outer) == (-150, 50, -100, 70)


def test_an_arc_in_a_block_stretched_unevenly_is_part_of_an_ellipse(tmp_path: Path) -> None:
    outer = inserted(tmp_path, xscale=3, yscale=1).only.outer
    assert outer.area == pytest.approx(3 * AREA, rel=1e-5)
    assert near(outer)[2] == pytest.approx(100 + 3 * 50, abs=0.006)


def test_blocks_within_blocks_repeat_in_rows_and_columns(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=4)
    block(document)
    outer = document.blocks.new("OUTER")
    outer.add_blockref("PART", (0, 0), dxfattribs={"rotation": 90})
    grid = {"column_count": 3, "row_count": 2, "column_spacing": 100, "row_spacing": 200}
    document.modelspace().add_blockref("OUTER", (0, 0), dxfattribs=grid)
    path = tmp_path / "grid.dxf"
    document.saveas(path)
    outcome = read(path)
    assert outcome.shapes is not None
    lefts = sorted((round(s.outer.bounds[0], 6), round(s.outer.bounds[1], 6)) for s in outcome.shapes)
    assert lefts == [(-20, 0), (-20, 200), (80, 0), (80, 200), (180, 0), (180, 200)]


def test_a_block_inside_itself_is_refused_by_name(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=4)
    block(document).add_blockref("OTHER", (0, 0))
    document.blocks.new("OTHER").add_blockref("PART", (0, 0))
    document.modelspace().add_blockref("PART", (0, 0))
    path = tmp_path / "loop.dxf"
    document.saveas(path)
    assert read(path).problems == ["INSERT of block 'PART' lies inside itself"]


def test_a_block_that_is_not_there_is_a_problem(tmp_path: Path) -> None:
    outcome = drawn(tmp_path, lambda s: s.add_blockref("NOWHERE", (0, 0)))
    assert outcome.problems[0] == "INSERT of block 'NOWHERE' finds no such block"


def test_blocks_that_multiply_without_end_are_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dxf_walk, "MOST_ENTITIES", 3000)
    document = ezdxf.new("R2010", units=4)
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for level in range(1, 9):
        upper = document.blocks.new(f"B{level}")
        for step in range(10):
            upper.add_blockref(f"B{level - 1}", (step, 0))
    document.modelspace().add_blockref("B8", (0, 0))
    path = tmp_path / "bomb.dxf"
    document.saveas(path)
    assert read(path).problems == ["holds more than 3000 entities (save only the outlines)"]


def test_what_is_not_flat_is_named_by_its_handle(tmp_path: Path) -> None:
    def draw(space):
        space.add_line((0, 0, 0), (10, 0, 4))
        space.add_circle((0, 0), 30, dxfattribs={"extrusion": (0, 1, 1)})

    problems = drawn(tmp_path, draw).problems
    assert [p.split(" ", 2)[0] for p in problems] == ["LINE", "CIRCLE"]
    assert problems[0].endswith("is not flat: its heights run from 0 to 4")
    assert problems[1].endswith("lies on a tilted plane")


def test_an_upright_line_draws_nothing_and_is_counted(tmp_path: Path) -> None:
    def draw(space):
        box(space, 0, 0, 40, 40)
        space.add_line((0, 0, 0), (0, 0, 18))

    outcome = drawn(tmp_path, draw)
    assert outcome.only.outer.area == pytest.approx(1600)
    assert outcome.warnings == ["strokes left out: 1 without length"]


def test_other_kinds_are_counted_and_paper_space_is_not_read(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    box(space, 0, 0, 40, 40)
    space.add_text("DOOR")
    space.add_text("LEFT")
    space.add_point((1, 1))
    space.add_hatch()
    box(document.layout("Layout1"), 500, 500, 10, 10)
    path = tmp_path / "mixed.dxf"
    document.saveas(path)
    outcome = read(path)
    assert outcome.warnings == ["left out: 1 HATCH, 1 POINT, 2 TEXT"]
    assert outcome.only.outer.bounds == (0, 0, 40, 40)


def layered(folder: Path, layer: str | None = None, **state: bool):
    document = ezdxf.new("R2010", units=4)
    document.layers.add("OUTLINE")
    spare = document.layers.add("Spare")
    if state.get("frozen"):
        spare.freeze()
    if state.get("off"):
        spare.off()
    box(document.modelspace(), 0, 0, 100, 100, layer="OUTLINE")
    box(document.modelspace(), 200, 0, 50, 50, layer="Spare")
    path = folder / "layers.dxf"
    document.saveas(path)
    return read(path, layer)


def test_a_layer_is_chosen_whatever_its_case(tmp_path: Path) -> None:
    assert layered(tmp_path, "spare").only.outer.area == pytest.approx(2500)


def test_an_unknown_layer_is_answered_with_those_there(tmp_path: Path) -> None:
    assert layered(tmp_path, "CUT").problems == [
        "there is nothing on a layer 'CUT' (layers with something on them: OUTLINE, Spare)"
    ]


@pytest.mark.parametrize(("state", "word"), [("frozen", "frozen"), ("off", "switched off")])
def test_a_sleeping_layer_is_left_out_aloud(tmp_path: Path, state: str, word: str) -> None:
    outcome = layered(tmp_path, **{state: True})
    assert outcome.only.outer.area == pytest.approx(10000)
    assert outcome.warnings == [f"layer 'Spare' is {word}: 1 entities left out (name the layer to have it read)"]


def test_a_sleeping_layer_asked_for_by_name_is_read_aloud(tmp_path: Path) -> None:
    outcome = layered(tmp_path, "Spare", frozen=True)
    assert outcome.only.outer.area == pytest.approx(2500)
    assert outcome.warnings == ["layer 'Spare' is frozen, and was read all the same"]


def test_layer_0_in_a_block_is_the_layer_of_its_insert(tmp_path: Path) -> None:
    document = ezdxf.new("R2010", units=4)
    block(document)
    document.modelspace().add_blockref("PART", (0, 0), dxfattribs={"layer": "OUTLINE"})
    path = tmp_path / "zero.dxf"
    document.saveas(path)
    assert read(path, "OUTLINE").only.outer.area == pytest.approx(AREA)


def test_a_drawing_of_nothing_is_a_problem(tmp_path: Path) -> None:
    outcome = drawn(tmp_path, lambda s: s.add_text("empty"))
    assert outcome.problems == ["draws no lines, arcs or curves (layers with something on them: 0)"]


def test_an_ellipse_without_a_length_is_one_of_the_strokes_that_have_none(tmp_path: Path) -> None:
    def both(space):
        box(space, 0, 0, 40, 30)
        space.add_ellipse((5, 5), (1e-9, 0), ratio=0.5)

    found = drawn(tmp_path, both)
    assert found.problems == []
    assert found.only.outer.bounds == pytest.approx((0, 0, 40, 30))
