"""What a template draws: lines by kind, sides by face, words that say them."""

import pytest
import shapely
from paper_samples import TOLD, of_text, seen

from cncpanel.drawing.ahead import RouterAhead, SawAhead
from cncpanel.drawing.check_points import check_points, tape_checks
from cncpanel.drawing.paper import Label
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.template import AHEAD, BEHIND, FINISHED, PART_WAY, Template, template
from cncpanel.drawing.template_pages import roll_page, tiled_pages
from cncpanel.drawing.words import label_box, settle
from cncpanel.geometry.contour import Contour, Path, circle, polygon
from cncpanel.geometry.region import flat, region_of
from cncpanel.job.model import TemplateSettings
from cncpanel.job.paper_size import paper_size

BOARD = """
[[panel]]
name = "board"
stock = "board"
size = [400, 300]
FACE
[[panel.opening]]
at = [50, 50]
size = [100, 80]
radius = 12
[[panel.recess]]
name = "tray"
at = [220, 60]
size = [60, 40]
radius = 6
depth = 5
[[panel.hole]]
centre = [60, 250]
diameter = 20
[[panel.edge]]
side = "left"
round = 6
bench = true
"""


def board(tmp_path, cut_from: str = "show", **how: object) -> Seen:
    text = BOARD.replace("FACE", f'face = "{cut_from}"')
    read, (panel,) = of_text(tmp_path, text)
    return Seen(panel=panel, edges=read.job.panel[0].edge, **how)


def shapes(drawn: Template, layer: str) -> list[shapely.Geometry]:
    return [flat(region_of(line.shape)) for line in drawn.lines if line.layer == layer]


def words(drawn: Template) -> list[str]:
    return [label.text for label in (*drawn.fixed, *settle(drawn.wishes, drawn.taken))]


@pytest.mark.parametrize(("cut_from", "pen"), [("show", PART_WAY), ("back", BEHIND)])
def test_what_lies_on_the_other_face_is_dashed_and_said_to(tmp_path, cut_from: str, pen: object) -> None:
    drawn = template(board(tmp_path, cut_from), "mm")
    layer = "RECESS_5.00" if cut_from == "show" else "BACK_RECESS_5.00"
    assert {pen} == {line.pen for line in drawn.lines if line.layer == layer}
    assert any(text == f"recess tray: 5 mm deep{', other face' if cut_from == 'back' else ''}" for text in words(drawn))
    assert FINISHED.dash == ()


@pytest.mark.parametrize(("face", "mirrored", "x"), [("show", False, 60), ("back", False, 340), ("show", True, 340)])
def test_the_other_face_and_the_mirrored_copy_change_left_and_right(
    tmp_path, face: str, mirrored: bool, x: int
) -> None:
    drawn = template(board(tmp_path, face=face, mirrored_copy=mirrored), "mm")
    (hole,) = shapes(drawn, "HOLE_THROUGH")
    assert (hole.centroid.x, hole.centroid.y) == pytest.approx((x, 250))


def test_the_back_of_a_mirrored_copy_looks_like_the_front_of_the_plain_one(tmp_path) -> None:
    drawn = template(board(tmp_path, face="back", mirrored_copy=True), "mm")
    assert shapes(drawn, "HOLE_THROUGH")[0].centroid.x == pytest.approx(60)
    assert "BACK FACE" in words(drawn)


def test_a_guide_bush_follows_the_part_shrunk_by_half_of_what_bush_and_bit_differ(tmp_path) -> None:
    """Against GEOS's own buffer: the part less its opening shrunk by (17 - 8) / 2, the recess grown by it."""
    drawn = template(board(tmp_path), "mm", RouterAhead(17, 8))
    lines = sorted(shapes(drawn, "CUT_AHEAD_ROUTER"), key=lambda shape: shape.area)
    tray, window, outer = lines
    (part,), (opening,), (recess,) = (shapes(drawn, layer) for layer in ("OUTLINE", "OPENING", "RECESS_5.00"))
    assert outer.difference(window).symmetric_difference(part.difference(opening).buffer(-4.5, 256)).area < 0.5
    assert tray.symmetric_difference(recess.buffer(4.5, 256)).area < 0.1
    assert {AHEAD} == {line.pen for line in drawn.lines if line.layer == "CUT_AHEAD_ROUTER"}


def test_a_saw_stays_outside_the_part_and_inside_its_opening(tmp_path) -> None:
    drawn = template(board(tmp_path), "mm", SawAhead(3))
    window, outer = sorted(shapes(drawn, "CUT_AHEAD_SAW"), key=lambda shape: shape.area)
    (part,), (opening,) = shapes(drawn, "OUTLINE"), shapes(drawn, "OPENING")
    assert outer.boundary.distance(part) == pytest.approx(3, abs=0.005)
    assert window.boundary.distance(opening.boundary) == pytest.approx(3, abs=0.005)
    assert opening.contains(window)
    assert drawn.bounds == pytest.approx((-3, -3, 403, 303))


@pytest.mark.parametrize(("mirrored", "x"), [(False, 6), (True, 394)])
def test_a_rounding_is_marked_where_it_begins_on_its_own_side(tmp_path, mirrored: bool, x: float) -> None:
    drawn = template(board(tmp_path, mirrored_copy=mirrored), "mm")
    (line,) = [line for line in drawn.lines if line.layer == "EDGE_ROUND"]
    assert line.bounds == pytest.approx((x, 0, x, 300))
    assert "round 6 mm, show face" in words(drawn)


def test_names_face_top_sizes_and_lengths_are_written(tmp_path) -> None:
    told = words(template(board(tmp_path), "mm"))
    for text in ("board", "SHOW FACE", "TOP", "Ø20 mm through", "400 mm", "300 mm", "LL", "UR"):
        assert text in told
    assert "10 7/8 in" not in told


def test_holes_of_a_grille_are_crossed_and_sized_once() -> None:
    drawn = template(seen("millrace", "canopy soffit"), "mm")
    crosses = [line for line in drawn.lines if line.layer == "CENTRE"]
    holes = seen("millrace", "canopy soffit").panel.holes
    assert 2 * len(holes) == len(crosses)
    sized = [text for text in words(drawn) if "Ø6 mm" in text]
    assert len(sized) == 2
    assert all(" x Ø6 mm through" in text for text in sized)


def test_a_tape_finds_sides_and_diagonals() -> None:
    rectangle = polygon([(0, 0), (300, 0), (300, 400), (0, 400)])
    over_all, points = tape_checks(rectangle, "mm")
    assert "Over all: 300 mm wide, 400 mm high." == over_all
    assert "LL to UR 500 mm" in points
    assert "LR to UL 500 mm" in points
    assert () == check_points(circle((0, 0), 80))
    assert "Over all: 6 19/64 in wide, 6 19/64 in high." == next(tape_checks(circle((0, 0), 80), "inch"))


def crossing(drawn: Template, texts: tuple[str, ...]) -> list[str]:
    """Of these words those that lie on a line."""
    lines = [shapely.LineString([*map(tuple, s)]) for line in drawn.lines for s in flattened(line.shape)]
    boxes = {label.text: shapely.box(*label_box(label)) for label in settle(drawn.wishes, drawn.taken)}
    return [text for text in texts if any(boxes[text].intersects(line) for line in lines)]


def flattened(shape: Contour | Path) -> list[list[tuple[float, float]]]:
    return [
        [(point.x, point.y) for point in (segment.point_at(i / 12) for i in range(13))] for segment in shape.segments
    ]


@pytest.mark.parametrize("job_and_panel", [("rounded_tray", "tray"), ("rounded_tray", "stand side")])
def test_corner_names_sides_and_rims_lie_on_no_line(job_and_panel: tuple[str, str]) -> None:
    drawn = template(seen(*job_and_panel), "mm")
    names = tuple(label.text for label in settle(drawn.wishes, drawn.taken))
    begin = ("LL", "LR", "UR", "UL", "round", "all edges", "rim")
    wanted = [text for text in names if text.startswith(begin) or text.endswith(" mm")]
    assert {"LL", "LR", "UR", "UL"} <= set(wanted)
    assert [] == crossing(drawn, tuple(wanted))


def test_round_corners_are_taped_at_the_middle_of_their_arcs_with_a_tick_there(tmp_path) -> None:
    """A rounded rectangle's diagonals are equal; each is the box's less 2 R (root 2 - 1) at its ends."""
    read, (panel,) = of_text(tmp_path, '[[panel]]\nname = "b"\nstock = "board"\nsize = [300, 400]\nradius = 20\n')
    drawn = template(Seen(panel=panel, edges=read.job.panel[0].edge), "mm")
    assert 4 == len([line for line in drawn.lines if line.layer == "CHECK_POINT"])
    a, b, c, d = (point.at for point in drawn.points)
    assert a.distance(c) == pytest.approx(b.distance(d))
    inset = 20 * (1 - 0.5**0.5)
    assert a.distance(b) == pytest.approx(300 - 2 * inset)


def test_a_round_opening_tells_its_rim() -> None:
    told = words(template(seen("rounded_tray", "stand side"), "mm"))
    assert any(text.startswith("rim: bevel 45 deg, 3 mm wide") for text in told)


def test_no_words_that_a_tile_would_cut_off_lie_beyond_the_panel() -> None:
    drawn = template(seen("rounded_tray", "tray"), "mm")
    left, low, right, high = drawn.bounds
    for label in (*drawn.fixed, *settle(drawn.wishes, drawn.taken)):
        a, b, c, d = label_box(label)
        assert left <= a < c <= right, label.text
        assert low <= b < d <= high, label.text


def test_the_name_keeps_its_size_beside_a_rounding() -> None:
    (name,) = (label for label in template(seen("rounded_tray", "tray"), "mm").fixed if label.text == "tray")
    assert name.size >= 3.0
    assert label_box(name)[0] >= 6.0, "inside the rounding's line"


@pytest.mark.parametrize("paper", ["A4", "140x160", "150x170"])
def test_words_stand_whole_on_one_tile_where_they_can(tmp_path, paper: str) -> None:
    """A hole's size and the sides' lengths, which have several places as good as each other."""
    pages = tiled_pages(template(board(tmp_path), "mm"), TOLD, paper_size(paper), TemplateSettings())
    windows = [shapely.box(*window.bounds) for page in pages for window in page.windows]
    items = next(page.windows[0].items for page in pages if page.windows)
    labels = [item for item in items if isinstance(item, Label) and item.text in ("\u00d820 mm through", "400 mm")]
    assert 3 == len(labels)
    for label in labels:
        assert any(window.contains(shapely.box(*label_box(label))) for window in windows), label


@pytest.mark.parametrize(
    ("paper", "told", "not_told"),
    [
        ("A4", "6 tiles in 2 rows and 3 columns;", "One tile"),
        ("500x220", "2 tiles in 2 rows and 1 column;", "One tile"),
        ("A1", "One tile holds the whole panel.", "joined"),
    ],
)
def test_tiles_are_counted_in_words_and_one_alone_is_not_joined(tmp_path, paper: str, told: str, not_told: str) -> None:
    first = tiled_pages(template(board(tmp_path), "mm"), TOLD, paper_size(paper), TemplateSettings())[0]
    said = " ".join(item.text for item in first.items if isinstance(item, Label))
    assert told in said
    assert not_told not in said
    assert ("Off by more than 1 in 1000: join again." in said) == ("One tile" not in told)


def test_a_template_in_one_piece_says_nothing_of_joining(tmp_path) -> None:
    page = roll_page(template(board(tmp_path), "mm"), TOLD, TemplateSettings())
    said = " ".join(item.text for item in page.items if isinstance(item, Label))
    assert "Off by more than 1 in 1000: print again." in said
    assert "joined" not in said
