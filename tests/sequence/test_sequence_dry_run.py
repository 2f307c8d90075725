"""The dry run: every cut of a sheet, above it, with a still spindle."""

import re

import pytest
from modal_reader import read
from sequence_samples import JOB, SHIPPED, door, machine, sheet, sheet_runs

from cncpanel.errors import Gathering
from cncpanel.output.rs274 import program_text
from cncpanel.sequence.dry_run import dry_run
from cncpanel.sequence.frame import clearance_height
from cncpanel.sequence.program import Comment, Cut, Program, Stop
from cncpanel.sequence.sheet import sheet_programs

BOARD = sheet()


def both(router) -> tuple[tuple[Program, ...], Program]:
    runs = door(router)
    programs = sheet_programs(BOARD, runs, router, JOB, Gathering(), sheets=1)
    dry = dry_run(BOARD, runs, programs, router, JOB, sheets=1)
    assert dry is not None
    return programs, dry


def cuts(program: Program) -> list[Cut]:
    return [block for block in program.blocks if isinstance(block, Cut)]


@pytest.mark.parametrize("name", SHIPPED)
def test_it_goes_every_way_in_order_and_nowhere_below_the_clearance(name):
    programs, dry = both(machine(name))
    wanted = [cut for program in programs for cut in cuts(program)]
    assert [(c.x, c.y, c.bulge) for c in cuts(dry)] == [(c.x, c.y, c.bulge) for c in wanted]
    clear = clearance_height(BOARD.stock, machine(name))
    assert min(c.z for c in cuts(dry)) == pytest.approx(clear, abs=1e-9)
    lifts = {round(up.z - cut.z, 6) for up, cut in zip(cuts(dry), wanted, strict=True)}
    assert len(lifts) == 1, "as it will be cut, in depth too"


@pytest.mark.parametrize("name", SHIPPED)
def test_the_spindle_stands_still_and_one_tool_does_for_all(name):
    router = machine(name)
    text = program_text(both(router)[1], router)
    assert not re.search(r"^M[34]\b|^G4\b", text, re.MULTILINE)
    assert len(re.findall(r"^T\d+ M6$", text, re.MULTILINE)) == (router.dialect.tool_change == "changer")
    assert sum(isinstance(block, Stop) for block in both(router)[1].blocks) <= 1
    low = clearance_height(BOARD.stock, router) - 0.001
    assert all(move.end[2] is None or move.end[2] >= low for move in read(text).moves)
    assert any("SPINDLE OFF" in block.text for block in both(router)[1].blocks if isinstance(block, Comment))


@pytest.mark.parametrize("name", SHIPPED)
def test_it_keeps_below_the_highest_place_of_z(name):
    router = machine(name)
    over = BOARD.stock.thickest if router.table.z_zero == "top" else 0.0
    room = clearance_height(BOARD.stock, router) + over + 3.0
    low = router.travel.model_copy(update={"z": (router.travel.z[0], room)})
    lowered = router.model_copy(update={"travel": low})
    programs, dry = both(lowered)
    heights = [cut.z for cut in cuts(dry)]
    assert len(heights) == sum(len(cuts(program)) for program in programs)
    assert max(heights) == pytest.approx(clearance_height(BOARD.stock, router) + 3.0)
    assert min(heights) == pytest.approx(clearance_height(BOARD.stock, router))


def test_a_sheet_without_cuts_has_none():
    assert dry_run(BOARD, sheet_runs(), (), machine("shop-router"), JOB, sheets=1) is None
