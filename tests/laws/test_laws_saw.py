"""Whatever the parts and the saw: every plan can be sawn, makes each part once, and loses nothing but sawdust."""

import tempfile
from pathlib import Path

import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from law_examples import examples
from saw_samples import job_text, planned, read

from cncpanel.errors import Gathering, ProblemsFound
from cncpanel.layout.saw.plan import SawPlan, SawSheet
from cncpanel.layout.saw.planner import saw_plan
from cncpanel.layout.saw.replay import faults

SIDES = st.one_of(st.integers(20, 900), st.sampled_from([300, 604, 38.1, 45.5, 762.0, 190.5])).map(float)
SIZES = st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=9)
SAWS = st.fixed_dictionaries(
    {
        "kerf": st.sampled_from([2.4, 3.2, 3.175]),
        "trim": st.sampled_from([0, 1.5, 3.2, 5, 12]),
        "widest_rip": st.sampled_from([610, 762, 1250]),
        "stages": st.sampled_from([2, 3]),
        "fence_edge": st.sampled_from([200, 300, 500]),
        "steps": st.just(15),
    }
)
SHEETS = st.sampled_from([(2440.0, 1220.0), (1220.0, 610.0), (1525.0, 1525.0), (2438.4, 1219.2)])
TURNS = st.sampled_from(["right-angles", "along", "across"])


def area(box: tuple[float, float, float, float]) -> float:
    return (box[2] - box[0]) * (box[3] - box[1])


def sawdust(sheet: SawSheet, kerf: float) -> float:
    """mm2 that the blade took, each cut's run and its width within the piece, found by going through the cuts."""
    lies = {"sheet": (0.0, 0.0, *sheet.stock.sheet)}
    dust = 0.0
    for cut in sheet.cuts:
        left, low, right, high = lies.pop(cut.piece)
        run, width = (right - left, high - low) if cut.axis == "x" else (high - low, right - left)
        taken = min(kerf, width - cut.setting)
        dust += run * taken
        beyond = width - cut.setting - taken
        ends = [(0.0, cut.setting, cut.kept), (cut.setting + taken, width, cut.freed)]
        for start, end, name in ends if beyond > 1e-5 else ends[:1]:
            a, b = (start, end) if cut.edge == "low" else (width - end, width - start)
            lies[name] = (left, low + a, right, low + b) if cut.axis == "x" else (left + a, low, left + b, high)
    return dust


@settings(max_examples=examples(40), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(SIZES, SAWS, SHEETS, TURNS)
def test_every_plan_can_be_sawn_and_makes_each_part_once(
    sizes: list[tuple[float, float]], saw: dict[str, float], sheet: tuple[float, float], turn: str
) -> None:
    lines = "\n".join(f"{key} = {value}" for key, value in saw.items())
    text = job_text(sizes, lines, sheet, panel=f'turn = "{turn}"')
    with tempfile.TemporaryDirectory() as folder:
        try:
            plan = planned(Path(folder), text)
        except ProblemsFound as found:
            strange = [problem for problem in found.problems if "cannot be sawn" not in problem.text]
            if strange:
                raise
            return
        again = saw_plan(*read(Path(folder), text), Gathering())
    assert plan == again
    holds(plan, sizes, turn)


def holds(plan: SawPlan, sizes: list[tuple[float, float]], turn: str) -> None:
    ways = {
        n: [way for way in ((x, y, False), (y, x, True)) if turn == "right-angles" or way[2] == (turn == "across")]
        for n, (x, y) in enumerate(sizes)
    }
    wants = {(n, False, 1): tuple(found) for n, found in ways.items()}
    assert [] == faults(plan.sheets, plan.saw, wants)
    assert sorted(part.panel for sheet in plan.sheets for part in sheet.parts) == list(range(len(sizes)))
    for sheet in plan.sheets:
        boxes = [thing.box for thing in (*sheet.parts, *sheet.leftovers)]
        board = sheet.length * sheet.width
        together = shapely.union_all([shapely.box(*box) for box in boxes])
        assert abs(together.area - sum(map(area, boxes))) < 1e-6 * board
        assert abs(sum(map(area, boxes)) + sawdust(sheet, plan.saw.kerf) - board) < 1e-6 * board
