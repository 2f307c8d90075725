"""Many jobs, a folder each: the same bytes however many are made at once, and one bad job stops no other."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from many_samples import JOB

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.make.choice import Choice
from cncpanel.make.many import each, tasks
from cncpanel.make.parcel import made_of, packed

PLAIN = Choice(only=("programs",))


@pytest.fixture
def jobs(tmp_path: Path) -> tuple[Path, ...]:
    found = tuple(tmp_path / f"{name}.toml" for name in ("one", "bad", "two"))
    for path in found:
        text = JOB.replace("@NAME@", path.stem)
        path.write_text(text.replace("120", "-120") if path.stem == "bad" else text)
    return found


def content(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_one_or_two_at_once_make_the_same_and_tell_the_same(jobs: tuple[Path, ...], tmp_path: Path) -> None:
    told = {n: list(each(tasks(jobs, tmp_path / f"out{n}"), PLAIN, n)) for n in (1, 2)}
    assert told[1] == told[2]
    assert [outcome.code for outcome in told[1]] == [0, 2, 0]
    assert told[1][1].errors == ("bad.toml:15: panel[0].size[0]: -120 mm is too small (more than 0 mm)",)
    assert content(tmp_path / "out1") == content(tmp_path / "out2")
    assert sorted(path.name for path in (tmp_path / "out2").iterdir()) == ["one", "two"]


def test_a_parcel_makes_what_the_job_makes_where_it_lies(jobs: tuple[Path, ...], tmp_path: Path) -> None:
    list(each(tasks(jobs[:1], tmp_path / "out"), PLAIN, 1))
    assert dict(made_of(packed(jobs[0], PLAIN)).files) == content(tmp_path / "out" / "one")
    bad = made_of(packed(jobs[1], PLAIN))
    assert (bad.files, bad.told.code, bad.told.errors[0].split(":")[0]) == ({}, 2, "bad.toml")


def test_a_parcel_holds_drawings_the_kept_layout_and_a_machine_file(tmp_path: Path, fixtures: Path) -> None:
    text = JOB.replace("shop-router", "mine.toml").replace("size = [120, 80]", 'dxf = { file = "d/x.dxf" }')
    (tmp_path / "job.toml").write_text(text.replace("@NAME@", "J"))
    (tmp_path / "mine.toml").write_text("machine")
    (tmp_path / "d").mkdir()
    (tmp_path / "d" / "x.dxf").write_text("dxf")
    (tmp_path / "job.layout.json").write_text("{}")
    parcel = packed(tmp_path / "job.toml", Choice())
    assert sorted(parcel.files) == ["d/x.dxf", "job.layout.json", "job.toml"]
    assert parcel.machine == ("mine.toml", b"machine")


def test_jobs_of_one_name_get_their_folders_name_too(tmp_path: Path) -> None:
    found = tasks([Path("a/job.toml"), Path("b/job.toml"), Path("c.toml")], tmp_path)
    assert [task.out.name for task in found] == ["a-job", "b-job", "c"]
    with pytest.raises(ProblemsFound, match="would both be made in a-job"):
        tasks([Path("a/job.toml"), Path("a/job.toml")], tmp_path)


def test_the_command_tells_each_job_and_ends_with_the_worst_code(jobs: tuple[Path, ...], tmp_path: Path) -> None:
    words = ["make", *map(str, jobs), "--out", str(tmp_path / "out"), "--only", "programs"]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 2
    assert f"{jobs[1]}: nothing was written" in done.output
    assert done.output.splitlines()[-1] == f"2 of 3 sets made in {tmp_path / 'out'}; 0 not proven, 1 not usable"
