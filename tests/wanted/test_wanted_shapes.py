"""The witness's own shapes against areas and places worked out by hand."""

from math import pi, sqrt

import pytest
import shapely

from cncpanel.job import model
from cncpanel.wanted.band import groove_shape, rabbet_shape
from cncpanel.wanted.corner import chain, loop, unrounded
from cncpanel.wanted.curve import FINE, Edge, arc_by_bulge, arc_by_three, flat, turned_area
from cncpanel.wanted.pattern import grille_cells, hole_centres
from cncpanel.wanted.shape import oblong, round_shape

PANEL = shapely.box(0, 0, 100, 60)


def corner(x: float, y: float, radius: float = 0.0, through: tuple[float, float] | None = None) -> model.Corner:
    return model.Corner(to=(x, y), radius=radius, through=through)


def near(expected: float, rim: float = 100.0) -> object:
    return pytest.approx(expected, abs=FINE * rim)


def test_a_rectangle_rounds_each_corner_by_its_own_radius() -> None:
    """Lower left, lower right, upper right, upper left: each takes (1 - pi/4) r^2."""
    shape = shapely.Polygon(flat(oblong((40, 30), (1, 2, 3, 4))))
    assert near(1200 - (1 - pi / 4) * (1 + 4 + 9 + 16)) == shape.area
    assert not shape.covers(shapely.Point(0.5, 29.5))
    assert shape.covers(shapely.Point(0.5, 0.5))


def test_a_rounded_corner_touches_both_sides() -> None:
    (first, arc, *_) = loop([corner(0, 0), corner(10, 0, 2), corner(10, 10), corner(0, 10)])
    assert ((8.0, 0.0), (10.0, 2.0), (8.0, 2.0)) == (first.end, arc.end, pytest.approx(arc.centre))


def test_an_inside_corner_is_rounded_on_its_own_side() -> None:
    """A step: rounding the inside corner by r adds (1 - pi/4) r^2."""
    outline = [(0, 0), (20, 0), (20, 20), corner(10, 20), corner(10, 10, 3), corner(0, 10)]
    assert near(300 + (1 - pi / 4) * 9) == shapely.Polygon(flat(loop(outline))).area


def test_an_arc_goes_through_its_point() -> None:
    arc = arc_by_three((10, 0), (0, 10), (-10, 0))
    assert pytest.approx((0, 0), abs=1e-9) == arc.centre
    assert pytest.approx(pi) == arc.sweep
    assert pytest.approx(-pi) == arc_by_three((10, 0), (0, -10), (-10, 0)).sweep


def test_a_bulge_is_the_tangent_of_a_quarter_of_the_angle() -> None:
    """DXF reference, LWPOLYLINE group 42: a half circle has a bulge of 1."""
    arc = arc_by_bulge((10, 0), (-10, 0), 1.0)
    assert (pytest.approx(pi), pytest.approx((0, 0), abs=1e-9)) == (arc.sweep, arc.centre)
    assert pytest.approx(-pi / 2) == arc_by_bulge((0, 0), (1, 1), -(sqrt(2) - 1)).sweep


def test_a_corner_between_an_arc_and_a_line_is_rounded_inside_both() -> None:
    """A half disc of radius 10 with its corners rounded by 1: circles that touch the line and the arc from inside."""
    edges = loop([corner(-10, 0, 1, (0, 10)), corner(10, 0, 1)])
    shape = shapely.Polygon(flat(edges))
    arcs = [edge for edge in edges if edge.centre is not None and edge.radius < 5]
    assert [pytest.approx(1.0)] * 2 == [arc.radius for arc in arcs]
    # The centre lies 1 over the line and 9 from the middle: at x = sqrt(81 - 1).
    assert [pytest.approx(-sqrt(80)), pytest.approx(sqrt(80))] == sorted(arc.centre[0] for arc in arcs if arc.centre)
    assert shape.is_valid


def groove(**values: object) -> model.Groove:
    return model.Groove.model_validate({"path": [(10, 30), (90, 30)], "width": 8, "depth": 5} | values)


def test_a_square_groove_is_as_long_as_its_path() -> None:
    assert (10, 26, 90, 34) == groove_shape(groove(), 8, PANEL).bounds


def test_a_round_groove_lies_inside_the_length_of_its_path() -> None:
    shape = groove_shape(groove(ends="round"), 8, PANEL)
    assert pytest.approx((10, 26, 90, 34), abs=2e-3) == shape.bounds
    assert near(72 * 8 + pi * 16) == shape.area


def test_an_open_groove_runs_out_over_the_rim() -> None:
    assert (0, 26, 90, 34) == groove_shape(groove(ends=("open", "square")), 8, PANEL).bounds


def test_a_groove_on_the_left_has_its_right_wall_on_the_path() -> None:
    assert (10, 30, 90, 38) == groove_shape(groove(wall="left"), 8, PANEL).bounds
    assert (10, 22, 90, 30) == groove_shape(groove(wall="right"), 8, PANEL).bounds


def test_a_bent_groove_has_a_round_outer_corner() -> None:
    """Two legs of 40 on their middle line: the outer corner is a quarter disc, the inner one sharp."""
    shape = groove_shape(groove(path=[(10, 10), (50, 10), (50, 50)]), 8, PANEL)
    assert near(2 * 40 * 8 - 16 + pi * 16 / 4) == shape.area


def test_a_groove_round_an_arc_is_a_band() -> None:
    path = [corner(30, 20), corner(50, 20, 0, (40, 30))]
    assert near(pi * 10 * 4) == groove_shape(groove(path=path, width=4), 4, PANEL).area


def test_a_rabbet_takes_the_panel_along_its_edge() -> None:
    rabbet = model.Rabbet(side="right", width=6, depth=4, start=10, stop=40)
    assert (94, 10, 100, 40) == rabbet_shape(Edge((100, 0), (100, 60)), rabbet, PANEL).bounds


def test_edges_are_numbered_as_drawn() -> None:
    edges = unrounded([(0, 0), (0, 60), (100, 60), (100, 0)])
    assert ((0, 0), (0, 60)) == (edges[0].start, edges[0].end)
    assert turned_area(edges) == -6000


def test_a_path_may_have_rounded_bends() -> None:
    edges = chain([(0, 0), corner(10, 0, 3), corner(10, 10)])
    assert pytest.approx(7 + 3 * pi / 2 + 7) == sum(edge.length for edge in edges)


def hole(**values: object) -> model.Hole:
    return model.Hole.model_validate({"centre": (50, 30), "diameter": 5} | values)


def test_patterns_stand_where_the_job_says() -> None:
    assert [(40, 25), (60, 25), (40, 35), (60, 35)] == hole_centres(
        hole(grid={"columns": 2, "rows": 2, "pitch": (20, 10)})
    )
    ring = hole_centres(hole(ring={"count": 4, "diameter": 20, "first_deg": 90}))
    assert [pytest.approx(p) for p in ((50, 40), (40, 30), (50, 20), (60, 30))] == ring
    row = hole_centres(hole(row={"count": 3, "pitch": 10, "direction_deg": 90}))
    assert [pytest.approx(p) for p in ((50, 30), (50, 40), (50, 50))] == row


def test_a_grille_has_whole_cells_only() -> None:
    """A 6 mm hole lattice at pitch 10 in a 27 x 27 field: three by three about the middle."""
    grille = model.Grille.model_validate(
        {"size": (27, 27), "centre": (50, 30), "holes": {"diameter": 6, "pitch": 10, "arrangement": "square"}}
    )
    cells = grille_cells(grille, shapely.box(36.5, 16.5, 63.5, 43.5))
    assert len(cells) == 9
    assert pytest.approx((37, 17, 63, 43), abs=1e-6) == shapely.union_all(cells).bounds


def test_a_circles_extremes_are_exact() -> None:
    assert pytest.approx((-5, -5, 5, 5), abs=1e-12) == round_shape((0, 0), 10).bounds
