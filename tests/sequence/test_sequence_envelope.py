"""What lies beyond a machine's travel is told with what would fit."""

from sequence_samples import JOB, hole_run, machine, outline_run, run, sheet, sheet_runs, stock

from cncpanel.errors import Gathering
from cncpanel.layout.layout import Sheet
from cncpanel.sequence.envelope import largest_sheet
from cncpanel.sequence.sheet import sheet_programs


def told(board, router, *runs):
    gathering = Gathering()
    sheet_programs(board, sheet_runs(*runs), router, JOB, gathering)
    return [str(problem) for problem in gathering.found]


def test_a_whole_sheet_on_the_desktop_machine_is_refused_with_what_fits():
    desktop = machine("desktop-router")
    found = told(sheet((2440.0, 1220.0)), desktop, run("mark", "Deck", desktop.tool[0], (1000.0, 10.0)))
    fits = "(the largest sheet that fits is 780 x 780)"
    assert [
        f"sheet 1: board: sheet 2440 x 1220 reaches X 2460 of 800 and Y 1240 of 800 at the stated origin {fits}",
        f"sheet 1: Deck: the tool's centre reaches X 1030 of 800 {fits}",
    ] == found


def test_a_sheet_that_just_fits_is_not_refused():
    desktop = machine("desktop-router")
    assert told(sheet((780.0, 780.0)), desktop, run("mark", "p", desktop.tool[0], (100.0, 10.0))) == []
    assert largest_sheet(desktop) == (780.0, 780.0)


def test_an_arc_that_swings_beyond_the_travel_is_seen():
    desktop = machine("desktop-router")
    arc = hole_run("Ring", desktop.tool[0], (770.0, 400.0), 15.0)
    assert told(sheet(), desktop, arc) == [
        "sheet 1: Ring: the tool's centre reaches X 805 of 800 (the largest sheet that fits is 780 x 780)"
    ]


def test_a_lead_before_the_zero_is_seen():
    desktop = machine("desktop-router")
    wide = outline_run("Edge", desktop.tool[0], (-30.0, 10.0), (100.0, 100.0))
    assert told(sheet(), desktop, wide) == [
        "sheet 1: Edge: the tool's centre reaches X -13, lowest 0 (the largest sheet that fits is 780 x 780)"
    ]


def test_heights_are_counted_over_the_spoilboard():
    desktop = machine("desktop-router")
    thick = stock().model_copy(update={"thickness": 60.0, "measured": ()})
    board = Sheet(number=3, stock=thick, parts=())
    found = told(board, desktop, run("mark", "p", desktop.tool[0], (100.0, 10.0), z=-65.0))
    assert found == [
        "sheet 3: board: the tip must clear the clamps at 80 over the spoilboard "
        "(it lifts to 75: stock up to 55 fits, or lower clamps)",
        "sheet 3: p: mark: the tip goes to -5 over the spoilboard (the lowest it reaches is -4)",
    ]


def test_a_park_beyond_the_travel_is_seen():
    desktop = machine("desktop-router")
    motion = desktop.motion.model_copy(update={"park": (0.0, 790.0)})
    found = told(
        sheet(),
        desktop.model_copy(update={"motion": motion}),
        run("mark", "p", desktop.tool[0], (99.0, 10.0)),
    )
    assert found == ["sheet 1: park: the tool's centre reaches Y 810 of 800 (the largest sheet that fits is 780 x 780)"]
