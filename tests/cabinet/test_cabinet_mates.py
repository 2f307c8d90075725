"""Each way that a panel's end meets another, and what is derived from it."""

from math import cos, hypot, radians, sin, tan
from pathlib import Path

import pytest
from cabinets import HEAD, cabinet, named, panel

from cncpanel.cabinet.line import mitre_deg, set_back
from cncpanel.errors import ProblemsFound
from cncpanel.panel.placed_cleat import strip

FRONT = panel("front", 'edge = ["B", "C"]')
TOP = 'edge = ["C", "D"]'


def test_a_butt_ends_on_the_nearer_face(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, FRONT, panel("top", TOP + '\nstart = { butts = "front" }'))
    assert named(read, "top").size == pytest.approx((264, 182))


def test_what_covers_runs_to_the_far_face(tmp_path: Path) -> None:
    read, _ = cabinet(
        tmp_path,
        panel("front", 'edge = ["B", "C"]\nend = { butts = "top" }'),
        panel("top", TOP + '\nstart = { covers = "front" }'),
    )
    assert named(read, "top").size == pytest.approx((264, 200))
    assert named(read, "front").size == pytest.approx((264, 382))


def test_a_housed_end_is_longer_by_the_depth_less_half_the_slack_and_the_groove_is_in_its_mate(tmp_path: Path) -> None:
    shelf = panel("shelf", 'line = [[0, 150], [200, 150]]\nend = { housed = "front" }')
    read, _ = cabinet(tmp_path, FRONT, shelf)
    assert named(read, "shelf").size == pytest.approx((264, 182 + 6 - 0.5))
    (groove,) = named(read, "front").groove
    assert groove.path == ((0.0, 150.0), (264.0, 150.0))
    assert (groove.wall, groove.depth, groove.houses, groove.face) == ("left", 6, "board", "back")
    assert named(read, "front").face == "back"


def test_a_rabbeted_end_stands_in_a_step_of_the_panel_that_covers_it(tmp_path: Path) -> None:
    front = panel("front", 'edge = ["B", "C"]\nend = { rabbeted = "top" }')
    read, _ = cabinet(tmp_path, front, panel("top", TOP + '\nstart = { covers = "front" }'))
    assert named(read, "front").size == pytest.approx((264, 382 + 6 - 0.5))
    (rabbet,) = named(read, "top").rabbet
    assert (rabbet.side, rabbet.depth) == ("bottom", 6)
    assert rabbet.width == pytest.approx(18.2)


def test_panels_housed_in_the_sides_get_grooves_that_run_out_where_they_reach_the_rim(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("shelf", 'line = [[30, 150], [200, 150]]\nsides = "housed"'))
    assert named(read, "shelf").size == pytest.approx((264 + 12 - 1, 170))
    (groove,) = named(read, "side").groove
    assert groove.ends == ("round", "open")
    assert groove.path == (pytest.approx((30 - 9.1, 150)), pytest.approx((200, 150)))


def test_a_panel_rabbeted_into_the_sides_gets_a_step_along_their_edge(tmp_path: Path) -> None:
    read, _ = cabinet(tmp_path, panel("back", 'edge = ["D", "A"]\nsides = "rabbeted"'))
    assert named(read, "back").size == pytest.approx((275, 400))
    (rabbet,) = named(read, "side").rabbet
    assert (rabbet.edge, rabbet.start, rabbet.stop) == pytest.approx((3, 0, 400))
    assert rabbet.width == pytest.approx(18.2)


def test_a_square_mitre_is_bevelled_by_45_degrees_on_the_inner_face(tmp_path: Path) -> None:
    front = panel("front", 'edge = ["B", "C"]\nend = { mitred = "top" }')
    read, _ = cabinet(tmp_path, front, panel("top", TOP + '\nstart = { mitred = "front" }'))
    assert named(read, "front").size == pytest.approx((264, 400))
    assert named(read, "top").size == pytest.approx((264, 200))
    (edge,) = named(read, "front").edge
    assert (edge.side, edge.faces, edge.bench) == ("top", "back", True)
    assert edge.bevel_deg == pytest.approx(45)


@pytest.mark.parametrize("interior", [60, 90, 102, 135, 170])
def test_bevel_and_set_back_follow_both_formulas(tmp_path: Path, interior: float) -> None:
    """(180 - theta) / 2 and T / tan(theta / 2): cabinet-makers' rules, from the geometry of the corner."""
    away = radians(180 - interior)
    roof = 200 + 150 * cos(radians(90) + away), 400 + 150 * sin(radians(90) + away)
    head = HEAD.replace("to = [0, 400]", f"to = [{roof[0]}, {roof[1]}]")
    for kind in ("mitred", "set_back"):
        front = panel("front", f'edge = ["B", "C"]\nend = {{ {kind} = "top" }}')
        top = panel("top", TOP + f'\nstart = {{ {kind} = "front" }}')
        read, _ = cabinet(tmp_path, front, top, head=head)
        length = (named(read, "front").size or (0, 0))[1]
        if kind == "mitred":
            assert named(read, "front").edge[0].bevel_deg == pytest.approx(mitre_deg(interior))
            assert named(read, "top").edge[0].bevel_deg == pytest.approx((180 - interior) / 2)
            assert length == pytest.approx(400)
        else:
            assert set_back(18, interior) == pytest.approx(18 / tan(radians(interior / 2)))
            assert length == pytest.approx(400 - set_back(18, interior))
            assert named(read, "front").edge == ()


def test_a_butt_askew_is_bevelled_to_lie_flat(tmp_path: Path) -> None:
    """A box whose face leans back: the bottom's front end lies under the face's line."""
    head = HEAD.replace("to = [200, 400]", "to = [140, 400]")
    bottom = panel("bottom", 'edge = ["A", "B"]\nend = { butts = "face" }')
    read, _ = cabinet(tmp_path, panel("face", 'edge = ["B", "C"]\nsides = "overlaid"'), bottom, head=head)
    assert named(read, "face").size == pytest.approx((300, hypot(60, 400)))
    assert named(read, "bottom").size == pytest.approx((264, 200))
    (edge,) = named(read, "bottom").edge
    assert (edge.side, edge.faces) == ("top", "back")
    assert tan(radians(edge.bevel_deg or 0)) == pytest.approx(60 / 400)


def test_a_hollow_corner_needs_no_mitre_and_says_so(tmp_path: Path) -> None:
    head = HEAD.replace(
        '{ name = "C", to = [200, 400] }', '{ name = "C", to = [200, 200] },\n    { name = "E", to = [260, 400] }'
    )
    lower = panel("lower", 'edge = ["B", "C"]\nend = { mitred = "upper" }')
    with pytest.raises(ProblemsFound, match="hollow outside"):
        cabinet(tmp_path, lower, panel("upper", 'edge = ["C", "E"]'), head=head)


@pytest.mark.parametrize(
    ("position", "told"),
    [
        ('line = [[0, 150], [200, 150]]\nsides = "rabbeted"', "a rabbet in the sides runs along their rim"),
        ('edge = ["B", "X"]', "the profile has no edge B to X (A B, B C, C D, D A)"),
        ('edge = ["B", "C"]\nend = { butts = "tap" }', '"tap" is not a panel that it can meet (did you mean "top"?)'),
        ('behind = "tip"\nby = 20\nlength = 30', '"tip" is not a panel to stand behind (did you mean "top"?)'),
        ("line = [[10, 10], [10, 10]]", "its line's two points are one"),
        ('line = [[10, 10], [150, 10]]\nend = { butts = "top" }', 'it runs alongside "top" and never meets it'),
        ('edge = ["B", "C"]\nstart = { butts = "top" }', "nothing is left of it between its start and its end"),
        ('facing = "front"\nat = [0, 0, 0]', "its position does not say how large it is"),
    ],
)
def test_what_cannot_be_is_told_at_the_position(tmp_path: Path, position: str, told: str) -> None:
    with pytest.raises(ProblemsFound) as raised:
        cabinet(tmp_path, panel("front", position), panel("top", TOP))
    assert told in str(raised.value)
    assert "box.toml:" in str(raised.value)
    assert "panel[1].position" in str(raised.value)


def test_ends_that_wait_for_each_other_are_told(tmp_path: Path) -> None:
    low = panel("low", 'edge = ["B", "C"]\nend = { clear_of = "high", gap = 2 }')
    high = panel("high", 'edge = ["B", "C"]\nstart = { clear_of = "low", gap = 2 }')
    with pytest.raises(ProblemsFound, match="wait for panels that wait for it"):
        cabinet(tmp_path, low, high)


def test_a_position_without_a_cabinet_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"there is no \[cabinet\]"):
        cabinet(tmp_path, FRONT, head=HEAD[: HEAD.index("[cabinet]")])


def test_cleats_stop_before_housings_and_leave_room_at_their_ends(tmp_path: Path) -> None:
    shelf = panel("shelf", 'line = [[0, 150], [200, 150]]\nend = { butts = "front" }\nsides = "housed"')
    front = panel("front", 'edge = ["B", "C"]\ncleats = true')
    read, assembly = cabinet(tmp_path, front, shelf)
    spans = [(strip.low[1], strip.high[1]) for strip in assembly.strips[::2]]
    assert spans == [pytest.approx((20, 125)), pytest.approx((193, 380))]
    assert [(cleat.length, cleat.count) for cleat in read.job.cleat] == [
        (pytest.approx(105), 2),
        (pytest.approx(187), 2),
    ]


def test_sides_of_another_stock_than_the_cabinets_are_told(tmp_path: Path) -> None:
    thin = '\n[[stock]]\nname = "thin"\nmaterial = "mdf"\nthickness = 12\nsheet = [2440, 1220]\ncount = 1\n'
    head = HEAD.replace('stock = "board"\nprofile', 'stock = "thin"\nprofile') + thin
    with pytest.raises(ProblemsFound, match=r'is a side of "board", but .* the sides are of "thin"'):
        cabinet(tmp_path, FRONT, head=head)


@pytest.mark.parametrize("copies", [1, 3])
def test_as_many_parts_as_places(tmp_path: Path, copies: int) -> None:
    leg = panel("leg", 'facing = "left"\nat = [50, 20, 20]\nmirror = true', f"size = [40, 40]\ncopies = {copies}")
    if copies == 1:
        read, assembly = cabinet(tmp_path, leg)
        assert (named(read, "leg").copies, named(read, "leg").mirrored) == (1, 1)
        assert [piece.label for piece in assembly.pieces[2:]] == ["leg", "leg (other side)"]
        return
    with pytest.raises(ProblemsFound, match="3 copies, but 2 places for them"):
        cabinet(tmp_path, leg)


def test_panels_behind_each_other_are_told_and_so_is_every_other_mistake_of_the_run(tmp_path: Path) -> None:
    first = panel("first", 'behind = "second"\nlength = 50')
    second = panel("second", 'behind = "first"\nlength = 50')
    wrong = panel("wrong", 'edge = ["B", "X"]\nstart = { butts = "nothing" }')
    with pytest.raises(ProblemsFound) as raised:
        cabinet(tmp_path, first, second, wrong)
    told = str(raised.value)
    assert 'panel "first": stands behind itself' in told
    assert "the profile has no edge B to X" in told
    assert '"nothing" is not a panel that it can meet' in told


@pytest.mark.parametrize(("sides", "inset"), [("", 0.0), ('sides = "housed"', 5.5), ('sides = "rabbeted"', 5.5)])
def test_cleats_lie_on_the_sides_inner_faces_however_far_the_panel_goes_into_them(
    tmp_path: Path, sides: str, inset: float
) -> None:
    """264 between the sides; housed, a panel goes 6 less half the slack of 1 into each."""
    read, _ = cabinet(tmp_path, panel("front", f'edge = ["B", "C"]\n{sides}\ncleats = true'))
    assert named(read, "front").size == pytest.approx((264 + 2 * inset, 400))
    (row,) = read.job.cleat
    lying = [strip(place.at, place.direction_deg, row.length, row.size[0]).bounds for place in row.place]
    assert lying[0] == pytest.approx((inset, 20, inset + 18, 380))
    assert lying[1] == pytest.approx((inset + 264 - 18, 20, inset + 264, 380))
