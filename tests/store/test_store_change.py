"""The store of offcuts is whole at any moment, and no change of two at once is lost."""

import subprocess
import sys
from pathlib import Path

import pytest

from cncpanel.errors import ProblemsFound
from cncpanel.store.change import begun, changed, refuse_unwritable
from cncpanel.store.lock import locked
from cncpanel.store.offcut import Offcut, Store
from cncpanel.store.text import read_store, store_text

KILLED = """
import os, random, signal, sys, time
from pathlib import Path
from cncpanel.store.change import changed
from cncpanel.store.offcut import Offcut
from cncpanel.store.text import read_store

path, chance, most = Path(sys.argv[1]), random.Random(3), 0
for turn in range(600):
    if turn >= 60 and most > 5:
        break
    child = os.fork()
    if child == 0:
        count = len(read_store(path).offcut)
        while True:
            count += 1
            piece = Offcut(name=f"p{count}", material="mdf", thickness=18, size=(600, 400))
            changed(path, lambda store: store.with_pieces(piece))
    time.sleep(chance.uniform(0.0, 0.03 * (1 + turn / 60)))  # a busy machine comes to write later
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    names = [piece.name for piece in read_store(path).offcut]
    assert names == [f"p{n}" for n in range(1, len(names) + 1)] and len(names) >= most, names
    most = len(names)
print(most)
"""
ADDING = """
import sys
from pathlib import Path
from cncpanel.store.change import changed
from cncpanel.store.offcut import Offcut

for n in range(25):
    piece = Offcut(name=f"{sys.argv[2]}{n}", material="mdf", thickness=18, size=(600, 400))
    changed(Path(sys.argv[1]), lambda store: store.with_pieces(piece))
"""


def piece(name: str = "a", **changes: object) -> Offcut:
    return Offcut.model_validate({"name": name, "material": "mdf", "thickness": 18, "size": (600, 400), **changes})


@pytest.fixture
def path(tmp_path: Path) -> Path:
    begun(tmp_path / "offcuts.toml", Store())
    return tmp_path / "offcuts.toml"


@pytest.mark.skipif(sys.platform == "win32", reason="there is no fork")
def test_a_store_is_whole_whenever_its_writer_is_killed(path: Path) -> None:
    done = subprocess.run([sys.executable, "-c", KILLED, str(path)], capture_output=True, text=True, check=False)
    assert (done.stderr, done.returncode) == ("", 0)
    assert int(done.stdout) > 5  # writers came to write between their deaths
    assert {p.name for p in path.parent.iterdir()} <= {path.name, f".{path.name}.lock", f".{path.name}.fresh"}


def test_two_writers_at_once_lose_nothing(path: Path) -> None:
    writers = [subprocess.Popen([sys.executable, "-c", ADDING, str(path), name]) for name in "ab"]
    assert [writer.wait() for writer in writers] == [0, 0]
    names = {piece.name for piece in read_store(path).offcut}
    assert names == {f"{name}{n}" for name in "ab" for n in range(25)}


def test_what_is_written_is_read_back(path: Path) -> None:
    odd = piece('"quoted" \\ ü', measured=(17.9, 18.05), grain="long", origin="a, sheet 1", stock="mdf")
    claim = {"job": "A", "sheet": 2, "sheet_id": "X", "folder": "/tmp/a b"}
    store = Store(offcut=(odd, piece("b", claim=claim)), least=(300, 200)).with_cut("X", "A", 2).with_cut("X", "A", 2)
    path.write_text(store_text(store), encoding="utf-8")
    assert read_store(path) == store
    assert store.times_cut("X") == 2


def test_a_change_that_changes_nothing_leaves_the_file_alone(path: Path) -> None:
    path.write_text("# mine\nleast = [400, 250]\n")
    changed(path, lambda store: store)
    assert path.read_text() == "# mine\nleast = [400, 250]\n"


def test_a_store_behind_a_link_stays_behind_it(path: Path, tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    changed(link, lambda store: store.with_pieces(piece()))
    assert link.is_symlink()
    assert [found.name for found in read_store(path).offcut] == ["a"]


def test_a_lock_that_is_held_is_waited_for_and_then_told(path: Path) -> None:
    with locked(path), pytest.raises(ProblemsFound) as raised, locked(path, patience=0.05):
        pass
    said = f"{path}: another run has held it for 0.05 s (try again when that run is done)"
    assert str(raised.value) == said


def test_a_missing_store_and_one_that_is_there_are_told(path: Path, tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match=r"there is no store of offcuts \(begin one: cncpanel offcuts new"):
        changed(tmp_path / "other.toml", lambda store: store)
    with pytest.raises(ProblemsFound, match="exists already and was left alone"):
        begun(path, Store())


def test_a_store_in_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound, match="cannot be changed"):
        begun(tmp_path / "gone" / "offcuts.toml", Store())


def test_a_store_that_may_not_be_written_is_told_early(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    refuse_unwritable(path)
    monkeypatch.setattr("os.access", lambda *_: False)
    with pytest.raises(ProblemsFound, match="may be read but not changed"):
        refuse_unwritable(path)


def test_every_mistake_in_a_store_is_told_with_its_line(path: Path) -> None:
    path.write_text(
        'least = [0, 250]\n[[offcut]]\nname = "a"\nmaterial = "cheese"\nthickness = "3/4 in"\nsize = [600]\n'
        '[[offcut]]\nname = "b"\nmaterial = "mdf"\nthickness = 18\nsize = [600, 400]\ncolour = "red"\n'
    )
    with pytest.raises(ProblemsFound) as raised:
        read_store(path)
    assert str(raised.value).splitlines() == [
        "offcuts.toml:1: least[0]: 0 mm is too small (more than 0 mm)",
        'offcuts.toml:4: offcut[0].material: "cheese" is not known '
        "(mdf, particleboard, plywood, softwood, hardwood, acrylic)",
        "offcuts.toml:6: offcut[0].size: has 1 value (2 are needed)",
        "offcuts.toml:12: offcut[1].colour: unknown key "
        "(name, material, thickness, measured, size, grain, stock, origin, claim)",
    ]
    twice = store_text(Store(offcut=(piece(), piece("b"))))
    path.write_text(twice.replace('"b"', '"a"'))
    with pytest.raises(ProblemsFound, match=r'offcut\[1\]\.name: "a" is the name of another piece \(line 7\)'):
        read_store(path)
    path.write_text(twice.replace('"b"', '"a"').replace("thickness = 18", "thickness = -1", 1))
    with pytest.raises(ProblemsFound) as both:
        read_store(path)
    assert [problem.place.key for problem in both.value.problems] == ["offcut[0].thickness", "offcut[1].name"]
    path.write_text(twice[:-5])
    with pytest.raises(ProblemsFound, match="not TOML"):
        read_store(path)
