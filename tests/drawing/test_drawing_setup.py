"""The set-up pages say what an operator must know before pressing start."""

from dataclasses import replace

import pytest
from drawing_samples import MACHINES, sample

from cncpanel.drawing.bench import MOST_PLACES, bench_pieces
from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets, Cautions, Heading, Piece, Sentence, Table
from cncpanel.drawing.setup import SetUp, setup_pieces
from cncpanel.drawing.setup_tables import minutes
from cncpanel.drawing.used_area import used_area
from cncpanel.geometry.point import Point
from cncpanel.job.model import KeepOut
from cncpanel.layout.leftover import Leftover
from cncpanel.make.flow import Made
from cncpanel.make.paper_set import setup_of
from cncpanel.sequence.program import Stop


@pytest.fixture(params=MACHINES)
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Made:
    return sample(tmp_path_factory.getbasetemp(), request.param)


@pytest.fixture
def setup(made: Made) -> SetUp:
    return setup_of(made, made.sheets[0])


def table(pieces: list[Piece], first: str) -> Table:
    return next(p for p in pieces if isinstance(p, Table) and first in p.head)


def told(pieces: list[Piece]) -> str:
    lines: list[str] = []
    for piece in pieces:
        match piece:
            case Heading() | Sentence():
                lines.append(piece.text)
            case Bullets() | Cautions():
                lines += piece.points
            case Table():
                lines += [cell for row in piece.rows for cell in row]
            case _:
                pass
    return "\n".join(lines)


def test_every_stop_of_every_program_is_listed_in_its_own_words(setup: SetUp) -> None:
    pieces = setup_pieces(setup, 180.0)
    programs = [*([setup.trace] if setup.trace else []), *(program for program, _ in setup.programs)]
    wanted = [
        (f"{program.name}.nc", ". ".join(block.lines))
        for program in programs
        for block in program.blocks
        if isinstance(block, Stop)
    ]
    if wanted:
        assert wanted == [(row[0], row[2]) for row in table(pieces, "Stop").rows]
    else:
        assert "Nowhere: the programs run from start to end." in told(pieces)


def test_a_turned_sheet_is_said_to_lie_turned(setup: SetUp) -> None:
    assert setup.machine.sheet_turned == ("THE SHEET LIES TURNED" in told(setup_pieces(setup, 180.0)))


def test_metres_of_the_tools_add_up_to_those_of_the_programs(setup: SetUp) -> None:
    rows = table(setup_pieces(setup, 180.0), "Metres").rows
    total = sum(t.cut_m for _, time in setup.programs for t in time.tools)
    assert total == pytest.approx(sum(float(row[-2]) for row in rows), abs=0.05 * len(rows))


def test_tools_stand_in_the_order_in_which_they_come(setup: SetUp) -> None:
    rows = table(setup_pieces(setup, 180.0), "Metres").rows
    order = list(dict.fromkeys(tool.number for program, _ in setup.programs for tool in program.tools))
    assert [f"T{number}" for number in order] == [row[0] for row in rows]


def test_the_touch_off_spot_is_told_in_the_controls_coordinates(setup: SetUp) -> None:
    words = told(setup_pieces(setup, 180.0))
    if setup.machine.table.z_zero == "table":
        assert "Z zero: the spoilboard's surface" in words
        return
    assert setup.spot is not None
    x, y = setup.spot
    place = Point(setup.sheet.width - y, x) if setup.machine.sheet_turned else setup.spot
    assert f"at the ring marked Z, {setup.measures.place(place)}" in words
    said = [line for program, _ in setup.programs for b in program.blocks if isinstance(b, Stop) for line in b.lines]
    assert any("WHERE NO PROGRAM CUTS" in line for line in said) or setup.machine.dialect.tool_change == "changer"


def test_cautions_name_dust_hearing_and_thrown_tools(setup: SetUp) -> None:
    words = told(setup_pieces(setup, 180.0))
    for word in ("Dust:", "Hearing and eyes:", "Thrown tools and parts:", "Local safety rules"):
        assert word in words


def test_a_heavy_sheet_is_not_lifted_alone_and_a_light_one_may_be(setup: SetUp) -> None:
    assert "Lifting:" not in told(setup_pieces(setup, 180.0))
    stock = setup.sheet.stock.model_copy(update={"sheet": (2440.0, 1220.0)})
    heavy = replace(setup, sheet=replace(setup.sheet, stock=stock, parts=()))
    # 2440 x 1220 x 12.1 mm at 680 kg/m3 weighs 24.5 kg; the NIOSH lifting equation's load constant is 23 kg.
    assert "Lifting: the sheet weighs about 24 kg" in told(setup_pieces(heavy, 180.0))


def test_what_is_not_proven_says_so_first(setup: SetUp) -> None:
    first = setup_pieces(replace(setup, proven=False), 180.0)[1]
    assert isinstance(first, Cautions)
    assert "NOT PROVEN: DO NOT CUT" in first.points[0]
    assert "NOT PROVEN" not in told(setup_pieces(setup, 180.0))


def test_edges_by_hand_and_unreached_corners_are_left_for_the_bench(setup: SetUp) -> None:
    pieces = setup_pieces(setup, 180.0)
    assert "board: top edge: round" in told(pieces)
    spots = [spot for plan in setup.plans.values() for spot in plan.spots if spot.feature == "window"]
    assert len(spots) == 4
    row = next(row for row in table(pieces, "Spots").rows if row[1] == "window")
    assert row[:3] == ("board", "window", "4")
    plan = next(plan for plan in setup.plans.values() if spots[0] in plan.spots)
    tool = min((one.tool for one in plan.operations if one.feature == "window"), key=lambda one: one.radius)
    assert row[4][0] == "R"
    assert float(row[4][1:]) == pytest.approx(tool.radius, abs=0.01)
    assert row[5].count("(") == 4


def test_many_spots_are_counted_and_the_first_named(setup: SetUp) -> None:
    plan = next(plan for plan in setup.plans.values() if plan.spots)
    spots = tuple(replace(plan.spots[0], at=Point(float(i), 0.0)) for i in range(64))
    pieces = bench_pieces([replace(plan, spots=spots)], Measures("mm", "mm"))
    (row,) = table(pieces, "Spots").rows
    assert row[2] == "64"
    assert row[5].endswith(f"and {64 - MOST_PLACES} more, listed in job.json")


def test_a_plan_that_leaves_nothing_has_no_bench_list(setup: SetUp) -> None:
    plan = next(p for p in setup.plans.values() if not p.panel.bench)
    assert bench_pieces([replace(plan, spots=())], Measures("mm", "mm")) == []


def test_no_free_rim_is_said_where_cuts_fill_the_sheet(tmp_path_factory: pytest.TempPathFactory) -> None:
    made = sample(tmp_path_factory.getbasetemp(), "desktop-router")
    setup = setup_of(made, made.sheets[0])
    assert "Room from the sheet's rim inwards:" in told(setup_pieces(setup, 180.0))
    used = used_area(setup.runs.runs, setup.machine)
    assert used is not None
    tight = setup.sheet.stock.model_copy(update={"sheet": (used.clear[2] + 19.0, used.clear[3] + 19.0)})
    assert "NO RIM IS FREE" in told(setup_pieces(replace(setup, sheet=replace(setup.sheet, stock=tight)), 180.0))


def test_lengths_are_told_in_the_jobs_unit_first() -> None:
    assert Measures("mm", "mm").length(18.25) == "18.25 mm"
    reason = "T2 6 mm bit: its disc, 1.6 mm thick, takes 2540 mm/min (T12 16 mm bit: 6 mm wide)"
    assert Measures("mm", "mm", ("6 mm bit",)).told(reason) == reason
    assert Measures("inch", "inch", ("6 mm bit", "16 mm bit")).told(reason) == (
        "T2 6 mm bit: its disc, 0.063 in (1.6 mm) thick, takes 2540 mm/min (T12 16 mm bit: 0.2362 in (6 mm) wide)"
    )
    assert Measures("mm", "inch").length(19.05) == "19.05 mm (0.75 in)"
    assert Measures("inch", "inch").length(19.05) == "0.75 in (19.05 mm)"
    assert Measures("mm", "mm").size(620, 1600) == "620 x 1600 mm"
    assert Measures("inch", "mm").size(276.225, 620) == "10.875 x 24.409 in (10 7/8 x 24 13/32 in; 276.2 x 620 mm)"
    assert Measures("mm", "inch").place(Point(25.4, 25.0)) == "X 1 Y 0.984 in"


def test_times_are_told_as_people_say_them() -> None:
    assert [minutes(45), minutes(119), minutes(3899)] == ["45 s", "2 min", "1 h 05 min"]


def test_the_key_tells_the_margin_s_dots_from_those_of_pieces_for_the_rack(setup: SetUp) -> None:
    stock = setup.sheet.stock.model_copy(update={"margin": 0.0})
    bare = told(setup_pieces(replace(setup, sheet=replace(setup.sheet, stock=stock)), 180.0))
    words = told(setup_pieces(replace(setup, left=(Leftover(name="ABCDE-1", box=(0, 0, 300, 200)),)), 180.0))
    assert setup.sheet.stock.margin > 0
    assert "Fine dots: margin." in words
    assert "Heavy dots: pieces for the rack." in words
    assert "Fine dots" not in bare


def test_every_tool_that_cuts_has_its_reason(setup: SetUp) -> None:
    pieces = setup_pieces(setup, 180.0)
    cutting = {row[0] for row in table(pieces, "Stick-out").rows}
    after = pieces[pieces.index(Heading("Why these tools")) + 1 :]
    points = next(piece.points for piece in after if isinstance(piece, Bullets))
    assert cutting == {point.split()[0] for point in points}


def test_where_the_job_names_its_clamps_nothing_else_is_put_on_the_sheet(setup: SetUp) -> None:
    clamp = KeepOut(kind="clamp", at=(0, 0), size=(40, 60), height=25)
    stock = setup.sheet.stock.model_copy(update={"keep_out": (clamp, KeepOut(kind="defect", at=(90, 0), size=(9, 9)))})
    words = told(setup_pieces(replace(setup, sheet=replace(setup.sheet, stock=stock)), 180.0))
    length = setup.measures.length(25)
    assert f"Clamps and screws: only where the map hatches them (1), no higher than {length} over the sheet." in words
    assert "put nothing else on the sheet" in words
    assert "heads no higher than" not in words
    assert "Room from the sheet's rim" not in words
    assert ("Vacuum: " in words) == (setup.machine.table.hold == "vacuum")


def test_a_size_is_told_to_the_nearest_sixty_fourth_where_that_says_more() -> None:
    measures = Measures("inch", "inch")
    assert measures.size(96 * 25.4, 48 * 25.4) == "96 x 48 in (2438.4 x 1219.2 mm)"
    assert measures.size(620, 1600) == "24.409 x 62.992 in (24 13/32 x 62 63/64 in; 620 x 1600 mm)"
    assert Measures("mm", "inch").size(620, 1600) == "620 x 1600 mm (24.409 x 62.992 in)"
