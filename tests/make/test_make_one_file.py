"""A file that a command writes: whole or not at all, and links that lead round in a ring are told, not followed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.make import one_file
from cncpanel.make.one_file import write

JOB = """
[job]
name = "Small box"
machine = "shop-router"
[[stock]]
name = "ply"
material = "plywood"
thickness = 12
sheet = [600, 400]
count = 1
[[panel]]
name = "lid"
stock = "ply"
"""


@pytest.fixture
def ring(tmp_path: Path) -> Path:
    """A link that leads to itself."""
    path = tmp_path / "ring.dxf"
    path.symlink_to(path)
    return path


def refusal(*options: object) -> str:
    result = CliRunner().invoke(main, [str(option) for option in options])
    assert result.exit_code == 2, result.output
    return result.output


def test_what_was_written_aside_goes_where_the_file_cannot_be_put_in_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(one_file.Path, "replace", full)
    with pytest.raises(ProblemsFound, match=r"cannot be written: No space left on device \(a folder with room\)"):
        write(tmp_path / "a.png", b"picture")
    assert os.listdir(tmp_path) == []


def test_a_drawing_behind_a_ring_of_links_is_told_by_its_key(tmp_path: Path, ring: Path) -> None:
    job = tmp_path / "box.toml"
    job.write_text(f'{JOB}dxf = {{ file = "{ring.name}" }}\n', encoding="ascii")
    assert "box.toml:14: panel[0].dxf.file: ring.dxf: there is no such file " in refusal("check", job)


def test_a_ring_of_links_is_told_where_a_file_is_read_or_written(tmp_path: Path, ring: Path) -> None:
    job = tmp_path / "box.toml"
    job.write_text(f"{JOB}size = [200, 100]\n", encoding="ascii")
    assert "cannot be read: Too many levels" in refusal("prove", ring, "--machine", "shop-router")
    assert "cannot be written: " in refusal("cut-list", job, "--out", ring / "list.csv")
    assert "cannot be written: " in refusal("template", job, "lid", "--out", ring / "lid.svg")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no file that is always full")
def test_what_is_printed_to_a_full_disk_is_told() -> None:
    with Path("/dev/full").open("w", encoding="ascii") as full:
        run = subprocess.run(
            [sys.executable, "-m", "cncpanel", "guide"], stdout=full, stderr=subprocess.PIPE, check=False
        )
    said = b"what is printed cannot be written: No space left on device (a place with room)\n"
    assert (run.returncode, run.stderr) == (2, said)
