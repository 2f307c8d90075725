"""Jobs and panels that are called what programs say of themselves: restart and proof read the program's own words."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from cncpanel.cli import main
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make
from cncpanel.make.restart import Broken, restart
from cncpanel.make.restart_head import head_of

JOB = """
[job]
name = "{job}"
machine = "{machine}"

[settings.turning]
by = "edge"

[[stock]]
name = "ply"
material = "plywood"
thickness = 9
sheet = [240, 160]
count = 1

[[panel]]
name = "{panel}"
stock = "ply"
size = [70, 50]
radius = 6

[[panel.recess]]
size = [20, 20]
at = [40, 15]
radius = 4
depth = 4
face = "{face}"
"""


def programs(
    folder: Path, *, job: str = "small", machine: str = "shop-router", panel: str = "lid", face: str = "show"
) -> list[Path]:
    """The cutting programs of a job with such names, written beside it."""
    source = folder / "job.toml"
    source.write_text(JOB.format(job=job, machine=machine, panel=panel, face=face), encoding="utf-8")
    made = make(source, Choice(), lambda _: None)
    assert made.passed
    paths = []
    for written in (one for one in made.sheets[0].written if "-run" in one.program.name):
        paths.append(folder / f"{written.program.name}.nc")
        paths[-1].write_text(written.text, encoding="ascii")
    return paths


def last_cut(text: str) -> int:
    """The line of the last arc: a program's outline with rounded corners ends by them, below the sheet's top."""
    return max(number for number, line in enumerate(text.splitlines(), 1) if re.match(r"G[23] ", line))


def test_a_restart_has_the_operator_set_the_speed_that_the_program_said_not_one_in_a_panels_name(
    tmp_path: Path,
) -> None:
    path = programs(tmp_path, machine="shop-router-inch", panel="spindle 5 rpm")[-1]
    text = path.read_text(encoding="ascii")
    assert re.search(r"^\(PART SPINDLE 5 RPM, ", text, re.MULTILINE)
    said = set(re.findall(r"^\(MSG,(SPINDLE DIAL AT .* RPM)\)$", text, re.MULTILINE))
    restarted = restart(Broken(program=path, line=last_cut(text), job=tmp_path / "job.toml"), lambda _: None)
    assert (True, said) == (restarted.passed, set(re.findall(r"^\(MSG,(SPINDLE .* RPM)\)$", restarted.text, re.M)))
    assert len(said) == 1


@pytest.mark.parametrize("side", [1, 2])
def test_a_job_called_a_set_up_is_proven_by_the_set_up_that_the_head_names(tmp_path: Path, side: int) -> None:
    first, second = programs(tmp_path, job=f"set-up {3 - side} of 2", face="back")
    path = first if side == 1 else second
    text = path.read_text(encoding="ascii")
    assert text.index(f"SET-UP {3 - side} OF 2") < text.index(f"(SET-UP {side} OF 2")
    asked = ["prove", str(path), "--machine", "shop-router", "--job", str(tmp_path / "job.toml"), "--quiet"]
    result = CliRunner().invoke(main, asked)
    assert (0, "pass with remarks\n") == (result.exit_code, result.stdout)


@pytest.mark.parametrize(
    ("machine", "expected"), [("shop-router", "240mmx160mmx9mm"), ("shop-router-inch", "6.299inx9.449inx0.354in")]
)
def test_the_sheets_direction_is_read_from_the_programs_own_words(tmp_path: Path, machine: str, expected: str) -> None:
    path = programs(tmp_path, job="long side along y", machine=machine)[-1]
    text = path.read_text(encoding="ascii")
    assert "(JOB LONG SIDE ALONG Y" in text
    assert head_of(text).stock == expected
