"""The output folder is the old whole set or the new one, and nobody's own files are lost."""

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.make.folder import write_folder


def record(*names: str) -> bytes:
    return json.dumps({"made_by": "cncpanel", "files": list(names)}).encode()


def content(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_a_new_folder_holds_exactly_the_files(tmp_path: Path) -> None:
    files = {"job.json": record("a/b.nc"), "a/b.nc": b"G0"}
    write_folder(tmp_path / "out", files)
    assert content(tmp_path / "out") == files
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_an_earlier_run_is_replaced_whole(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", {"job.json": record("old.nc"), "old.nc": b"old"})
    write_folder(tmp_path / "out", {"job.json": record("new.nc"), "new.nc": b"new"})
    assert set(content(tmp_path / "out")) == {"job.json", "new.nc"}
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_folder_with_somebodys_files_is_refused_untouched(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, {"job.json": record("a.nc"), "a.nc": b"a"})
    (out / "notes.txt").write_text("mine")
    with pytest.raises(ProblemsFound) as caught:
        write_folder(out, {"job.json": record()})
    assert str(caught.value) == (
        f"{out}: holds files that no run wrote: notes.txt; they would be lost "
        "(move them, or a folder of its own for --out)"
    )
    assert set(content(out)) == {"job.json", "a.nc", "notes.txt"}


def test_an_ordinary_file_a_link_or_too_long_a_name_is_refused(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    (tmp_path / "link").symlink_to(tmp_path)
    for name, said in (("file", "is not a folder"), ("link", "is a link"), ("n" * 240, "has a name of 240 bytes")):
        with pytest.raises(ProblemsFound, match=said):
            write_folder(tmp_path / name, {"job.json": record()})


def test_an_empty_folder_is_taken(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    write_folder(tmp_path / "out", {"job.json": record()})
    assert set(content(tmp_path / "out")) == {"job.json"}


WRITER = """
import json, sys
from pathlib import Path
from cncpanel.make.folder import write_folder
out, version = Path(sys.argv[1]), 0
while True:
    version += 1
    names = [f"f{i}.nc" for i in range(40)]
    files = {n: str(version).encode() * 500 for n in names}
    write_folder(out, files | {"job.json": json.dumps({"made_by": "cncpanel", "files": names}).encode()})
"""


def test_a_killed_run_leaves_a_whole_set(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, {"job.json": record()})
    for moment in range(8):
        process = subprocess.Popen([sys.executable, "-c", WRITER, str(out)], stderr=subprocess.DEVNULL)
        time.sleep(0.35 + moment * 0.013)
        process.send_signal(signal.SIGKILL)
        process.wait()
        found = content(out)
        assert set(found) == {"job.json", *json.loads(found["job.json"])["files"]}
        assert len({data for name, data in found.items() if name != "job.json"}) <= 1
    write_folder(out, {"job.json": record()})
    assert os.listdir(tmp_path) == ["out"]


@pytest.mark.parametrize("text", ["[" * 100_000, '{"made_by": "cncpanel", "files": 5}', '{"made_by": "cncpanel"}'])
def test_a_record_that_is_none_of_ours_leaves_the_folder_alone(tmp_path: Path, text: str) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "job.json").write_text(text)
    (out / "notes.txt").write_text("mine")
    with pytest.raises(ProblemsFound):
        write_folder(out, {"job.json": record()})
    assert (out / "notes.txt").read_text() == "mine"
