"""Same job, same bytes: everything that is made of a small job, made twice in processes that hash differently."""

import os
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest

JOB = """
[job]
name = "twice"
machine = "shop-router"

[[stock]]
name = "board"
material = "mdf"
thickness = 18
measured = [17.9, 18.1]
sheet = [1220, 610]
count = 2

[[panel]]
name = "front"
stock = "board"
size = [400, 250]
radius = [20, 20, 0, 0]
copies = 2

[[panel.opening]]
name = "window"
at = [180, 130]
size = [90, 60]
radius = 8

[[panel.opening]]
name = "slot"
at = [330, 60]
size = [60, 30]
radius = 15

[[panel.recess]]
name = "seat"
at = [70, 160]
size = [60, 40]
radius = 6
depth = 5

[[panel.hole]]
name = "shelf pin"
centre = [40, 40]
diameter = 5
depth = 10
row = { count = 4, pitch = 32 }

[[panel.mark]]
text = "FRONT"
at = [250, 30]
height = 12

[[panel]]
name = "disc"
stock = "board"
size = [160, 160]
radius = 80
"""


def made(folder: Path, seed: str) -> dict[str, str]:
    """The SHA-256 of every file that one process makes, by name; in a folder of its own."""
    folder.mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    command = [sys.executable, "-m", "cncpanel", "make", "job.toml", "--out", "out", "--quiet"]
    root = str(Path(__file__).parents[2])
    surroundings = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": root}
    done = subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    out = folder / "out"
    return {
        path.relative_to(out).as_posix(): sha256(path.read_bytes()).hexdigest()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def twice(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, str], dict[str, str]]:
    folder = tmp_path_factory.mktemp("twice")
    return made(folder / "first", "1"), made(folder / "second", "20011")


@pytest.mark.parametrize("pattern", ["programs/*.nc", "dxf/*.dxf", "sheets/*.pdf", "job.json", "index.html"])
def test_the_same_job_makes_the_same_bytes(twice: tuple[dict[str, str], dict[str, str]], pattern: str) -> None:
    first, second = ({name: of[name] for name in of if Path(name).match(pattern)} for of in twice)
    assert first
    assert first == second


def test_the_same_job_makes_the_same_files(twice: tuple[dict[str, str], dict[str, str]]) -> None:
    first, second = twice
    assert first == second
