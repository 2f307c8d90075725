"""Several jobs on common sheets: parts kept apart, the sheet's wishes the same in all, mistakes in their own file."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.make.batch import batch_path
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Prepared, prepare
from cncpanel.make.labels import stickers
from cncpanel.make.make_into import make_into

JOB = """\
[job]
name = "Shelf"
machine = "shop-router"
revision = "B"

[[stock]]
name = "ply 18"
material = "plywood"
thickness = 18
sheet = [1200, 800]
count = 1

[[panel]]
name = "board"
stock = "ply 18"
size = [300, 200]

[[panel.groove]]
path = [[20, 100], [280, 100]]
houses = "ply 18"
depth = 5

[[hardware]]
name = "bracket"
count = 4

[[assembly]]
panels = ["board"]
action = ["screw"]
"""


def told(text: str) -> None:
    """Nobody listens."""


def paths(folder: Path, *texts: str) -> tuple[Path, ...]:
    found = tuple(folder / f"{letter}.toml" for letter, _ in zip("abc", texts, strict=False))
    for path, text in zip(found, texts, strict=True):
        path.write_text(text)
    return found


def laid(jobs: tuple[Path, ...], name: str | None = None) -> Prepared:
    return prepare(batch_path(jobs, name), Choice(together=jobs, name=name), told)


def test_alike_panels_of_three_jobs_share_a_sheet_and_keep_their_names_apart(tmp_path: Path) -> None:
    prepared = laid(paths(tmp_path, JOB, JOB.replace("Shelf", "Rack"), JOB))
    names = [["Shelf 1: board", "Rack: board", "Shelf 2: board"]]
    assert [sorted(part.name for part in sheet.parts) for sheet in prepared.layout.sheets] == [sorted(*names)]
    job = prepared.read.job
    assert [panel.name for panel in job.panel] == names[0]
    assert [item.name for item in job.hardware] == ["Shelf 1: bracket", "Rack: bracket", "Shelf 2: bracket"]
    assert [step.panels for step in job.assembly] == [(name,) for name in names[0]]
    assert (job.job.name, job.job.note) == (
        "Shelf and 2 more",
        "Jobs: Shelf 1: revision B; Rack: revision B; Shelf 2: revision B.",
    )


def test_a_batch_is_made_and_every_label_says_its_own_job(tmp_path: Path) -> None:
    jobs = paths(tmp_path, JOB, JOB.replace("Shelf", "Rack").replace('"B"', '"C"'))
    made = make_into(batch_path(jobs, "Week 12"), tmp_path / "out", Choice(together=jobs, name="Week 12"), told)
    assert made.passed
    assert sorted(path.name for path in (tmp_path / "out" / "programs").iterdir()) == [
        "week-12-sheet1-dry.nc",
        "week-12-sheet1-frame.nc",
        "week-12-sheet1-run1of1.nc",
    ]
    assert sorted((sticker.name, sticker.job) for sticker in stickers(made)) == [
        ("Rack: board", "Revision C, Rack"),
        ("Shelf: board", "Revision B, Shelf"),
    ]
    record = json.loads((tmp_path / "out" / "job.json").read_text())
    assert [(job["name"], job["revision"], job["panels"]) for job in record["jobs"]] == [
        ("Shelf", "B", ["Shelf: board"]),
        ("Rack", "C", ["Rack: board"]),
    ]


def test_what_the_jobs_ask_differently_of_a_sheet_is_told_in_one_run(tmp_path: Path) -> None:
    other = (
        JOB.replace("sheet = [1200, 800]", "sheet = [1200, 600]\nmeasured = [17.8]")
        .replace("shop-router", "desktop-router")
        .replace("[[stock]]", "[settings]\nleast_web = 6\ngap = 12\n\n[[stock]]", 1)
    )
    with pytest.raises(ProblemsFound) as raised:
        laid(paths(tmp_path, JOB, other))
    same = "(jobs on common sheets need the same; or make them apart)"
    assert str(raised.value).splitlines() == [
        "b.toml:3: job.machine: a.toml is for shop-router (one for all with --machine)",
        f"b.toml:7: settings.least_web: settings.least_web is not what a.toml says {same}",
        f"b.toml:10: stock[0]: ply 18: measured, sheet not as in a.toml {same}",
    ]


def test_every_jobs_own_mistakes_are_told_with_its_file(tmp_path: Path) -> None:
    wide = JOB.replace("size = [300, 200]", "size = [3000, 2000]")
    with pytest.raises(ProblemsFound) as raised:
        laid(paths(tmp_path, JOB.replace('"mdf"', '"x"').replace("18\n", "-18\n"), JOB.replace("[300", "[-300")))
    assert [str(p.place) for p in raised.value.problems if not p.warning] == [
        "a.toml:9: stock[0].thickness",
        "b.toml:16: panel[0].size[0]",
    ]
    with pytest.raises(ProblemsFound) as raised:
        laid(paths(tmp_path, JOB, wide))
    assert [str(p.place) for p in raised.value.problems if not p.warning] == ["b.toml:13: panel[0]"]


def test_the_widest_gap_that_a_job_asks_for_is_kept(tmp_path: Path) -> None:
    wide = JOB.replace("[[stock]]", "[settings]\ngap = 20\n\n[[stock]]", 1)
    assert laid(paths(tmp_path, JOB, wide)).layout.gap == 20


def test_a_batch_is_one_of_its_jobs_where_there_is_one(tmp_path: Path) -> None:
    prepared = laid(paths(tmp_path, JOB))
    assert (prepared.read.job.job.name, [p.name for p in prepared.panels]) == ("Shelf", ["Shelf: board"])


def test_a_layout_of_several_is_kept_and_used_when_they_are_made(tmp_path: Path) -> None:
    jobs = paths(tmp_path, JOB, JOB.replace("Shelf", "Rack"))
    kept = CliRunner().invoke(
        main, ["layout", *map(str, jobs), "--together", "--name", "Week 12", "--keep", "--alternatives", "2"]
    )
    assert (kept.exit_code, (tmp_path / "Week 12.layout.json").exists()) == (0, True)
    assert "0 steps, seed 1, not cut short" in kept.output
    assert laid(jobs, "Week 12").layout.kept
    apart = CliRunner().invoke(main, ["layout", *map(str, jobs)])
    assert (apart.exit_code, apart.output.splitlines()[0]) == (
        2,
        "layout: 2 jobs, and sheets are laid out of one, or of several together (one job, or --together)",
    )
