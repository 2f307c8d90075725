"""Faults while `make` runs: killed, the disk full, the folder closed, two at once, another place's clock and habits.

The folder holds the old whole set or the new one, byte for byte; nothing is left lying beside it after the next run.
"""

import locale
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random

import pytest
from many_samples import JOB

from cncpanel import cli, output

pytestmark = pytest.mark.slow
KILLS = int(os.environ.get("CNCPANEL_KILLS", "200"))


def content(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def job(folder: Path, name: str, pitch: int = 20) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{name}.toml"
    path.write_text(
        JOB.replace("@NAME@", name)
        + f"hole = [{{ centre = [20, 40], diameter = 8, row = {{ count = 3, pitch = {pitch} }} }}]\n"
    )
    return path


def run(*words: str | Path) -> int:
    """The command in this process; its exit code."""
    try:
        cli.main([str(word) for word in words], standalone_mode=True)
    except SystemExit as ended:
        return int(ended.code or 0)
    return 0


def apart(work: Callable[[], int], said: Path | None = None) -> int:
    """A process of its own that does the work; its number."""
    child = os.fork()
    if child == 0:
        where = os.open(said or os.devnull, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        sys.stdout = sys.stderr = os.fdopen(where, "w", buffering=1)  # pytest's own would keep what is said
        os._exit(work())
    return child


def code(child: int) -> int:
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path, dict[str, bytes], dict[str, bytes]]:
    """Two jobs and what each makes, alone."""
    first, second = job(tmp_path / "jobs", "first"), job(tmp_path / "jobs", "second", 25)
    for path in (first, second):
        assert run("make", path, "--out", tmp_path / path.stem, "--quiet") == 0
    return first, second, content(tmp_path / "first"), content(tmp_path / "second")


def test_killed_at_200_random_moments_the_folder_holds_a_whole_set(tmp_path: Path, two) -> None:
    first, second, old, new = two
    out = tmp_path / "there" / "out"
    assert run("make", first, "--out", out, "--quiet") == 0
    began = time.monotonic()
    assert code(apart(lambda: run("make", second, "--out", tmp_path / "timed", "--quiet"))) == 0
    whole = time.monotonic() - began
    random, met = Random(1), {"old": 0, "new": 0}
    for number in range(KILLS):
        path = (second, first)[number % 2]
        child = apart(lambda path=path: run("make", path, "--out", out, "--quiet"))
        # every second one near the end, where files are written and put in place
        time.sleep(random.uniform(0, whole) if number % 4 < 2 else random.uniform(0.8 * whole, 1.3 * whole))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        found = content(out)
        assert found in (old, new), f"kill {number}"
        met["old" if found == old else "new"] += 1
    assert min(met.values()) > 0, "kills before and after the set was put in place"
    assert run("make", first, "--out", out, "--quiet") == 0
    assert content(out) == old
    assert [path.name for path in out.parent.iterdir()] == ["out"], "what killed runs left is cleared"


def test_two_runs_on_one_folder_leave_one_of_both_sets(tmp_path: Path, two) -> None:
    first, second, old, new = two
    out = tmp_path / "there" / "out"
    for _ in range(10):
        children = [apart(lambda path=path: run("make", path, "--out", out, "--quiet")) for path in (first, second)]
        assert [code(child) for child in children] == [0, 0]
        assert content(out) in (old, new)
        assert [path.name for path in out.parent.iterdir()] == ["out"]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of half a MB."""
    place = tmp_path / "disk"
    place.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", place], capture_output=True, check=False)
    if done.returncode:
        pytest.skip("no disk may be mounted here")
    yield place
    subprocess.run(["umount", place], check=True)


def test_a_full_disk_leaves_the_old_set_and_says_what_to_do(tmp_path: Path, small_disk: Path, two) -> None:
    first, _, old, _ = two
    out = small_disk / "out"
    plates = job(tmp_path / "jobs", "small")
    assert run("make", plates, "--out", out, "--quiet", "--only", "programs") == 0
    before, filler = content(out), small_disk / "filler"
    room = os.statvfs(small_disk)
    filler.write_bytes(b"0" * (room.f_bavail * room.f_bsize - 40_000))
    said = tmp_path / "said.txt"
    assert code(apart(lambda: run("make", first, "--out", out, "--quiet"), said)) == 2
    assert content(out) == before
    assert "No space left on device" in said.read_text()
    assert "what was there before is untouched; free space" in said.read_text()
    assert {path.name for path in small_disk.iterdir()} == {"out", "filler"}
    filler.unlink()
    assert old


def test_a_folder_closed_for_writing_is_said_before_the_work(tmp_path: Path, small_disk: Path, two) -> None:
    first = two[0]
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    said = tmp_path / "said.txt"
    assert code(apart(lambda: run("make", first, "--out", small_disk / "out", "--quiet"), said)) == 2
    assert "cannot be written" in said.read_text()
    assert list(small_disk.iterdir()) == []


def test_missing_fonts_are_said_and_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = job(tmp_path, "Żółw")
    monkeypatch.setattr(output.pdf_text, "FILE", tmp_path / "no font.ttf")
    said = tmp_path / "said.txt"
    assert code(apart(lambda: run("make", path, "--out", tmp_path / "out", "--quiet"), said)) == 2
    assert "no font.ttf" in said.read_text()
    assert "Traceback" not in said.read_text()
    assert not (tmp_path / "out").exists()


ELSEWHERE = """
import locale, sys, time
locale.setlocale(locale.LC_ALL, "")
assert locale.localeconv()["decimal_point"] == ","
ahead = time.time
time.time = lambda: ahead() + 40 * 365.25 * 86400
from cncpanel.cli import main
main(sys.argv[1:])
"""


def test_another_clock_zone_and_decimal_comma_make_the_same_bytes(tmp_path: Path, two) -> None:
    first, _, old, _ = two
    made = tmp_path / "de_DE.UTF-8"
    done = subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", made], capture_output=True, check=False)
    if not made.exists():
        pytest.skip(f"no German habits can be set here: {done.stderr.decode()[:80]}")
    habits = {"LC_ALL": "de_DE.UTF-8", "LOCPATH": str(tmp_path), "TZ": "Pacific/Kiritimati", "PYTHONHASHSEED": "77"}
    words = ["make", first, "--out", tmp_path / "out", "--quiet"]
    subprocess.run([sys.executable, "-c", ELSEWHERE, *words], env=os.environ | habits, check=True)
    assert content(tmp_path / "out") == old
    assert locale.localeconv()["decimal_point"] == "."
