"""Saw plans: what is sawn in which order, what cannot be sawn, and what the checker says of a plan that was spoilt."""

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from saw_oracle import best_filling, best_unlimited, fewest_sheets
from saw_samples import job_text, planned

from cncpanel.errors import ProblemsFound
from cncpanel.layout.saw import replay
from cncpanel.layout.saw.plan import Cut, SawPlan, SawSheet
from cncpanel.layout.saw.replay import Wants, faults

SIZES = [(700.0, 300.0), (700.0, 300.0), (500.0, 300.0), (400.0, 180.0), (400.0, 110.0), (900.0, 40.0)]


@pytest.fixture
def plan(tmp_path: Path) -> SawPlan:
    return planned(tmp_path, job_text(SIZES))


def wants_of(sizes: list[tuple[float, float]]) -> Wants:
    return {(n, False, 1): ((x, y, False), (y, x, True)) for n, (x, y) in enumerate(sizes)}


def told(plan: SawPlan, *cuts: Cut) -> list[str]:
    """What the checker says with these cuts in place of those of their numbers."""
    sheet = plan.sheets[0]
    spoilt = {cut.number: cut for cut in cuts}
    changed = replace(sheet, cuts=tuple(spoilt.get(cut.number, cut) for cut in sheet.cuts))
    return faults([changed], plan.saw, wants_of(SIZES))


def first(plan: SawPlan, *, guide: str, stage: int) -> Cut:
    return next(cut for cut in plan.sheets[0].cuts if cut.guide == guide and cut.stage == stage)


def test_the_plan_stands_before_the_checker(plan: SawPlan) -> None:
    assert 1 == len(plan.sheets)
    assert [] == faults(plan.sheets, plan.saw, wants_of(SIZES))


def test_the_first_strip_is_ripped_off_the_sheets_own_edge_then_turned_and_trimmed(plan: SawPlan) -> None:
    rough, trimmed, *_ = plan.sheets[0].cuts
    assert ("sheet", "strip A", 405.0, "low") == (rough.piece, rough.kept, rough.setting, rough.edge)
    assert ("strip A", "strip A", 400.0, "high") == (trimmed.piece, trimmed.kept, trimmed.setting, trimmed.edge)


def test_no_crosscut_runs_on_the_fence_and_nothing_narrow_beside_it(plan: SawPlan) -> None:
    for cut in plan.sheets[0].cuts:
        assert cut.guide != "fence" or (cut.axis == "x" and cut.setting >= 50)
        assert cut.axis == "x" or cut.guide in ("stop", "line")


def test_a_strip_narrower_than_is_safe_falls_off_beyond_the_blade(tmp_path: Path) -> None:
    sheet = planned(tmp_path, job_text([(2400.0, 40.0), (2400.0, 300.0)])).sheets[0]
    (cut,) = [cut for cut in sheet.cuts if cut.freed == "strip B"]
    assert ("fence", "low") == (cut.guide, cut.edge)
    assert cut.setting > 50


def test_equal_rips_follow_one_another_with_one_setting(tmp_path: Path) -> None:
    sheet = planned(tmp_path, job_text([(2000.0, 380.0)] * 3)).sheets[0]
    assert [385, 380, 380, 380] == [round(cut.setting, 6) for cut in sheet.cuts if cut.stage == 1]
    assert 3 == sheet.settings  # 385, 380, and the stop at 2000


def test_a_piece_exactly_as_wide_as_the_sheet_needs_no_rip(tmp_path: Path) -> None:
    sheet = planned(tmp_path, job_text([(800.0, 400.0), (396.8, 400.0)], "trim = 0", (1200.0, 400.0))).sheets[0]
    assert [(2, "stop", 800.0)] == [(cut.stage, cut.guide, cut.setting) for cut in sheet.cuts]
    assert () == sheet.leftovers


def test_grain_keeps_panels_as_the_job_says(tmp_path: Path) -> None:
    sizes = [(300.0, 700.0), (200.0, 500.0)]
    along = planned(tmp_path, job_text(sizes, panel='turn = "along"'))
    across = planned(tmp_path, job_text(sizes, panel='turn = "across"'))
    assert {(False, 300.0, 700.0), (False, 200.0, 500.0)} == turned(along)
    assert {(True, 700.0, 300.0), (True, 500.0, 200.0)} == turned(across)


def turned(plan: SawPlan) -> set[tuple[bool, float, float]]:
    return {(p.across, round(p.size[0], 6), round(p.size[1], 6)) for p in plan.sheets[0].parts}


def test_a_shaped_panel_is_sawn_larger_and_one_with_eased_corners_to_size(tmp_path: Path) -> None:
    shaped = '[[panel]]\nname = "side"\nstock = "mdf"\noutline = [[0, 0], [400, 0], [300, 900], [0, 900]]\n'
    eased = '[[panel]]\nname = "lid"\nstock = "mdf"\nsize = [300, 262]\nradius = 6\n'
    plan = planned(tmp_path, job_text([], "oversize = 7") + shaped + eased)
    sizes = {part.name: (part.shaped, sorted(round(side, 6) for side in part.size)) for part in plan.sheets[0].parts}
    assert {"side": (True, [414, 914]), "lid": (False, [262, 300])} == sizes


def test_two_stages_give_strips_of_one_width_only(tmp_path: Path) -> None:
    plan = planned(tmp_path, job_text(SIZES, "stages = 2"))
    assert {1, 2} == {cut.stage for sheet in plan.sheets for cut in sheet.cuts}


def test_offcut_sizes_are_used_where_they_are_cheaper_and_no_more_than_there_are(tmp_path: Path) -> None:
    size = "[[stock.size]]\nsheet = [1000, 500]\ncount = 2\n"
    plan = planned(tmp_path, job_text([(800.0, 400.0)] * 2, stock=size))
    assert [(1000, 500), (1000, 500)] == [sheet.stock.sheet for sheet in plan.sheets]
    plan = planned(tmp_path, job_text([(800.0, 400.0)] * 3, stock=size))
    assert [(2440, 1220)] == [sheet.stock.sheet for sheet in plan.sheets]


@pytest.mark.parametrize(
    ("sizes", "saw", "text"),
    [
        ([(2500.0, 300.0)], "", "2500 mm x 300 mm cannot be sawn"),
        ([(2000.0, 700.0)], "widest_rip = 650", "ripped at most 645 mm wide"),
        ([(2000.0, 700.0)], "longest_crosscut = 600", "cannot be sawn"),
    ],
)
def test_what_cannot_be_sawn_is_told_with_its_line(
    tmp_path: Path, sizes: list[tuple[float, float]], saw: str, text: str
) -> None:
    with pytest.raises(ProblemsFound) as raised:
        planned(tmp_path, job_text(sizes, saw))
    (problem,) = raised.value.problems
    assert text in f"{problem}"
    assert problem.place.line > 0


def test_a_panel_that_may_only_lie_askew_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="only askew"):
        planned(tmp_path, job_text([(300.0, 200.0)], panel="turn = [30]"))


def test_a_sheet_with_a_defect_is_passed_over(tmp_path: Path) -> None:
    keep = 'keep_out = [{ kind = "defect", at = [10, 10], size = [20, 20] }]\n'
    with pytest.raises(ProblemsFound, match="its clear rectangle as a size of its own"):
        planned(tmp_path, job_text([(300.0, 200.0)], stock=keep))


# The checker, by plans that were spoilt in one place each.


def test_a_setting_changed_by_a_tenth_gives_a_wrong_size(plan: SawPlan) -> None:
    cut = first(plan, guide="stop", stage=2)
    assert any(" is " in text for text in told(plan, replace(cut, setting=cut.setting + 0.1)))


def test_a_crosscut_on_the_fence_is_told(plan: SawPlan) -> None:
    cut = first(plan, guide="stop", stage=2)
    assert f"sheet 1: cut {cut.number}: is a crosscut on the fence" in told(plan, replace(cut, guide="fence"))


def test_a_narrow_strip_beside_the_fence_is_told(plan: SawPlan) -> None:
    cut = next(cut for cut in plan.sheets[0].cuts if cut.guide == "fence" and cut.edge == "low")
    words = told(plan, replace(cut, setting=30.0))
    assert f"sheet 1: cut {cut.number}: 30 between fence and blade is less than 50" in words


def test_a_fence_that_does_not_go_so_far_is_told(plan: SawPlan) -> None:
    narrow = plan.saw.model_copy(update={"widest_rip": 200.0})
    assert any("the fence does not go to" in text for text in faults(plan.sheets, narrow, wants_of(SIZES)))


def test_a_stage_too_many_is_told(plan: SawPlan) -> None:
    cut = first(plan, guide="stop", stage=2)
    assert f"sheet 1: cut {cut.number}: stage 4 is one too many" in told(plan, replace(cut, stage=4))


def test_a_cut_on_a_piece_that_is_not_there_is_told(plan: SawPlan) -> None:
    cut = first(plan, guide="stop", stage=2)
    assert f"sheet 1: cut {cut.number}: there is no strip Q to saw" in told(plan, replace(cut, piece="strip Q"))


def test_a_cut_left_out_is_told(plan: SawPlan) -> None:
    sheet = plan.sheets[0]
    for number in range(len(sheet.cuts)):
        fewer = tuple(cut for cut in sheet.cuts if cut.number != number + 1)
        numbered = tuple(replace(cut, number=n) for n, cut in enumerate(fewer, start=1))
        assert faults([replace(sheet, cuts=numbered)], plan.saw, wants_of(SIZES)), f"without cut {number + 1}"


def test_a_strip_that_was_never_trimmed_is_told(plan: SawPlan) -> None:
    rough, trimmed, *others = plan.sheets[0].cuts
    straight = replace(rough, setting=trimmed.setting)
    cuts = tuple(replace(cut, number=n) for n, cut in enumerate([straight, *others], start=1))
    words = faults([replace(plan.sheets[0], cuts=cuts)], plan.saw, wants_of(SIZES))
    assert any("keeps an edge of the sheet that is to be trimmed" in text for text in words)


def test_parts_lost_doubled_and_leftovers_untold_are_told(plan: SawPlan) -> None:
    sheet = plan.sheets[0]
    wants = wants_of(SIZES)
    assert "part (0, False, 1) is sawn 2 times" in faults([sheet, sheet], plan.saw, wants)
    lost = replace(sheet, parts=sheet.parts[1:])
    assert any("is not sawn" in text for text in faults([lost], plan.saw, wants))
    untold: SawSheet = replace(sheet, leftovers=sheet.leftovers[1:])
    assert any("is left over and not told so" in text for text in faults([untold], plan.saw, wants))


# Against exact answers for small jobs.


def random_sizes(seed: int) -> list[tuple[float, float]]:
    random = Random(seed)
    sizes = [(float(random.randint(100, 600)), float(random.randint(100, 400))) for _ in range(random.randint(4, 6))]
    return [sizes[0], *sizes] if seed % 2 else sizes


@pytest.mark.parametrize("seed", range(14))
def test_small_jobs_take_the_fewest_sheets_that_there_can_be(tmp_path: Path, seed: int) -> None:
    sizes = random_sizes(seed)
    exact = fewest_sheets(sizes, (1000.0, 700.0), 3.2)
    plan = planned(tmp_path, job_text(sizes, "trim = 0\nsteps = 100", (1000.0, 700.0)))
    assert exact == len(plan.sheets)


@pytest.mark.parametrize("seed", range(8))
def test_the_best_filling_of_a_sheet_is_found_again_from_its_parts(tmp_path: Path, seed: int) -> None:
    random = Random(seed)
    kinds = [(float(random.randint(150, 700)), float(random.randint(80, 450))) for _ in range(random.randint(5, 7))]
    parts = best_filling(kinds, (1200, 800), 3)
    plan = planned(
        tmp_path, job_text(parts, "trim = 0\nkerf = 3\nsteps = 100", (1200.0, 800.0), panel='turn = "along"')
    )
    area = sum(x * y for x, y in parts)
    assert area <= best_unlimited(kinds, (1200, 800), 3)
    assert 1 == len(plan.sheets)


@pytest.mark.parametrize("seed", range(2))
def test_a_hundred_and_four_cabinet_parts_take_the_area_bound_or_one_more(tmp_path: Path, seed: int) -> None:
    random = Random(seed)
    sizes = [(float(random.randint(200, 900)), float(random.randint(100, 600))) for _ in range(104)]
    plan = planned(tmp_path, job_text(sizes, "steps = 100"))
    assert plan.sawn[0].least <= len(plan.sheets) <= plan.sawn[0].least + 1


def test_the_checker_takes_nothing_from_the_planner() -> None:
    source = Path(replay.__file__).read_text(encoding="utf-8")
    ours = {line.split()[1] for line in source.splitlines() if line.startswith("from cncpanel")}
    assert {"cncpanel.job.model", "cncpanel.layout.saw.plan"} == ours


@pytest.mark.parametrize("size", [(900.0, 650.0), (690.0, 600.0)])  # the second: 600 and the trim are beyond the fence
def test_a_sheet_that_gauge_or_sliding_table_crosses_whole_need_not_go_beside_the_fence(
    tmp_path: Path, size: tuple[float, float]
) -> None:
    saw = "widest_rip = 600\nlongest_crosscut = 1000"
    plan = planned(tmp_path, job_text([size], saw, (1000.0, 700.0)))
    assert [] == faults(plan.sheets, plan.saw, wants_of([size]))
    assert "stop" == plan.sheets[0].cuts[0].guide
    for less in ("widest_rip = 600", "widest_rip = 600\nlongest_crosscut = 990"):
        with pytest.raises(ProblemsFound, match=r"wider where saw\.longest_crosscut is as long as the sheet"):
            planned(tmp_path, job_text([size], less, (1000.0, 700.0)))
