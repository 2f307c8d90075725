"""Slots that the machine cuts into rims, from job to proof; what planted slips of their programs are told as."""

import re
from collections.abc import Iterable
from functools import cache
from math import pi, sqrt
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import shapely

from cncpanel.errors import ProblemsFound
from cncpanel.machine.read import read_machine
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.operation.operation import SlotChannel, SlotCut
from cncpanel.operation.slot_way import APART
from cncpanel.passes.run import Run
from cncpanel.proof.cuts import cuts_of
from cncpanel.proof.finding import Finding
from cncpanel.proof.program import read_programs
from cncpanel.proof.prove import witnessed
from cncpanel.proof.setup import Setup
from cncpanel.proof.undercut import swept

HEAD = """
[job]
name = "Sign"
machine = "nesting-router"
[settings]
packing = { steps = 0 }
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [340, 280]
count = 1
margin = 42
"""
PLATE = """
[[panel]]
name = "plate"
stock = "mdf"
turn = [0]
size = [160, 120]
radius = 20
"""
ALL_ROUND = HEAD + PLATE + "edge = [{ bench = false, t_slot = { width = 2.4, depth = 9 } }]\n"
STRETCH = HEAD + PLATE + (
    'edge = [{ side = "bottom", start = 10, stop = 100, bench = false, '
    "t_slot = { width = 1.6, depth = 9, middle = 6 } }]\n"
)  # fmt: skip
CORNERS = STRETCH.replace("radius = 20", "").replace("start = 10, stop = 100, ", "")
EYE_EDGE = "edge = [{ bench = false, t_slot = { width = 2.4, depth = 8 } }]"
EYE = f'{HEAD}{PLATE}opening = [{{ name = "eye", size = [90, 80], radius = 30, at = [35, 20], {EYE_EDGE} }}]\n'


@cache
def made(job: str = ALL_ROUND) -> Made:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "sign.toml"
        path.write_text(job, encoding="utf-8")
        return make(path, Choice(), lambda _: None)


def refused(job: str) -> list[str]:
    with pytest.raises(ProblemsFound) as found:
        made.__wrapped__(job)
    return [f"{one.place.key}: {one.text} ({one.allowed})" for one in found.value.problems]


def program(job: Made) -> str:
    (sheet,) = job.sheets
    (written,) = sheet.programs
    return written.text


def judged(job: Made, text: str) -> list[Finding]:
    sheet = job.sheets[0]
    setup = Setup(job.machine, sheet.sheet.stock.thickest)
    read = read_programs([("planted", text)], setup)
    report = witnessed(read, job.machine, sheet.target, {}).report
    return [one for one in report.findings if one.severity != "remark"]


def slot_runs(job: Made) -> list[Run]:
    return [run for run in job.sheets[0].runs.runs if run.tool.undercuts]


def planted(job: Made, pattern: str, put: str, count: int = 0) -> str:
    """The program with its last tool's part changed."""
    text = program(job)
    at = text.rindex("T13 M6")
    changed = re.sub(pattern, put, text[at:], count=count)
    assert changed != text[at:], "nothing was planted"
    return text[:at] + changed


def kinds(found: Iterable[Finding]) -> set[str]:
    return {one.kind for one in found}


@pytest.mark.parametrize(
    "job",
    [ALL_ROUND, STRETCH, CORNERS, pytest.param(EYE, marks=pytest.mark.slow)],
    ids=["all round", "stretch", "corners", "opening"],
)
def test_a_slot_cut_by_the_machine_is_proven(job: str) -> None:
    done = made(job)
    assert [str(one) for one in done.sheets[0].report.findings if one.severity != "remark"] == []
    assert done.passed
    assert len(done.sheets[0].target.slots) == 1
    assert slot_runs(done)


def test_the_disc_sweeps_the_slot_and_nothing_else_of_the_part_by_shapely_alone() -> None:
    """Outside check: the plate as a buffered box, its slot what lies within 9 of the rim, against the read-back moves.

    Radius 20 rounded: the box shrunk by 20 and grown by 20; within 9 of its rim is the rest less the plate shrunk by 9.
    """
    done = made(ALL_ROUND)
    part = done.sheets[0].sheet.parts[0]
    plate = shapely.buffer(shapely.box(part.x + 20, part.y + 20, part.x + 140, part.y + 100), 20, quad_segs=256)
    slot = shapely.difference(plate, shapely.buffer(plate, -9, quad_segs=256))
    setup = Setup(done.machine, 18.0)
    (read,) = read_programs([("sign", program(done))], setup)
    cuts = [cut for cut in cuts_of("sign", read.reading.moves, setup.tools, setup.top) if cut.tool.undercuts]
    for depth in (9.4, 10.2):  # the disc of 1.6 goes twice: 7.8 to 9.4 and 8.6 to 10.2, mid-thickness 9
        level = [cut for cut in cuts if abs(cut.deep - depth) < 1e-6 and not cut.move.is_vertical]
        gone = shapely.intersection(shapely.union_all([s for cut in level for s in swept(cut.move, 16.0)]), plate)
        assert slot.symmetric_difference(gone).area < 0.005 * slot.area
        assert slot.hausdorff_distance(gone) < 0.02
    assert {round(cut.deep, 4) for cut in cuts if cut.shallow == cut.deep} == {9.4, 10.2}


def test_where_the_disc_lies_the_channel_has_opened_the_scrap_over_it_and_a_little_below() -> None:
    """All that the disc covers beyond the part, at its place of entry too, was cut deeper by the flat tool before."""
    done = made(STRETCH)
    setup = Setup(done.machine, 18.0)
    (read,) = read_programs([("sign", program(done))], setup)
    cuts = cuts_of("sign", read.reading.moves, setup.tools, setup.top)
    deep = [cut for cut in cuts if cut.tool.undercuts and not cut.move.is_vertical]
    open_ground = [cut for cut in cuts if not cut.tool.undercuts and cut.shallow >= max(one.deep for one in deep)]
    disc = shapely.union_all([shape for cut in deep for shape in swept(cut.move, 16.0)])
    opened = shapely.union_all([shape for cut in open_ground for shape in swept(cut.move, cut.tool.radius)])
    part = done.sheets[0].target.pieces[0].shape
    assert shapely.difference(disc, shapely.union(opened, part)).area < 0.01


def test_at_an_end_on_the_rim_it_leaves_the_discs_round_within_the_stretch() -> None:
    """From 10 to 100: its centre goes from 10 + h to 100 - h, h the root of 16 x 16 - 7 x 7, 14.387."""
    (run,) = slot_runs(made(STRETCH))
    part = made(STRETCH).sheets[0].sheet.parts[0]
    assert part.angle_deg == 0
    h = sqrt(16**2 - 7**2)
    along = sorted({round(step.x - part.x, 3) for step in run.steps})
    assert along == pytest.approx([20 + 10 + h, 20 + 100 - h], abs=2e-3)  # the side's straight part begins at 20
    assert {round(part.y - step.y, 3) for step in run.steps} == {16 + APART, 7.0}


def test_a_slot_that_ends_at_corners_goes_from_corner_to_corner() -> None:
    (run,) = slot_runs(made(CORNERS))
    part = made(CORNERS).sheets[0].sheet.parts[0]
    assert sorted({round(step.x - part.x, 2) for step in run.steps}) == [0.0, 160.0]


def test_straight_in_it_goes_no_faster_than_along_and_round_in_climb() -> None:
    """Clockwise round the outside; the wall is met at half a turn of the disc in the wood and left at a feed."""
    runs = slot_runs(made(ALL_ROUND))
    assert len(runs) == 2
    for run in runs:
        down, onto, *along, off = run.steps
        assert (down.x, down.y) == (run.start.x, run.start.y)
        assert onto.feed <= max(step.feed for step in along)
        assert {step.z for step in (onto, *along, off)} == {down.z}
        places = [(step.x, step.y) for step in along]
        assert shapely.LinearRing(places).is_ccw is False
        assert off.feed > 0
    rim = 2 * (120 + 80) + 2 * pi * 27  # the rounded rectangle's straights, and its corners 7 further out
    length = sum(
        sqrt((b.x - a.x) ** 2 + (b.y - a.y) ** 2) for a, b in zip(runs[0].steps, runs[0].steps[1:], strict=False)
    )
    assert length > 0.9 * rim


@pytest.mark.parametrize(
    ("pattern", "put", "count", "expected"),
    [
        (r"(?s)\(PART PLATE, EDGE 1, T13\).*?(?=G53)", "", 0, {"leftover"}),  # missing
        (r"G1 Z7\.8000", "G1 Z8.2000", 0, {"leftover"}),  # the lower height higher: what is under it stays
        (r"G1 Z7\.8000", "G1 Z7.6000", 0, {"gouge"}),  # too low
        (r"(?s)(G1 Z8\.6000.*?)\nG0 Z", r"\1\nG1 Z12.0000\nG0 Z", 1, set()),  # up in the channel: as it should be
    ],
    ids=["missing", "too high", "too low", "up clear of the wall"],
)
def test_slips_of_height_are_found(pattern: str, put: str, count: int, expected: set[str]) -> None:
    job = made(ALL_ROUND)
    found = kinds(judged(job, planted(job, pattern, put, count)))
    assert found >= expected
    assert bool(found) == bool(expected)


def test_one_that_stops_short_and_one_that_lifts_in_the_wall_are_found() -> None:
    """The run: over its place, down, in (Y), along (X), out (Y), up."""
    job = made(STRETCH)
    onto, along, out = re.findall(r"^[XY][\d.]+", program(job)[program(job).rindex("(PART PLATE, EDGE 1") :], re.M)[-3:]
    assert (onto[0], along[0], out[0]) == ("Y", "X", "Y")
    x, middle = float(along[1:]), job.sheets[0].sheet.parts[0].x + 80
    short = f"X{x + (8 if x < middle else -8):.4f}"
    assert kinds(judged(job, planted(job, rf"{along}\b", short))) == {"leftover"}
    far = f"X{x - (8 if x < middle else -8):.4f}"
    assert "gouge" in kinds(judged(job, planted(job, rf"{along}\b", far)))
    lifted = judged(job, planted(job, rf"({along}[^\n]*)\n{out}", r"\1"))
    assert {"rapid-in-material", "undercut-lift"} <= kinds(lifted)


def test_a_slot_from_the_other_face_lies_as_far_under_that() -> None:
    """18 thick, its middle 6 under the show face: 5.2 to 6.8 with the show face up, 11.2 to 12.8 with the back up."""
    down = STRETCH.replace('name = "plate"', 'name = "plate"\nface = "back"')
    for job, deep in ((STRETCH, 6.8), (down, 12.8)):
        done = made(job)
        assert done.passed
        (slot,) = done.sheets[0].target.slots
        assert (slot.top, slot.bottom) == pytest.approx((deep - 1.6, deep))
        assert {round(step.z, 4) for run in slot_runs(done) for step in run.steps} == {-deep}
    swapped = planted(made(down), r"G1 Z5\.2000", "G1 Z11.2000")
    assert kinds(judged(made(down), swapped)) == {"leftover", "gouge"}


def test_a_mirrored_copy_gets_its_slot_on_its_own_side() -> None:
    job = CORNERS.replace('side = "bottom"', 'side = "right"').replace(
        'name = "plate"', 'name = "plate"\ncopies = 0\nmirrored = 1'
    )
    done = made(job)
    assert done.passed
    (slot,), (piece,) = done.sheets[0].target.slots, done.sheets[0].target.pieces
    assert slot.path.bounds[0] == slot.path.bounds[2] == piece.shape.bounds[0]


@pytest.mark.slow
def test_parts_lie_as_far_apart_as_the_channel_asks() -> None:
    two = ALL_ROUND.replace("sheet = [340, 280]", "sheet = [600, 280]").replace(
        'name = "plate"', 'name = "plate"\ncopies = 2'
    )
    done = made(two)
    first, second = (piece.shape for piece in done.sheets[0].target.pieces)
    assert done.passed
    assert first.distance(second) >= 2 * (16 + APART)


def test_the_feeds_page_names_the_discs_cut_and_the_record_its_heights() -> None:
    plan = made(ALL_ROUND).plans[0]
    (channel,) = [one for one in plan.operations if isinstance(one, SlotChannel)]
    (cut,) = [one for one in plan.operations if isinstance(one, SlotCut)]
    assert (channel.slot, cut.levels, channel.depth) == (cut, pytest.approx((9.4, 10.2)), pytest.approx(10.7))
    disc = [used for used in made(ALL_ROUND).sheets[0].runs.cuts if used.tool.undercuts]
    assert {(used.kind, used.depth) for used in disc} == {("profile", 1.6)}
    assert {round(used.width, 2) for used in disc} == {9.0, round(2 * sqrt(16**2 - 7**2), 2)}


UNDER = ALL_ROUND.replace("edge = [", 'edge = [{ round = 3, faces = "back" }, ')


@pytest.mark.parametrize(
    ("job", "words"),
    [
        (ALL_ROUND.replace("depth = 9", "depth = 12"), "it goes 11.50 mm into a wall beside its neck and shank"),
        (ALL_ROUND.replace("width = 2.4", "width = 1.5"), "its disc is 1.6 mm thick, the slot 1.5"),
        (ALL_ROUND.replace("nesting-router", "shop-router"), "T1 6 mm up-cut, T2 4 mm long up-cut, "),
        (ALL_ROUND.replace("margin = 42", "margin = 30"), "mm over the sheet's edge (a margin of the stock of 34 mm"),
        (ALL_ROUND.replace("depth = 9 }", "depth = 9, middle = 15 }"), "and would cut the tabs, whose tops are"),
        (ALL_ROUND.replace("packing", "gap = 20\npacking"), "a gap of 20 mm is less than the 34 mm a tool reaches"),
        (ALL_ROUND + "recess = [{ size = [40, 40], at = [4, 40], depth = 6 }]\n", "left between them, the slot and"),
        (ALL_ROUND + 'opening = [{ size = [30, 30], radius = 5, at = [5, 40] }]\n', "they meet, the slot and opening"),
        (ALL_ROUND.replace("edge = [", "edge = [{ round = 7 }, "), "left between them, the slot and edge 1"),
        (EYE.replace("radius = 30", "radius = 5"), "is tighter than the 8 mm that its centre keeps off the wall"),
        (UNDER.replace("packing", "tab_height = 5\npacking"), "and would strike the tabs: they stand over the other"),
        (STRETCH.replace("stop = 100", "stop = 35"), "no longer than the round that its disc leaves there, 28.77 mm"),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_told_with_what_to_change(job: str, words: str) -> None:
    told = refused(job)
    assert any(words in one for one in told), told


@pytest.mark.slow
def test_an_l_with_a_tight_inside_corner_is_refused_and_one_with_a_wide_corner_is_cut() -> None:
    corners = (
        "{ to = [0, 0] }, { to = [160, 0] }, { to = [160, 60] }, { to = [80, 60], radius = R }, { to = [80, 120] }, "
    )
    bent = ALL_ROUND.replace("size = [160, 120]\nradius = 20", f"outline = [{corners}{{ to = [0, 120] }}]")
    assert any("is tighter than the 7 mm" in one for one in refused(bent.replace("R }", "5 }")))
    assert made(bent.replace("R }", "14 }")).passed


def test_the_shipped_cutter_makes_the_trades_slots() -> None:
    """1/16 in in boards up to 3/4 in, 3/32 in wider, barbs of 8 to 10 (shared reference cabinet.md, a garbled scan that
    agrees with memory): one height, two heights, and room for the depth beside its neck."""
    (cutter,) = [tool for tool in read_machine("nesting-router").tool if tool.undercuts]
    assert cutter.cutting_length == pytest.approx(25.4 / 16, abs=0.02)
    assert cutter.radius - cutter.shank_diameter / 2 >= 10.0
    assert len(slot_runs(made(STRETCH))) == 1  # 1.6
    assert len(slot_runs(made(ALL_ROUND))) == 2  # 2.4


@pytest.mark.slow
def test_an_opening_that_is_cleared_whole_needs_no_channel() -> None:
    """50 x 50: no slug, all of it gone; the disc of 32 comes down in it and goes round."""
    small = EYE.replace("size = [90, 80], radius = 30", "size = [50, 50], radius = 18")
    done = made(small)
    assert done.passed
    assert [one for one in done.plans[0].operations if isinstance(one, SlotChannel)] == []
    assert slot_runs(done)


@pytest.mark.slow
def test_a_panel_cut_from_both_faces_gets_its_slot_after_the_turn() -> None:
    """The recess of the other face, 6 deep, leaves 18 - 6 - 10.2 under the slot where it comes near."""
    job = ALL_ROUND + 'recess = [{ face = "back", size = [60, 40], at = [X, 40], radius = 5, depth = 6 }]\n'
    done = made(job.replace("X", "50"))
    assert done.passed
    before = done.sheets[0].before
    assert before is not None
    assert before.target.slots == ()
    assert not any(run.tool.undercuts for run in before.runs.runs)
    assert len(slot_runs(done)) == 2
    told = refused(job.replace("X", "5"))
    assert any("1.8 mm is left between them, the slot and recess" in one for one in told), told


@pytest.mark.slow
def test_over_a_rounding_of_the_other_face_the_disc_passes_over_tabs_that_stand_higher() -> None:
    assert made(UNDER).passed
    assert len(slot_runs(made(UNDER))) == 2


def test_all_channels_are_opened_before_the_slot_cutter_is_fitted_and_told_by_their_rims() -> None:
    """An outline and an opening in it: one change of tools; no cut heavier than its feed was given for."""
    slot = "t_slot = { width = 1.6, depth = 5 }"
    rim = f"bench = false, {slot}"
    window = f'opening = [{{ name = "eye", size = [104, 80], radius = 36, at = [28, 20], edge = [{{ {rim} }}] }}]'
    done = made(f"{HEAD}{PLATE}edge = [{{ {rim} }}]\n{window}\n")
    text = program(done)
    assert text.count("M6") == 2
    assert [line for line in text.splitlines() if "CHANNEL" in line] == [
        "(PART PLATE, CHANNEL FOR EDGE 1 OF THE OUTLINE, T1)",
        "(PART PLATE, CHANNEL FOR EDGE 1 OF EYE, T1)",
    ]
    assert [one.kind for one in done.sheets[0].report.findings if one.kind == "engagement"] == []
