"""Artwork: how far film and print go, what is kept safe, which marks tell a turned sheet, which hand is which."""

from dataclasses import replace
from math import pi

import pytest
import shapely
from paper_samples import job, of_text

from cncpanel.drawing.artwork import (
    BLEED,
    CUT,
    MARKS,
    MOUNTING,
    OPENING,
    SAFE,
    TRIM,
    Print,
    artwork_lines,
    artwork_page,
    told,
)
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import flat, region_of
from cncpanel.job.model import Artwork, ArtworkSettings
from cncpanel.panel.lettering import text_width

SETTINGS = ArtworkSettings(spot="Die line")


def printed(name: str = "cheek", *, mirrored: bool = False, hand: str = "left", **asked: object) -> Print:
    read, panels = job("lit_sign")
    panel = next(one for one in panels if one.name == name)
    looked_at = Seen(panel=panel, edges=read.job.panel[panel.index].edge, mirrored_copy=mirrored)
    return Print(seen=looked_at, artwork=Artwork(**asked), settings=SETTINGS, hand=hand, unit="mm")


def shapes(made: Print, layer: str) -> list[shapely.Geometry]:
    return [
        flat(region_of(line.shape)) if isinstance(line.shape, Contour) else shapely.LineString(ends(line))
        for line in artwork_lines(made)
        if line.layer == layer
    ]


def ends(line) -> list[tuple[float, float]]:
    return [vertex.point for vertex in line.shape.vertices]


@pytest.mark.parametrize(
    ("name", "wrap", "film"), [("cheek", 0, 0.0), ("cheek", 7, 7.0), ("face", 4, 3 * (pi / 2 - 1) + 4)]
)
def test_the_film_ends_after_rounding_and_wrap_and_the_print_goes_on(name: str, wrap: float, film: float) -> None:
    made = printed(name, wrap=wrap)
    (trim,), (cut,), (bleed,) = (shapes(made, layer) for layer in (TRIM, CUT, BLEED))
    assert cut.boundary.hausdorff_distance(trim.boundary) == pytest.approx(film, abs=0.01)
    assert cut.symmetric_difference(trim.buffer(film, 256)).area < 1
    assert bleed.symmetric_difference(trim.buffer(film + 10, 256)).area < 1


def test_a_panels_own_bleed_and_safe_go_before_the_jobs() -> None:
    made = printed(bleed=3, safe=25)
    (trim,), (bleed,), safe = (shapes(made, layer) for layer in (TRIM, BLEED, SAFE))
    assert trim.boundary.distance(bleed.boundary) == pytest.approx(3, abs=0.005)
    assert trim.boundary.distance(safe[0]) == pytest.approx(25, abs=0.005)


def test_holes_are_shown_kept_clear_and_have_a_cross_in_their_waste() -> None:
    made = printed()
    (hole,), crosses = shapes(made, OPENING), shapes(made, MOUNTING)
    assert hole.area == pytest.approx(pi * 100, rel=1e-3)
    assert 2 == len(crosses)
    assert all(hole.contains(stroke) and stroke.length == pytest.approx(5) for stroke in crosses)
    assert any(shape.symmetric_difference(hole.buffer(5, 256)).area < 0.1 for shape in shapes(made, SAFE))


def test_a_tiny_hole_has_a_cross_that_fits_it(tmp_path) -> None:
    text = '[[panel]]\nname = "a"\nstock = "board"\nsize = [80, 60]\n[[panel.hole]]\ncentre = [40, 30]\ndiameter = 4\n'
    _, (panel,) = of_text(tmp_path, text)
    made = Print(seen=Seen(panel=panel, edges=()), artwork=Artwork(), settings=SETTINGS, hand="", unit="mm")
    (hole,), crosses = shapes(made, OPENING), shapes(made, MOUNTING)
    assert all(hole.contains(stroke) for stroke in crosses)
    assert 2 == len(crosses)


@pytest.mark.parametrize("change", ["turned", "mirrored left to right", "mirrored top to bottom"])
def test_registration_marks_turned_or_mirrored_do_not_fall_on_themselves(change: str) -> None:
    made = printed()
    marks = shapely.union_all([shape for shape in shapes(made, MARKS) if shape.geom_type == "Polygon"])
    centre = shapely.box(
        *shapely.union_all([s for s in shapes(made, MARKS) if s.geom_type == "Polygon"]).bounds
    ).centroid
    x, y = {"turned": (-1, -1), "mirrored left to right": (-1, 1), "mirrored top to bottom": (1, -1)}[change]
    moved = shapely.affinity.scale(marks, x, y, origin=centre)
    assert marks.symmetric_difference(moved).area > 40  # the odd square's own 25, at least in two places


def test_registration_marks_lie_ten_outside_the_trim_and_off_the_print() -> None:
    for made in (printed(bleed=0), printed(bleed=40)):
        (trim,), (bleed,) = shapes(made, TRIM), shapes(made, BLEED)
        for mark in shapes(made, MARKS):
            assert mark.distance(shapely.box(*trim.bounds)) >= 10 or bleed.bounds[1] > mark.bounds[3]
            assert not mark.intersects(shapely.box(*bleed.bounds))


def test_the_right_hand_is_the_mirror_of_the_left_and_both_say_so() -> None:
    left, right = printed(hand="left"), printed(hand="right", mirrored=True)
    for layer in (TRIM, CUT, OPENING):
        for a, b in zip(shapes(left, layer), shapes(right, layer), strict=True):
            mirrored = shapely.affinity.scale(a, -1, 1, origin=(60, 0))
            assert mirrored.symmetric_difference(b).area < 1e-3
    assert told(left, 1)[0] == "CHEEK LEFT - SHOW FACE - SEEN AS ONE LOOKS AT THAT FACE - THE MIRROR OF THE RIGHT ONE"
    assert told(right, 1)[0] == "CHEEK RIGHT - SHOW FACE - SEEN AS ONE LOOKS AT THAT FACE - THE MIRROR OF THE LEFT ONE"


def test_a_reduced_page_states_its_scale_and_keeps_its_pens() -> None:
    made = printed()
    full, reduced = artwork_page(made), artwork_page(made, 10)
    assert "SCALE 1 TO 10 - REDUCED - PRINT AT 1000 PERCENT - BAR 100 MM" in " - ".join(told(made, 10))
    assert "SCALE 1 TO 1 - PRINT AT 100 PERCENT - BAR 100 MM" in told(made, 1)
    widths = [
        {line.pen.width * window.factor for line in window.items} for page in (full, reduced) for window in page.windows
    ]
    assert sorted(widths[0]) == pytest.approx(sorted(widths[1]))
    assert full.trim is not None
    assert reduced.trim is not None
    assert reduced.trim[2] - reduced.trim[0] == pytest.approx((full.trim[2] - full.trim[0]) / 10)


def test_odd_letters_in_names_become_strokes(tmp_path) -> None:
    text = '[[panel]]\nname = "Größe & <Łódź> 🛠 4.5"\nstock = "board"\nsize = [80, 60]\n'
    _, (panel,) = of_text(tmp_path, text)
    settings = ArtworkSettings(spot="Stanz/Linie (1)")
    made = Print(seen=Seen(panel=panel, edges=()), artwork=Artwork(), settings=settings, hand="", unit="inch")
    assert list(artwork_lines(made))
    assert all(set(line) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_. ") for line in told(made, 1))


def test_openings_are_spoken_of_only_where_there_are_some() -> None:
    assert "OPENINGS" in " ".join(told(printed("face", hand=""), 1))
    assert "OPENINGS" not in " ".join(told(printed("lit pane", hand=""), 1))


@pytest.mark.parametrize("width", [30, 60, 400])
def test_words_of_a_narrow_panel_are_broken_before_they_are_too_small_to_read(tmp_path, width: int) -> None:
    _, (panel,) = of_text(tmp_path, f'[[panel]]\nname = "b"\nstock = "board"\nsize = [{width}, 300]\n')
    made = Print(seen=Seen(panel=panel, edges=()), artwork=Artwork(), settings=SETTINGS, hand="left", unit="mm")
    room = width + 2 * made.marks_room(1)
    lines = told(made, 1)
    assert all(text_width(line, 1.5) <= room for line in lines if " - " in line)
    assert (len(lines) > 5) == (width < 400)
    assert "CUT LINE IN SPOT COLOUR DIE LINE" in " ".join(lines)


def test_a_job_in_inches_has_a_bar_of_whole_inches() -> None:
    made = replace(printed("face", hand=""), unit="inch")
    assert "BAR 24 IN" in told(made, 1)[1]
    strokes = [ends(line) for line in artwork_lines(made) if line.layer == MARKS]
    assert 1 == len([stroke for stroke in strokes if stroke[1][0] - stroke[0][0] == pytest.approx(24 * 25.4)])
