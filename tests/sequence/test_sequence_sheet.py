"""Whole programs as blocks and as text: safe starts, stops, spindle, heights, frames, names."""

import re
from itertools import pairwise

import pytest
from modal_reader import Move, read
from sequence_samples import JOB, SHIPPED, door, hole_run, machine, outline_run, run, sheet, sheet_runs

from cncpanel.errors import Gathering
from cncpanel.geometry.point import Point
from cncpanel.output.rs274 import program_text
from cncpanel.sequence.frame import clearance_height, programmed, segments_of, top_of_sheet
from cncpanel.sequence.program import Comment, Cut, Dwell, LiftHome, Rapid, SpindleOff, SpindleOn, Stop
from cncpanel.sequence.sheet import sheet_programs
from cncpanel.sequence.spot import touch_off_spot
from cncpanel.sequence.trace import frame_trace
from cncpanel.sequence.wording import file_stem, plain_name, said_tool

BOARD = sheet()


def changed(router, section, **changes):
    part = getattr(router, section).model_copy(update=changes)
    return router.model_copy(update={section: part})


def programs(router, runs=None):
    gathering = Gathering()
    found = sheet_programs(BOARD, runs or door(router), router, JOB, gathering, sheets=2)
    assert gathering.problems == ()
    return found


VARIANTS = [
    (name, change, control, homes)
    for name in SHIPPED
    for change in ("changer", "stop", "file")
    for control in ("program", "hand")
    for homes in (True, False)
]


@pytest.fixture(params=VARIANTS, ids=str)
def router(request):
    """Each shipped machine with each way to change tools, to turn the spindle, with and without homing."""
    name, change, control, homes = request.param
    found = changed(machine(name), "dialect", tool_change=change, length_offsets=change == "changer")
    return changed(changed(found, "spindle", control=control), "motion", homes=homes)


def test_every_variant_reads_back_and_keeps_the_safety_rules(router):
    clear = clearance_height(BOARD.stock, router)
    top = top_of_sheet(BOARD.stock, router)
    for program in programs(router):
        reading = read(program_text(program, router))
        first = next(e for e in reading.events if not isinstance(e, str) or not e.startswith(("(", "G17", "G6")))
        assert first == ("G53 Z" if router.motion.homes else "M0")
        spindle_by_hand = router.spindle.control == "hand"
        for move in reading.moves:
            flat = move.start[:2] != move.end[:2]
            if move.word == "G0":
                assert not (flat and move.start[2] != move.end[2]), "a rapid moves Z with X and Y"
                if flat and move.end[2] is not None:
                    assert move.end[2] >= clear - 1e-3
                assert move.end[2] is None or move.end[2] >= top + 0.99
            else:
                assert spindle_by_hand or move.spindle > 0


def test_the_spindle_is_stopped_and_waited_for_only_after_the_retract(router):
    for program in programs(router):
        height_known_safe = False
        for block, following in pairwise(program.blocks):
            if isinstance(block, LiftHome) or (isinstance(block, Rapid) and block.z is not None):
                height_known_safe = isinstance(block, LiftHome) or block.z >= clearance_height(BOARD.stock, router)
            elif isinstance(block, Cut):
                height_known_safe = False
            elif isinstance(block, SpindleOff):
                assert height_known_safe
            elif isinstance(block, SpindleOn):
                assert isinstance(following, Dwell)


def test_a_stop_waits_at_the_park_and_lifts_first_afterwards(router):
    for program in programs(router):
        blocks = program.blocks
        stops = [i for i, block in enumerate(blocks) if isinstance(block, Stop)]
        for number, i in enumerate(stops):
            if number or router.motion.homes:
                assert isinstance(blocks[i - 1], Rapid)
                assert router.motion.park == (blocks[i - 1].x, blocks[i - 1].y)
            lift = LiftHome() if router.motion.homes else Rapid(z=clearance_height(BOARD.stock, router))
            assert i == len(blocks) - 2 or blocks[i + 1] == lift


def test_a_hand_spindle_is_switched_on_before_the_first_cut_and_off_at_the_end(router):
    for program in programs(router):
        said = [" ".join(b.lines) if isinstance(b, Stop) else type(b).__name__ for b in program.blocks]
        on = [i for i, text in enumerate(said) if "SWITCH THE SPINDLE ON" in text]
        off = [i for i, text in enumerate(said) if "SWITCH THE SPINDLE OFF" in text]
        if router.spindle.control == "program":
            assert not on
            assert not off
            continue
        if router.dialect.tool_change != "changer":
            assert len(on) == len(off)
        assert on[0] < said.index("Cut")
        assert off[-1] > max(i for i, text in enumerate(said) if text == "Cut")


def test_a_changer_never_changes_tools_under_a_turning_hand_spindle():
    router = changed(machine("nesting-router"), "spindle", control="hand")
    said = [" ".join(b.lines) if isinstance(b, Stop) else type(b).__name__ for b in programs(router)[0].blocks]
    changes = [i for i, text in enumerate(said) if text == "ToolChange"]
    assert len(changes) == 2
    between = said[changes[0] : changes[1]]
    assert any("SWITCH THE SPINDLE OFF" in text for text in between)


def test_a_file_a_tool_counts_the_runs_and_names_its_tool():
    assert [program.name for program in programs(machine("desktop-router"))] == [
        "sample-board-sheet1-run1of2-t2",
        "sample-board-sheet1-run2of2-t1",
    ]
    assert [program.name for program in programs(machine("shop-router"))] == ["sample-board-sheet1-run1of1"]


def test_the_header_says_what_an_operator_checks():
    shop = machine("shop-router")
    measured = shop.tool[0].model_copy(update={"measured_diameter": 5.93})
    runs = sheet_runs(outline_run("Door", measured, (60, 60), (300, 200)))
    (program,) = programs(shop, runs)
    comments = [block.text for block in program.blocks if isinstance(block, Comment)]
    assert comments == [
        "JOB SAMPLE -BOARD-, REVISION B",
        "MACHINE SHOP-ROUTER",
        "SHEET 1 OF 2, RUN 1 OF 1",
        "UNITS MM, WORK OFFSET G54, DWELLS IN SECONDS, TOOLS BY HAND AT STOPS",
        "STOCK BOARD, 700 X 500 MM, THICKNESS 18.1 MM AS MEASURED",
        "X0 Y0 THE SHEET'S CORNER NEAREST THE MACHINE'S ZERO, LONG SIDE ALONG X",
        "Z0 THE SHEET'S TOP, SET AT X15 Y15 WHERE NO PROGRAM CUTS",
        "TOOL T1 6 MM UP-CUT, DIAMETER 6 MM MEASURED 5.93 MM, STICK-OUT 32 MM",
        "PART DOOR, OUTLINE, T1",
    ]


def test_a_quarter_turn_keeps_lengths_and_the_sense_of_arcs():
    turned = machine("shop-router-inch")
    assert turned.sheet_turned
    before = hole_run("p", turned.tool[0], (150.0, 100.0), 20.0)
    after = programmed(before, BOARD, turned)
    assert after.start == Point(400.0, 170.0)
    for a, b in zip(segments_of(before), segments_of(after), strict=True):
        assert a.bulge == b.bulge
        assert a.length == pytest.approx(b.length)
        assert b.bounds[0] == pytest.approx(500.0 - a.bounds[3])
        assert b.bounds[1] == pytest.approx(a.bounds[0])


def test_z_counts_from_the_table_where_its_zero_lies_there():
    router = machine("nesting-router")
    lowest = min(block.z for block in programs(router)[0].blocks if isinstance(block, Cut))
    assert lowest == pytest.approx(18.1 - 18.6)


def test_a_run_that_begins_on_a_cleared_floor_is_fed_down_from_the_top():
    router = machine("shop-router")
    low = hole_run("p", router.tool[0], (100.0, 100.0), 10.0)
    low = type(low)(**{name: getattr(low, name) for name in low.__slots__} | {"approach": -4.0})
    blocks = programs(router, sheet_runs(low))[0].blocks
    first = next(i for i, block in enumerate(blocks) if isinstance(block, Cut))
    assert blocks[first - 1] == Rapid(z=1.0)
    assert blocks[first] == Cut(x=110.0, y=100.0, z=-4.0, feed=router.motion.feed_z_max)


def test_the_touch_off_spot_lies_on_the_sheet_where_nothing_is_cut():
    router = machine("shop-router")
    low = [
        outline_run("p", router.tool[0], (20.0, 20.0), (200.0, 100.0)),
        run("mark", "p", router.tool[0], (15.0, 15.0)),
    ]
    spot = touch_off_spot(low, (700.0, 500.0))
    assert spot is not None
    assert min(spot) >= 15.0
    for each in low:
        for segment in segments_of(each):
            for i in range(21):
                assert segment.point_at(i / 20).distance(spot) >= each.tool.radius + 15.0 - 1e-9


def test_a_sheet_cut_everywhere_has_no_touch_off_spot():
    router = machine("shop-router")
    rows = [run("recess", "p", router.tool[0], (0.0, 5.0 * i), to=(100.0, 5.0 * i)) for i in range(21)]
    assert touch_off_spot(rows, (100.0, 100.0)) is None


@pytest.mark.parametrize("name", SHIPPED)
def test_the_frame_trace_goes_round_all_cuts_above_the_clamps_with_a_still_spindle(name):
    router = machine(name)
    trace = frame_trace(BOARD, door(router), programs(router), router, JOB)
    text = program_text(trace, router)
    moves = [m for m in read(text).moves if m.word == "G1"]
    assert len(moves) == 4
    assert {clearance_height(BOARD.stock, router)} == {round(m.end[2], 3) for m in moves}
    assert not re.search(r"\bM3\b", text)
    assert any("SPINDLE OFF" in block.text for block in trace.blocks if isinstance(block, Comment))
    cuts = [
        m
        for p in programs(router)
        for m in read(program_text(p, router)).moves
        if isinstance(m, Move) and m.word != "G0"
    ]
    box = [f(m.end[axis] for m in moves) for axis in (0, 1) for f in (min, max)]
    for move in cuts:
        assert box[0] - 0.01 <= move.end[0] <= box[1] + 0.01
        assert box[2] - 0.01 <= move.end[1] <= box[3] + 0.01


def test_a_sheet_without_runs_has_no_programs():
    router = machine("shop-router")
    assert sheet_programs(BOARD, sheet_runs(), router, JOB, Gathering()) == ()
    assert frame_trace(BOARD, sheet_runs(), (), router, JOB) is None


def test_names_from_a_job_cannot_speak_to_the_control():
    assert plain_name("Left door (2)") == "LEFT DOOR -2-"
    assert plain_name("msg,hallo") == "_MSG-HALLO"
    assert plain_name("a%\x07b") == "A-B"
    assert plain_name("дверь") == "-"


def test_a_tool_is_named_to_the_operator_with_its_diameter_as_the_machine_file_writes_it():
    """A comment may hold any printable character but a parenthesis (NISTIR 6556 section 3.3.4)."""
    router, inches = machine("shop-router"), machine("shop-router-inch")
    named = {tool.name: said_tool(tool, m)[0] for m in (router, inches) for tool in m.tool}
    assert named["4.5 mm drill"] == "T6 4.5 MM DRILL"
    assert named["5/32 in long up-cut"] == "T2 5/32 IN LONG UP-CUT"


@pytest.mark.parametrize(
    ("name", "in_a_comment", "in_a_file_name"),
    [
        ("4.5 mm drill", "4.5 MM DRILL", "4-5-mm-drill"),
        ("4,5 mm drill", "4,5 MM DRILL", "4-5-mm-drill"),
        (".25 in", ".25 IN", "25-in"),
        ("1½ in", "1 1/2 IN", "1-1-2-in"),
        ("../up, 1/ 2.", "-UP- 1- 2-", "up-1-2"),
        ("(MSG,5.5)", "-MSG-5.5-", "msg-5-5"),
        ("msg,5", "_MSG-5", "msg-5"),
    ],
)
def test_numbers_stay_numbers_in_comments_and_file_names_stay_safe(
    name: str, in_a_comment: str, in_a_file_name: str
) -> None:
    assert (plain_name(name), file_stem(name)) == (in_a_comment, in_a_file_name)
