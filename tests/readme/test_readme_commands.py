"""Every command of the README, run as it is printed, in a folder like the one it speaks of."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow
ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BLOCK = re.compile(r"^```(sh|toml)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
INSTALL = "python3 -m venv .venv && .venv/bin/pip install --quiet --editable . && "
ADDRESS = "tcp://10.0.0.5:8786"


def blocks(kind: str) -> list[str]:
    return [text for found, text in BLOCK.findall(README) if found == kind]


def commands() -> list[str]:
    """The lines of all shell blocks without what installs and what runs these very tests."""
    lines = [line.removeprefix(INSTALL) for block in blocks("sh") for line in block.splitlines()]
    return [line for line in lines if line and not line.startswith(".ci/")]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the README's reader has: the project's own folder, the program installed in it."""
    place = tmp_path_factory.mktemp("project")
    for name in ("fixtures", "machines"):
        shutil.copytree(ROOT / name, place / name)
    program = place / ".venv" / "bin" / "cncpanel"
    program.parent.mkdir(parents=True)
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m cncpanel "$@"\n')
    program.chmod(0o755)
    (brief,) = (block for block in blocks("toml") if "# brief.toml" in block)
    (place / "brief.toml").write_text(brief)
    return place


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """A cluster on this machine."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=None) as cluster:
        yield cluster.scheduler_address


def at_hand(folder: Path, line: str) -> None:
    """Files that a reader would have by then: more jobs like the first, a cabinet before and after a change."""
    stand, kiosk = folder / "stand.toml", folder / "kiosk.toml"
    if "a.toml b.toml" in line or "orders/" in line:
        where = folder / ("orders" if "orders/" in line else "")
        where.mkdir(exist_ok=True)
        for name in "abc":
            text = stand.read_text().replace('name = "', f'name = "{name} ', 1)
            (where / f"{name}.toml").write_text(text)
    if "kiosk-a.toml" in line:
        (folder / "kiosk-a.toml").write_text(kiosk.read_text())
        (folder / "kiosk-b.toml").write_text(kiosk.read_text().replace('revision = "A"', 'revision = "B"'))


def test_every_command_does_what_it_says(folder: Path, address: str) -> None:
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    failed = []
    for line in commands():
        at_hand(folder, line)
        if " restart " in line:  # asks at the machine's screen; the line that breaks the bit is the reader's own
            line = line.replace("--at 812", f"--at {cutting_line(folder, line)}")
        done = subprocess.run(
            ["bash", "-c", line.replace(ADDRESS, address)],
            cwd=folder,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if done.returncode:
            failed.append(f"{line}: {done.returncode}\n{done.stdout[-800:]}{done.stderr[-800:]}")
    assert failed == []
    assert (folder / "build" / "millrace" / "index.html").is_file()


def cutting_line(folder: Path, line: str) -> int:
    """A line of that program in the middle of a cut."""
    path = next(word for word in line.split() if word.endswith(".nc"))
    lines = (folder / path).read_text().splitlines()
    cuts = [number for number, text in enumerate(lines, start=1) if re.match(r"(G1 )?X.*", text)]
    return cuts[len(cuts) // 2]


def test_every_job_of_the_readme_is_one(folder: Path) -> None:
    whole = [block for block in blocks("toml") if block.startswith("[job]")]
    assert whole
    for number, text in enumerate(whole):
        path = folder / f"readme{number}.toml"
        path.write_text(text)
        done = subprocess.run(
            [".venv/bin/cncpanel", "check", path],
            cwd=folder,
            capture_output=True,
            text=True,
            check=False,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
        )
        assert done.returncode == 0, done.stdout + done.stderr
