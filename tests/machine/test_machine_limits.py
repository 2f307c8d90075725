"""Every limit that a table's field states is the limit that is held: none is replaced by one of its type's own."""

import importlib
import pkgutil
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from annotated_types import Ge, Gt, Le, Lt
from pydantic import BaseModel

import cncpanel
from cncpanel.errors import ProblemsFound
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine, shipped_machines

LIMITS = {Gt: ("gt", 0.0), Ge: ("ge", -1e-3), Lt: ("lt", 0.0), Le: ("le", 1e-3)}  # how far beyond is too far
LEFT_OUT = ("cncpanel.__main__", "cncpanel.proof.compiled_removal")  # the second needs numba, which is not required


def _tables() -> set[type[BaseModel]]:
    for module in pkgutil.walk_packages(cncpanel.__path__, "cncpanel."):
        if module.name not in LEFT_OUT:
            importlib.import_module(module.name)
    return {table for table in _below(BaseModel) if table.__module__.startswith("cncpanel.")}


def _below(table: type[BaseModel]) -> Iterator[type[BaseModel]]:
    for each in table.__subclasses__():
        yield each
        yield from _below(each)


def test_no_field_has_two_limits_of_one_kind() -> None:
    tables = _tables()
    assert Machine in tables
    assert len(tables) > 60
    doubled = [
        f"{table.__name__}.{key}: {kind.__name__}"
        for table in tables
        for key, field in table.model_fields.items()
        for kind, count in Counter(type(one) for one in field.metadata).items()
        if count > 1 and kind in LIMITS
    ]
    assert doubled == []


def _beyond() -> Iterator[tuple[str, str, float]]:
    """Each limit of each section of a machine file: section, key, a value just beyond it."""
    for section in ("travel", "table", "spindle", "motion", "cutting", "turning", "dialect", "tool"):
        kind = Machine.model_fields[section].annotation
        table = kind.__args__[0] if section == "tool" else kind
        for key, field in table.model_fields.items():
            for one in field.metadata:
                if type(one) in LIMITS:
                    name, step = LIMITS[type(one)]
                    yield section, key, getattr(one, name) + step


@pytest.mark.parametrize(("section", "key", "value"), [*_beyond()])
def test_a_value_just_beyond_its_limit_is_told_at_its_key(section: str, key: str, value: float, tmp_path: Path) -> None:
    text = shipped_machines()["shop-router"].read_text(encoding="utf-8")
    head = "[[tool]]" if section == "tool" else f"[{section}]"
    begin = text.index(head) + len(head)
    end = text.find("\n[", begin)
    lines = [line for line in text[begin:end].splitlines() if not re.match(rf"{key}\s*=", line)]
    path = tmp_path / "machine.toml"
    path.write_text(text[:begin] + f"\n{key} = {value:g}" + "\n".join(lines) + text[end:], encoding="utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_machine(str(path))
    place = "tool[0]" if section == "tool" else section
    assert [one for one in map(str, caught.value.problems) if f" {place}.{key}: " in one] != []


def test_negative_errors_do_not_make_up_for_one_another(tmp_path: Path) -> None:
    text = shipped_machines()["shop-router"].read_text(encoding="utf-8")
    for before, after in (("flatness = 0.15", "flatness = -0.4"), ("clamp_height = 6", "clamp_height = -6")):
        assert before in text
        text = text.replace(before, after)
    path = tmp_path / "machine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ProblemsFound) as caught:
        read_machine(str(path))
    assert [str(problem).split(": ", 1)[1] for problem in caught.value.problems] == [
        "table.flatness: -0.4 is too small (at least 0)",
        "table.clamp_height: -6 is too small (at least 0)",
    ]


MAY_LACK = {  # what a file need not say, and what it then means
    "rpm_rated",  # the whole power at every speed: drives are then held to it by nothing lower
    "finish_direction",  # climb
    "axis", "by", "dowel", "into", "error",  # the whole of [turning] has defaults, told on the set-up page
    "rpm_max",  # of a tool whose maker states none: the spindle's own stays
    "pressure",  # a vacuum table's: what the proof reckons with is told
    "tip_radius", "tip_length", "neck_length",  # a sharp point, no straight part, a neck up to the shank
    "tip_angle_deg",  # of a drill: a usual point
    "blend_tolerance",  # 0: the exact path
}  # fmt: skip


@pytest.mark.parametrize("name", [*shipped_machines()])
def test_a_file_that_lacks_a_limit_is_refused(name: str, tmp_path: Path) -> None:
    lines = shipped_machines()[name].read_text(encoding="utf-8").splitlines()
    path, taken = tmp_path / "machine.toml", set()
    for number, line in enumerate(lines):
        if key := re.match(r"(\w+)\s*=", line):
            path.write_text("\n".join(lines[:number] + lines[number + 1 :]), encoding="utf-8")
            try:
                read_machine(str(path))
            except ProblemsFound:
                continue
            taken.add(key[1])
    assert taken <= MAY_LACK
