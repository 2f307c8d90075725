"""What holds a piece, in mm2 and N, against what pushes it: tabs, vacuum, clamps; reckoned here by hand."""

from collections.abc import Sequence
from math import pi

import pytest
import shapely
from proof_scene import good_text, judge, kinds, machine

from cncpanel.machine.model import Machine
from cncpanel.proof.carved import carved
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.cuts import cuts_of
from cncpanel.proof.load import stretches
from cncpanel.proof.material import Placed
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.prove import prove
from cncpanel.proof.reader import read
from cncpanel.proof.report import Report
from cncpanel.proof.rough_stock import blank
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severing
from cncpanel.proof.skin import Skinned, skinned

SHEET = (300.0, 200.0)
HEAD = """G17 G21 G40 G54 G61 G80 G90 G94
G53 G0 Z0
G0 X0 Y190
(MSG,FIT T1)
M0
G53 G0 Z0
M3 S18000
G4 P4
G0 X60 Y57
Z2
G1 Z0.2 F1000
"""
FOOT = """G0 Z20
M5
G4 P6
G0 X0 Y190
M30
"""
Tab = tuple[float, float]  # middle along X, height over the underside


def square(side: float, tabs: Sequence[Tab] = (), *, width: float = 8.0, feed: float = 4000.0) -> str:
    """A square piece with its corner at (60, 60) cut out by a 6 mm tool in 3 passes; tabs on its lower side."""
    far = 63.0 + side
    lines = [HEAD.rstrip()]
    for depth in (6.0, 12.0, 18.5):
        lines += [f"G1 X80 Y57 Z-{depth:g} F{feed:g}"]
        here = depth
        for middle, height in sorted(tabs):
            top = 18.0 - height
            if here <= top:
                continue
            half = (width + 6.0) / 2
            lines += [f"G1 X{middle - half:g}", f"Z-{top:g}", f"X{middle + half:g}", f"Z-{depth:g} F1000", f"F{feed:g}"]
        lines += [f"G1 X{far:g}", f"Y{far:g}", "X57", "Y57", "X81"]
        lines += [] if depth == 18.5 else ["G1 X60"]
    return "\n".join([*lines, FOOT])


def severing(text: str, on: Machine | None = None) -> Severing:
    setup = Setup(on or machine(), 18.0)
    cuts = cuts_of("a", read(text, setup.control).moves, setup.tools, setup.top)
    return Severing(shapely.box(0, 0, *SHEET), cuts, setup)


def judged(text: str, on: Machine | None = None, holding: tuple[Obstacle, ...] = ()) -> Report:
    """On a sheet of which nothing is known to be wanted."""
    place = on or machine()
    return prove([("a", text)], place, blank(SHEET, 18.0, place), circumstances=Circumstances(holding=holding))


def sucked() -> Machine:
    return machine(table={"hold": "vacuum", "clamp_height": 0})


def test_a_tabs_section_is_its_width_times_its_height() -> None:
    pieces = list(severing(square(100, [(100, 2.5), (140, 1.5)])).pieces([]))
    assert [round(piece.shape.area) for piece in pieces] == [10000]
    assert [round(section, 1) for section in pieces[0].own] == [20.0, 12.0]
    assert round(pieces[0].section, 1) == 32.0


def test_a_sloped_tabs_section_is_that_of_the_trapezoid_over_the_kerfs_middle() -> None:
    """8 mm wide and 2.5 mm high at the top, flanks of 25 mm on either side: 20 + 2 x 25 x 2.5 / 2 mm2."""
    before, last = square(100, [(100, 2.5)]).split("G1 X80 Y57 Z-18.5")
    flat, sloped = "G1 X93\nZ-15.5\nX107\nZ-18.5 F1000\n", "G1 X63 Z-18.5\nX93 Z-15.5\nX107\nX137 Z-18.5\n"
    assert flat in last
    assert "Y57\nX81\n" in last
    last = last.replace(flat, sloped).replace("Y57\nX81\n", "Y57\nX61\n")
    text = f"{before}G1 X60 Y57 Z-18.5{last}"
    pieces = list(severing(text).pieces([]))
    assert [len(piece.own) for piece in pieces] == [1]
    assert pieces[0].section == pytest.approx(20.0 + 25 * 2.5, abs=1.5)  # looked at every 0.2 mm


def test_the_good_plate_hangs_on_two_tabs() -> None:
    pieces = list(severing(good_text()).pieces([]))
    assert [[round(section, 1) for section in piece.own] for piece in pieces] == [[20.0, 20.0]]


def test_a_piece_is_parted_when_its_last_corner_is_cut() -> None:
    text = square(100, [(100, 2.5)])
    held = severing(text)
    setup = Setup(machine(), 18.0)
    cuts = cuts_of("a", read(text, setup.control).moves, setup.tools, setup.top)
    since = held.since(next(iter(held.pieces([]))).shape)
    assert since is not None
    lines = text.splitlines()
    assert lines[cuts[since - 1].move.line - 1] == "X81"  # the way along the first side, round to its start


def test_the_force_is_power_over_the_rims_speed() -> None:
    """A 6 mm slot 6 deep at 4000 mm/min: 2400 mm3/s, 84 W at 35 N/mm2, 5.65 m/s at 18000 rpm: 14.9 N."""
    setup = Setup(machine(), 18.0)
    reading = read(square(100), setup.control)
    moves = [Placed("a", move, 0) for move in reading.moves]
    taken = list(stretches(carved(moves, shapely.box(0, 0, *SHEET), setup)))
    slots = [one for one in taken if abs(one.section - 36) < 0.5]
    assert len(slots) > 4
    expected = 2400 * 35 / 1000 / (pi * 0.006 * 300)
    assert slots[0].force(setup.tools[1], 18000, 35) == pytest.approx(expected, rel=0.02)
    assert expected == pytest.approx(14.9, abs=0.05)


def test_stout_tabs_hold_and_thin_ones_are_told_with_force_hold_and_factor() -> None:
    assert "weak-hold" not in kinds(judged(square(100, [(100, 2.5), (140, 2.5)])))
    report = judged(square(100, [(100, 0.55)]))  # 0.3 where zero, thickness and table are 0.25 out
    found = [finding for finding in report.findings if finding.kind == "weak-hold"]
    assert len(found) == 1
    assert found[0].severity == "safety"
    assert found[0].measure == pytest.approx(8 * 0.3 * 5 / 16.2, rel=0.1)  # 12 N against 6 x 6.5 x 4000 / 60 x 35
    assert "1 tab, 2.4 mm2 at worst at 5 N/mm2, hold it with 12 N" in found[0].text
    assert "T1 pushes with" in found[0].text


def test_vacuum_holds_a_large_piece_and_not_a_small_one() -> None:
    """100 x 100 mm at 67.7 kPa and 0.3: 203 N; 20 x 20 mm: 8 N against 16 N."""
    assert "weak-hold" not in kinds(judged(square(100), sucked()))
    found = [finding for finding in judged(square(20 + 5), sucked()).findings if finding.kind == "weak-hold"]
    assert len(found) == 1
    assert "the vacuum alone holds it with 13 N" in found[0].text


def test_a_pieces_vacuum_is_told_where_it_is_cut_afterwards() -> None:
    text = square(100).replace(FOOT, "G0 Z2\nG0 X90 Y110\nG1 Z0.2 F1000\nG1 X130 Z-5 F3000\n" + FOOT)
    found = [finding for finding in judged(text, sucked()).findings if finding.kind == "cut-after-free"]
    assert [finding.severity for finding in found] == ["remark"]
    assert "the vacuum alone holds it, with 203 N against" in found[0].text
    assert "cut-after-free" in kinds(judged(text))
    assert "nothing holds it" in next(f.text for f in judged(text).findings if f.kind == "cut-after-free")


def test_two_screws_in_a_piece_hold_it_and_one_lets_it_turn() -> None:
    screw = Obstacle(kind="screw", xmin=100, ymin=100, xmax=110, ymax=110, height=5)
    text = square(100)
    assert {"loose"} <= kinds(judged(text))
    (freed,) = {found.line for found in judged(text).findings if found.kind == "loose"}
    assert "loose" not in kinds(judged("\n".join([*text.split("\n")[: freed - 1], FOOT])))
    assert "loose" in kinds(judged("\n".join([*text.split("\n")[:freed], FOOT])))
    assert kinds(judged(text, holding=(screw,))) == {"turns-on-screw"}
    assert kinds(judged(text, holding=(screw, screw.moved(30, 20)))) == set()


def loop(low: float, high: float, tab: Tab | None = None) -> str:
    """A second square way round, from `low` to `high` in X and Y, the tab on its lower side from X73 to X87."""
    lines = ["G0 Z2", f"G0 X{low:g} Y{low:g}", "G1 Z0.2 F1000"]
    for depth in (6.0, 12.0, 18.5):
        lines += [f"G1 X60 Y{low:g} Z-{depth:g} F4000"]
        if tab and depth > 18 - tab[1]:
            lines += ["G1 X73", f"Z-{18 - tab[1]:g}", "X87", f"Z-{depth:g} F1000", "F4000"]
        lines += [f"G1 X{high:g}", f"Y{high:g}", f"X{low:g}", f"Y{low:g}", "X61"]
    return "\n".join([*lines, FOOT])


def test_a_sliver_counts_like_a_part() -> None:
    """A ring 2.5 mm wide is left between two ways round."""
    report = judged(square(40).replace(FOOT, loop(48.5, 111.5)), sucked())
    pieces = sorted(
        round(piece.shape.area) for piece in severing(square(40).replace(FOOT, loop(48.5, 111.5))).pieces([])
    )
    assert pieces == [round(57**2 - 52**2 + (4 - pi) * 9), 1600]
    assert len([finding for finding in report.findings if finding.kind == "loose"]) == 2


def test_two_pieces_that_hang_together_hang_on_the_bars_to_the_sheet() -> None:
    """A ring with a piece inside: the inner one on one stout bar, both on the ring's thin one."""
    text = square(40, [(92, 9.0)]).replace(FOOT, loop(37, 143, (80, 1.0)))
    pieces = sorted(severing(text).pieces([]), key=lambda piece: piece.shape.area)
    assert [round(sum(piece.own)) for piece in pieces] == [72, 80]
    assert [round(piece.section, 1) for piece in pieces] == [8.0, 8.0]


def test_the_good_plate_is_held_well_enough() -> None:
    assert kinds(judge(good_text())) == set()


def test_a_clamp_that_only_a_raised_sheet_brings_into_the_way_is_told() -> None:
    """The tool crosses 5.02 over the sheet and a clamp stands 5 high; the zero may be 0.05 out."""
    clamp = Obstacle(kind="clamp", xmin=20, ymin=20, xmax=30, ymax=30, height=5)
    text = square(100, [(100, 2.5), (140, 2.5)]).replace("G0 Z20\n", "G0 Z5.02\nG0 X25 Y25\nG0 Z20\n")
    found = [finding for finding in judged(text, holding=(clamp,)).findings if finding.kind == "holding-hit"]
    assert [finding.text.split(" on a sheet")[1] for finding in found] == [" that stands 0.05 mm higher"] * len(found)
    assert found
    assert "holding-hit" not in kinds(judged(text.replace("Z5.02", "Z5.06"), holding=(clamp,)))


def strip(far: float) -> str:
    """A way right across the sheet at Y30: the strip below it comes off."""
    lines = [HEAD.replace("X60 Y57", "X-3 Y30").rstrip()]
    for depth in (6.0, 12.0, 18.5):
        lines += ["G1 X-3 F4000", f"Z-{depth:g} F1000", f"G1 X{far:g} F4000"]
    return "\n".join([*lines, FOOT])


@pytest.mark.parametrize(("far", "severities"), [(303.0, ["remark"]), (280.0, [])])
def test_a_strip_at_the_sheets_edge_is_told_of(far: float, severities: list[str]) -> None:
    found = [finding for finding in judged(strip(far)).findings if finding.kind == "loose"]
    assert [finding.severity for finding in found] == severities


def test_a_strip_with_no_clamp_on_it_fails_and_with_one_passes() -> None:
    frame = Obstacle(kind="clamp", xmin=150, ymin=180, xmax=170, ymax=200, height=5)
    on_it = Obstacle(kind="clamp", xmin=150, ymin=0, xmax=170, ymax=15, height=5)
    assert kinds(judged(strip(303), holding=(frame,))) == {"loose"}
    assert kinds(judged(strip(303), holding=(frame, on_it))) == set()


def test_a_ramped_tab_holds_by_the_triangle_that_the_tool_leaves() -> None:
    """Up 3 mm in 7 and down again, from 0.5 below the sheet, by a tool of radius 3: 2.5 - 3 / 7 (s + 3) is left."""
    text = square(100, [(100, 2.5)]).replace("X93\nZ-15.5\nX107\nZ-18.5 F1000\nF4000", "X93\nX100 Z-15.5\nX107 Z-18.5")
    peak = 2.5 - 9 / 7
    (piece,) = severing(text).pieces([])
    assert piece.section == pytest.approx(peak * peak * 7 / 3, abs=0.3)


# -- skins -----------------------------------------------------------------------------------------------------------


def skinned_square(side: float, skin: float, *, last: float = 18.5, feed: float = 4000.0, deepest: bool = True) -> str:
    """The square cut down to a skin, which one more pass cuts where it is `deepest`."""
    far = 63.0 + side
    depths = [6.0, 12.0, 18.0 - skin, *([last] if deepest else [])]
    lines = [HEAD.rstrip()]
    for depth in depths:
        lines += [f"G1 X{60 + side / 2:g} Y57 Z-{depth:g} F{feed:g}", f"G1 X{far:g}", f"Y{far:g}", "X57", "Y57"]
        lines += [f"X{61 + side / 2:g}", "X60"]
    return "\n".join([*lines, FOOT])


def skins(text: str, lower: float = 0.0, held_at: Sequence[shapely.Geometry] = ()) -> list[Skinned]:
    setup = Setup(machine(), 18.0)
    cuts = cuts_of("a", read(text, setup.control).moves, setup.tools, setup.top)
    return list(skinned(shapely.box(0, 0, *SHEET), cuts, setup, lower, held_at))


@pytest.mark.parametrize(("skin", "lower"), [(0.5, 0.0), (0.5, 0.2), (1.5, 0.3)])
def test_a_skins_section_is_its_rims_length_times_what_is_left_at_worst(skin: float, lower: float) -> None:
    """Of the square's rim, 4 sides; the ring that is looked along lies 0.2 mm outside it."""
    found = skins(skinned_square(50, skin, deepest=False), lower)
    assert [round(piece.shape.area) for piece in found] == [2500]
    assert found[0].section == pytest.approx((200 + 2 * pi * 0.2) * (skin - lower), rel=0.01)
    assert found[0].thinnest == pytest.approx(skin, abs=1e-6)


def test_a_skin_holds_until_the_first_cut_goes_through_it() -> None:
    text = skinned_square(50, 0.5)
    setup = Setup(machine(), 18.0)
    cuts = cuts_of("a", read(text, setup.control).moves, setup.tools, setup.top)
    (piece,) = skins(text)
    assert min(number for number, cut in enumerate(cuts) if cut.deep > 18) == piece.until
    assert piece.since < piece.until


def test_a_thick_floor_a_clamp_and_a_cut_right_through_are_no_skin() -> None:
    assert skins(skinned_square(50, 2.5, deepest=False)) == []
    assert skins(skinned_square(50, 0.5, deepest=False), held_at=[shapely.box(80, 80, 90, 90)]) == []
    assert skins(square(50)) == []


def test_a_weak_skin_fails_and_a_strong_one_does_not() -> None:
    """12 mm square, 49 mm round, 0.25 mm less at worst: 25 N at 5 N/mm2, where 13 N push and twice as much is asked."""
    strong = judged(skinned_square(12, 0.9, deepest=False))
    assert "weak-hold" not in kinds(strong)
    weak = [f for f in judged(skinned_square(12, 0.35, deepest=False)).findings if f.kind == "weak-hold"]
    assert [("safety", "mm2 of skin at worst, 0.35 mm thick as programmed")] == [
        (f.severity, f.text[f.text.index("mm2 of skin") : f.text.index(", hold it")]) for f in weak
    ]
