"""Both rims of a panel: one before the turn, one after it, each within its form; tabs stand between them."""

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from cncpanel.drawing.paper import Bullets, Cautions, Heading, Sentence
from cncpanel.drawing.setup import setup_pieces
from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.paper_set import setup_of
from cncpanel.make.sheet_set import SheetSet
from cncpanel.make.turned_set import turn_of
from cncpanel.operation.edge_kerf import UNDER_END
from cncpanel.proof.both_sides import both_sides_findings
from cncpanel.proof.cuts import cuts_of, deepest
from cncpanel.proof.finding import Finding
from cncpanel.proof.program import read_programs
from cncpanel.proof.prove import Witnessed, witnessed
from cncpanel.proof.rim import RimJudge
from cncpanel.proof.setup import Setup
from cncpanel.proof.sheet_ground import as_it_lies

BOTH = """
[job]
name = "Tag"
machine = "shop-router"
[settings]
packing = { steps = 0 }
[[stock]]
name = "mdf"
material = "mdf"
thickness = 18
sheet = [240, 190]
count = 1
margin = 30
[[panel]]
name = "tag"
stock = "mdf"
size = [120, 80]
radius = 12
edge = [{ round = 3, faces = "both" }]
opening = [{ name = "eye", diameter = 36, centre = [40, 40], edge = [{ round = 3, faces = "back" }] }]
"""
STRETCHES = BOTH.replace(
    'edge = [{ round = 3, faces = "both" }]', 'edge = [{ side = "top", round = 3, faces = "back" }, STRETCH]'
).replace("radius = 12", "radius = [12, 12, 0, 0]")


@cache
def made(job: str = BOTH) -> Made:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "tag.toml"
        path.write_text(job, encoding="utf-8")
        return make(path, Choice(), lambda _: None)


def kinds(findings: Iterable[Finding]) -> set[str]:
    return {finding.kind for finding in findings if finding.severity != "remark"}


def sides(job: Made) -> tuple[SheetSet, SheetSet]:
    (second,) = job.sheets
    assert second.before is not None
    return second.before, second


def texts(one: SheetSet) -> list[str]:
    return [written.text for written in one.programs]


def proven(one: SheetSet, changed: list[str]) -> Witnessed:
    machine = made().machine
    setup = Setup(machine, one.sheet.stock.thickest)
    return witnessed(read_programs([("planted", text) for text in changed], setup), machine, one.target)


def judged(one: SheetSet, changed: list[str]) -> set[str]:
    """What the sections across its rims find in changed programs."""
    setup = Setup(made().machine, one.sheet.stock.thickest)
    read = read_programs([("planted", text) for text in changed], setup)
    cuts = [cut for program in read for cut in cuts_of(program.name, program.reading.moves, setup.tools, setup.top)]
    return kinds(RimJudge(as_it_lies(one.target, setup), deepest(cuts), setup, 0.0).findings())


def test_both_rims_are_within_two_hundredths_of_the_quarter_circle() -> None:
    first, second = sides(made())
    assert kinds(second.report.findings) == set()
    assert [rim.name for rim in first.target.rims] == ["tag, edge 1", "tag, edge 1 of eye"]
    assert [rim.name for rim in second.target.rims] == ["tag, edge 1"]


def test_before_the_turn_a_kerf_goes_under_the_tool_s_end_and_nothing_comes_free() -> None:
    first, _ = sides(made())
    assert first.runs.tabs == ()
    assert {run.kind for run in first.runs.runs} == {"hole", "recess", "edge"}
    kerfs = [run for run in first.runs.runs if run.kind == "recess"]
    assert {min(step.z for step in run.steps) for run in kerfs} == {-(3 + 1 + UNDER_END)}
    assert judged(first, texts(first)) == set()


@pytest.mark.parametrize(("amount", "kind"), [(0.05, "gouge"), pytest.param(-0.05, "leftover", marks=pytest.mark.slow)])
def test_a_rim_before_the_turn_that_is_out_of_depth_is_found(amount: float, kind: str) -> None:
    first, _ = sides(made())
    changed = [text.replace("Z-4.0000", f"Z{-4.0 - amount:.4f}") for text in texts(first)]
    assert changed != texts(first)
    assert kind in judged(first, changed)


@pytest.mark.slow
def test_the_first_set_up_out_of_place_is_found_by_its_rims() -> None:
    first, _ = sides(made())
    moved = [re.sub(r"X(-?\d+\.\d+)", lambda x: f"X{float(x[1]) + 0.1:.4f}", text) for text in texts(first)]
    assert {"gouge", "leftover"} <= judged(first, moved)


@pytest.mark.slow
def test_a_rim_on_the_wrong_face_is_found() -> None:
    first, _ = sides(made())
    only_the_eye = replace(first.target, rims=first.target.rims[1:])
    assert "gouge" in kinds(proven(replace(first, target=only_the_eye), texts(first)).report.findings)


def test_tabs_stand_over_the_rim_that_was_cut_below_and_lower_ones_are_told() -> None:
    job = made()
    first, second = sides(job)
    tops = {tab.top for tab in second.runs.tabs}
    assert list(tops) == [pytest.approx(4 + UNDER_END + job.machine.cutting.tab_height - 18)]
    setup = Setup(job.machine, 18.0)
    turn = turn_of(first.sheet, job.machine, job.read.job.settings)
    low = [replace(tab, top=tab.top + 1.0) for tab in second.target.tabs]
    planted = as_it_lies(replace(second.target, tabs=tuple(low)), setup)
    carved = proven(first, texts(first)).carved
    found = [one for one in both_sides_findings(carved, None, planted, setup, turn) if one.kind == "tab-undercut"]
    outline = [one for one in found if "from below: 1.00 mm of it are left, 2 are asked for" in one.text]
    assert outline


@pytest.mark.slow
def test_an_edge_whose_tool_would_strike_the_raised_tabs_is_told() -> None:
    with pytest.raises(ProblemsFound) as told:
        made(BOTH.replace("thickness = 18", "thickness = 9").replace("round = 3", "round = 4"))
    assert "would strike the tabs: they stand over the other face's rims" in str(told.value)


@pytest.mark.slow
def test_a_skin_that_was_cut_from_below_is_told() -> None:
    with pytest.raises(ProblemsFound) as told:
        made(BOTH.replace("[settings]", '[settings]\nhold = "skin"'))
    assert "tag: no skin holds it, the kerf for edge 1 of the outline of the face below" in str(told.value)


@pytest.mark.slow
@pytest.mark.parametrize(
    "stretch",
    [
        '{ side = "left", round = 3, faces = "both", start = 12, stop = 68 }',
        '{ side = "bottom", round = 4, faces = "back" }',
        '{ between = ["upper left", "lower left"], bevel_deg = 45, depth = 3, faces = "back" }',
    ],
)
@pytest.mark.parametrize("more", ["", 'face = "back"\n', "copies = 0\nmirrored = 1\n"])
def test_stretches_of_the_other_face_are_cut_where_they_are_for_every_hand(stretch: str, more: str) -> None:
    job = made(STRETCHES.replace("STRETCH", stretch).replace('name = "tag"\n', f'name = "tag"\n{more}'))
    assert kinds(job.sheets[0].report.findings) == set()


def reasons(one: SheetSet) -> tuple[str, ...]:
    pieces = setup_pieces(setup_of(made(), one), 180.0)
    after = pieces[pieces.index(Heading("Why these tools")) + 1 :]
    return next(piece.points for piece in after if isinstance(piece, Bullets))


def test_both_set_ups_say_why_each_of_their_tools_was_taken() -> None:
    first, second = sides(made())
    assert (
        "T1 6 mm up-cut, for the dowels' holes: it bores by a helix, and clears the hole to its middle.",
        "T4 12 mm compression, for tag kerf for edge 1 of the outline, tag kerf for edge 1 of eye: it cuts that wall "
        "after the turn, so that rim and wall follow corners of one radius.",
    ) == reasons(first)
    assert {"T4"} == {reason.split()[0] for reason in reasons(second)}


def test_the_first_set_up_s_page_says_how_far_its_rims_may_step_off_their_walls() -> None:
    job = made()
    pages = [setup_pieces(setup_of(job, one), 180.0) for one in sides(job)]
    points = [[point for piece in page if isinstance(piece, Cautions) for point in piece.points] for page in pages]
    words = "may step off their walls by up to 0.3 mm"
    assert [any(words in point for point in told) for told in points] == [True, False]
    said = [
        piece.text for page in pages for piece in page if isinstance(piece, Sentence) and "light pass" in piece.text
    ]
    assert [text.split(": ")[0].split(".")[0] for text in said] == [
        "In a kerf that goes part of the way down",
        "After the walls, while tabs, a skin or the vacuum still hold the parts",
    ]


HORN = BOTH.replace("size = [120, 80]\nradius = 12", """outline = [
    { to = [0, 0], name = "A" }, { to = [120, 0], name = "B" }, { to = [60, 90], radius = 15 },
]""").replace('edge = [{ round', 'edge = [{ between = ["A", "B"], round', 1)  # fmt: skip


def test_a_stretch_that_ends_in_a_sharp_horn_is_judged_within_the_part_alone() -> None:
    """Its last sections leave the part through the horn's other wall, where the kerf is."""
    first, second = sides(made(HORN.replace("opening = [", "tab_free = [] #")))
    for one in (first, second):
        assert kinds(one.report.findings) == set()
        deeper = [text.replace("Z-4.0000", "Z-4.0500") for text in texts(one)]
        assert deeper != texts(one)
        assert "gouge" in judged(one, deeper)
