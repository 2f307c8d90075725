"""What the reader is told of the machine: by its file's own numbers."""

import pytest
from proof_scene import TOOLS, machine

from cncpanel.proof.reader import read
from cncpanel.proof.setup import Setup


@pytest.mark.parametrize(("word", "system"), [("G54", 540), ("G57", 570), (None, None)])
def test_the_work_system_is_the_one_that_the_machines_programs_name(word: str | None, system: int | None) -> None:
    assert system == Setup(machine(dialect={"work_offset": word}), 18.0).control.work_system


def test_machine_coordinates_are_known_in_the_machines_own_work_system() -> None:
    """The plate's zero lies at 50, 50 on the table."""
    control = Setup(machine(dialect={"work_offset": "G56"}), 18.0).control
    text = "G17 G21 G40 G49 G56 G80 G90 G94\nG53 G0 X0 Y0 Z0\nG0 X5 Y5\nM2\n"
    assert [(-50.0, -50.0), (5.0, 5.0)] == [move.end[:2] for move in read(text, control).moves]


def test_the_control_knows_every_tools_radius_and_as_many_slots_as_the_highest_number() -> None:
    setup = Setup(machine(), 18.0)
    radii = {tool["number"]: float(str(tool["diameter"])) / 2 for tool in TOOLS}
    assert radii == dict(setup.control.radii)
    assert max(radii) == setup.control.slots


@pytest.mark.parametrize(("words", "read_with_p"), [("G64 P0.05", True), ("G64", False), ("G61", False)])
def test_g64_takes_a_tolerance_where_the_machines_own_words_have_one(words: str, read_with_p: bool) -> None:
    blend = {"path_mode": "blend", "blend_tolerance": 0.05} if "G64" in words else {}
    on = machine(dialect={"path_words": words, **blend})
    assert read_with_p == Setup(on, 18.0).control.path_p


def test_machine_coordinates_and_what_a_control_lacks_are_told_as_the_file_has_them() -> None:
    setup = Setup(machine(motion={"homes": False}, dialect={"lacks": ("N",)}), 18.0)
    assert setup.control.machine_zero is None
    assert frozenset({"N"}) == setup.control.lacks
    assert frozenset() == Setup(machine(), 18.0).control.lacks
