"""Marks: our own letters, placed and mirrored."""

import string
from itertools import pairwise

import pytest
from resolving import Resolve

from cncpanel.geometry.contour import joined_bounds
from cncpanel.job.letters import HEIGHT, WIDTH
from cncpanel.panel.lettering import text_strokes, text_width
from cncpanel.panel.letters import letter
from cncpanel.panel.panel import Mark

PANEL = '[[panel]]\nname = "a"\nstock = "mdf"\nsize = [400, 300]\n'
ALL = string.ascii_uppercase + string.digits + "-_.^+"


def box(mark: Mark) -> tuple[float, ...]:
    """Round all its strokes."""
    return joined_bounds(s.bounds for stroke in mark.strokes for s in stroke.segments)


@pytest.mark.parametrize("character", ALL)
def test_every_letter_stays_within_its_grid(character: str) -> None:
    xmin, ymin, xmax, ymax = joined_bounds(s.bounds for stroke in letter(character) for s in stroke.segments)
    assert min(xmin, ymin) >= -1e-9
    assert xmax <= WIDTH + 1e-9
    assert ymax <= HEIGHT + 1e-9


@pytest.mark.parametrize("character", string.ascii_uppercase + string.digits)
def test_letters_and_digits_are_as_tall_as_the_grid(character: str) -> None:
    _, ymin, _, ymax = joined_bounds(s.bounds for stroke in letter(character) for s in stroke.segments)
    assert (ymin, ymax) == pytest.approx((0, HEIGHT))


def test_no_two_letters_are_alike() -> None:
    assert len({letter(character) for character in ALL}) == len(ALL)


def test_small_letters_are_cut_as_capitals_and_a_space_as_nothing() -> None:
    assert letter("q") == letter("Q")
    assert letter(" ") == ()


@pytest.mark.parametrize("character", "CDOGQUS03689")
def test_round_letters_run_smoothly_through_their_arcs(character: str) -> None:
    segments = letter(character)[0].segments
    joints = [(a, b) for a, b in pairwise(segments) if a.bulge and b.bulge]
    for before, after in joints:
        same_bow = before.bulge * after.bulge > 0 or character in "S8"
        assert same_bow
        assert before.end_direction == pytest.approx(after.start_direction, abs=1e-9)


def test_a_text_is_as_wide_as_its_letters_and_gaps() -> None:
    strokes = text_strokes("HH", 12, mirrored=False)
    assert joined_bounds(s.bounds for stroke in strokes for s in stroke.segments) == (0, 0, text_width("HH", 12), 12)


def test_a_mark_has_its_lower_left_where_it_was_put(resolved: Resolve) -> None:
    panel = resolved(PANEL + 'mark = [{text = "HH", at = [50, 60], height = 12}]').panel
    assert box(panel.marks[0]) == pytest.approx((50, 60, 50 + 20, 72))


def test_a_mark_turns_about_its_lower_left(resolved: Resolve) -> None:
    panel = resolved(PANEL + 'mark = [{text = "HH", at = [50, 60], height = 12, turn_deg = 90}]').panel
    assert box(panel.marks[0]) == pytest.approx((38, 60, 50, 80))


def test_a_mark_on_the_back_is_mirrored_in_its_own_box(resolved: Resolve) -> None:
    show = resolved(PANEL + 'mark = [{text = "LE", at = [50, 60], height = 12}]').panel.marks[0]
    back = resolved(PANEL + 'face = "back"\nmark = [{text = "LE", at = [50, 60], height = 12}]').panel.marks[0]
    assert box(back) == pytest.approx(box(show))
    for plain, seen in zip(show.strokes, back.strokes, strict=True):
        for v, w in zip(plain.vertices, seen.vertices, strict=True):
            assert (120 - v.x, v.y) == pytest.approx((w.x, w.y))


def test_a_mark_beyond_the_rim_is_told_and_one_over_a_cut_warned_of(resolved: Resolve) -> None:
    found = resolved(
        PANEL + 'opening = [{size = [50, 50], at = [95, 95]}]\nmark = [{text = "HELLO", at = [380, 100]},'
        ' {text = "A", at = [100, 100]}]'
    )
    assert found.problems == ['panel[0].mark[0]: panel "a", mark[0]: its text reaches 26.667 mm beyond the rim']
    assert found.warnings == ['panel[0].mark[1]: panel "a", mark[1]: its text runs over opening[0]']


@pytest.mark.parametrize(
    ("face", "turn_deg", "tip"), [("show", 0, (4, 12)), ("back", 0, (4, 12)), ("show", 90, (-12, 4))]
)
def test_an_arrow_points_to_the_letters_top_on_either_face(
    resolved: Resolve, face: str, turn_deg: int, tip: tuple[float, float]
) -> None:
    """12 high: the grid's unit is 2 mm, so the tip is 4 along from the lower left and 12 up."""
    mark = f'mark = [{{text = "^", at = [104, 100], height = 12, turn_deg = {turn_deg}}}]'
    (drawn,) = resolved(PANEL + f'face = "{face}"\n' + mark).panel.marks
    shaft = drawn.strokes[0].vertices
    assert (shaft[-1].x - 104, shaft[-1].y - 100) == pytest.approx(tip)


def test_a_mark_without_a_text_is_the_panels_name_and_an_arrow(resolved: Resolve) -> None:
    named, said = (
        resolved(PANEL + f"mark = [{{at = [50, 60]{text}}}]").panel.marks[0] for text in ("", ', text = "a ^"')
    )
    assert named.strokes == said.strokes
    odd = resolved(PANEL.replace('name = "a"', 'name = "Tür (L)"') + "mark = [{at = [50, 60]}]")
    assert odd.problems == [
        'panel[0].mark[0]: panel "Tür (L)", mark[0]: the panel\'s name has ( ) ü, which the letters lack'
    ]


def test_crosses_stand_on_their_centres(resolved: Resolve) -> None:
    for face in ("show", "back"):
        job = PANEL + f'face = "{face}"\nmark = [{{centres = [[50, 60], [150, 60]], height = 6}}]'
        (mark,) = resolved(job).panel.marks
        ends = [[(v.x, v.y) for v in stroke.vertices] for stroke in mark.strokes]
        assert ends == [
            [pytest.approx((47, 60)), pytest.approx((53, 60))],
            [pytest.approx((50, 57)), pytest.approx((50, 63))],
            [pytest.approx((147, 60)), pytest.approx((153, 60))],
            [pytest.approx((150, 57)), pytest.approx((150, 63))],
        ]
        assert mark.mirrored_strokes == mark.strokes


@pytest.mark.parametrize(("y", "told"), [(0.0, "0 mm"), (0.6, "0.6 mm"), (1.0, ""), (-0.5, "0.5 mm beyond the rim")])
def test_strokes_keep_off_the_rim(y: float, told: str, resolved: Resolve) -> None:
    problems = resolved(PANEL + f'mark = [{{ text = "L", at = [50, {y}], height = 6 }}]').problems
    assert len(problems) == bool(told)
    assert told in "".join(problems)
