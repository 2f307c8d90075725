"""The command line from end to end: what is written, what is printed, the exit codes, and what stays untouched."""

import json
import os
import signal
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from cncpanel.cli import main
from cncpanel.geometry.placement import Placement
from cncpanel.layout.layout import Part
from cncpanel.panel.panel import Panel
from cncpanel.passes import work as passes

JOB = """
[job]
name = "Small box"
machine = "shop-router"

[[stock]]
name = "birch 12"
material = "plywood"
thickness = 12
measured = [11.9, 12.1]
sheet = [400, 300]
count = 1

[[panel]]
name = "lid"
stock = "birch 12"
size = [120, 80]

[[panel.hole]]
name = "finger hole"
centre = [60, 40]
diameter = 20
"""
PLACED = passes.placement


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments], catch_exceptions=False)


def written(folder: Path, *changes: tuple[str, str], more: str = "") -> Path:
    """The job's file, some of its text changed."""
    text = JOB
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    path = folder / "box.toml"
    path.write_text(text + more, encoding="utf-8")
    return path


def content(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def misplaced(panel: Panel, part: Part) -> Placement:
    """Every part 0.03 mm beside where the layout says: three times what the witness lets pass."""
    there = PLACED(panel, part)
    return replace(there, x=there.x + 0.03)


def test_make_writes_the_whole_folder_and_nothing_else(tmp_path: Path) -> None:
    done = run("make", written(tmp_path), "--out", tmp_path / "out")
    assert 0 == done.exit_code
    assert [
        "dxf/panel01-lid.dxf",
        "dxf/sheet1.dxf",
        "index.html",
        "job.json",
        "programs/small-box-sheet1-dry.nc",
        "programs/small-box-sheet1-frame.nc",
        "programs/small-box-sheet1-run1of1.nc",
        "sheets/cut-list.csv",
        "sheets/cut-list.md",
        "sheets/labels.pdf",
        "sheets/sheets.pdf",
        "templates/panel01-lid-a4.pdf",
        "templates/panel01-lid-r12.dxf",
        "templates/panel01-lid-roll.pdf",
        "templates/panel01-lid.dxf",
        "templates/panel01-lid.svg",
    ] == sorted(content(tmp_path / "out"))
    assert ["box.toml", "out"] == sorted(path.name for path in tmp_path.iterdir())
    assert f"everything is in {tmp_path / 'out'}" in done.output


def test_a_program_that_fails_leaves_no_program_not_even_an_earlier_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job, out = written(tmp_path), tmp_path / "out"
    assert 0 == run("make", job, "--out", out).exit_code
    assert list((out / "programs").iterdir())
    monkeypatch.setattr(passes, "placement", misplaced)
    failed = run("make", job, "--out", out)
    assert 1 == failed.exit_code
    assert [] == list(out.rglob("*.nc"))
    record = json.loads((out / "job.json").read_text(encoding="utf-8"))
    assert "fail" == record["verdict"]
    assert {False} == {program["written"] for program in record["sheets"][0]["programs"]}
    assert "Not proven: no program was written. Do not cut." in (out / "index.html").read_text(encoding="utf-8")
    assert f"NOT PROVEN: no program was written; see {out / 'index.html'}" in failed.output


def test_one_sheet_that_fails_keeps_the_programs_of_the_others_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    more = '[[panel]]\nname = "base"\nstock = "birch 12"\nsize = [340, 260]\n'
    job = written(tmp_path, ("count = 1", "count = 2"), more=more)
    assert 2 == len(list(_made_sheets(job, tmp_path / "whole")))
    monkeypatch.setattr(passes, "placement", lambda p, part: (misplaced if p.name == "base" else PLACED)(p, part))
    failed = run("make", job, "--out", tmp_path / "out")
    assert 1 == failed.exit_code
    assert [] == list((tmp_path / "out").rglob("*.nc"))
    record = json.loads((tmp_path / "out" / "job.json").read_text(encoding="utf-8"))
    assert ["fail", "pass with remarks"] == sorted(sheet["proof"]["verdict"] for sheet in record["sheets"])


def _made_sheets(job: Path, out: Path) -> list[Path]:
    assert 0 == run("make", job, "--out", out).exit_code
    return list((out / "programs").glob("*run1of1.nc"))


def test_check_judges_as_make_does_and_writes_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = written(tmp_path)
    assert 0 == run("check", job).exit_code
    monkeypatch.setattr(passes, "placement", misplaced)
    assert 1 == run("check", job).exit_code
    assert ["box.toml"] == [path.name for path in tmp_path.iterdir()]


def test_every_mistake_is_listed_in_one_run_and_the_earlier_set_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert 0 == run("make", written(tmp_path), "--out", out).exit_code
    before = content(out)
    job = written(tmp_path, ("diameter = 20", "diameter = -20"), ("size = [120, 80]", 'size = [120, "wide"]'))
    refused = run("make", job, "--out", out)
    assert 2 == refused.exit_code
    lines = [line for line in refused.output.splitlines() if line.startswith("box.toml:")]
    assert ["box.toml:17: panel[0].size[1]", "box.toml:22: panel[0].hole[0].diameter"] == [
        line.split(": ", 2)[0] + ": " + line.split(": ", 2)[1] for line in lines
    ]
    assert "2 mistakes; nothing was written" in refused.output
    assert before == content(out)


def test_a_job_file_that_is_not_there_is_a_mistake_of_the_input(tmp_path: Path) -> None:
    refused = run("make", tmp_path / "none.toml", "--out", tmp_path / "out")
    assert 2 == refused.exit_code
    assert "none.toml" in refused.output
    assert [] == list(tmp_path.iterdir())


def test_a_panel_larger_than_its_sheet_is_told_together_with_a_hole_that_no_tool_makes(tmp_path: Path) -> None:
    refused = run("check", written(tmp_path, ("[120, 80]", "[520, 80]"), ("diameter = 20", "diameter = 1")))
    assert 2 == refused.exit_code
    assert "panel lid: 520.0 x 80.0 mm does not fit a birch 12 sheet" in refused.output
    assert "panel lid: finger hole: no tool fits" in refused.output
    assert "2 mistakes" in refused.output


def test_a_hole_that_no_tool_makes_is_told_beside_another_panels_mistake(tmp_path: Path) -> None:
    """And no tool is looked for in the panel that is wrong itself."""
    more = """
[[panel]]
name = "foot"
stock = "birch 12"
size = [100, 60]
hole = [{ name = "peg", diameter = 1, centre = [30, 30] }, { name = "far", diameter = 1, centre = [300, 30] }]
"""
    refused = run("check", written(tmp_path, ("diameter = 20", "diameter = 1"), more=more))
    assert 2 == refused.exit_code
    assert "panel lid: finger hole: no tool fits" in refused.output
    assert "it reaches 200.5 mm beyond the panel's right side" in refused.output
    assert "panel foot: peg" not in refused.output
    assert "2 mistakes" in refused.output


def test_a_sheet_beyond_the_machine_is_told_with_what_would_fit(tmp_path: Path) -> None:
    refused = run("check", written(tmp_path, ("[400, 300]", "[1220, 610]")), "--machine", "desktop-router")
    assert 2 == refused.exit_code
    assert (
        "box.toml:11: stock[0].sheet: desktop-router: birch 12: sheet 1220 x 610 reaches X 1240 of 800 "
        "at the stated origin (the largest sheet that fits is 780 x 780)"
    ) in refused.output


def test_a_gap_less_than_a_tool_reaches_is_a_mistake(tmp_path: Path) -> None:
    rabbet = '[[panel.rabbet]]\nside = "left"\nwidth = 14\ndepth = 6\ntool = "12 mm compression"\n'
    head = ("[[stock]]", "[settings]\ngap = 6\n\n[[stock]]")
    refused = run("check", written(tmp_path, head, more=rabbet))
    assert 2 == refused.exit_code
    assert (
        "box.toml:7: settings.gap: a gap of 6 mm is less than the 6.1 mm a tool reaches past a wall "
        "(at least 6.1, or leave it out)"
    ) in refused.output


def test_sheets_that_are_not_at_hand_are_a_warning(tmp_path: Path) -> None:
    done = run("check", written(tmp_path, ("size = [120, 80]", "size = [300, 200]\ncopies = 2")))
    assert 0 == done.exit_code
    assert "box.toml:12: stock[0].count: warning: birch 12: 2 sheets are needed, 1 are at hand" in done.output


def test_quiet_says_nothing_when_all_is_well(tmp_path: Path) -> None:
    done = run("make", written(tmp_path), "--out", tmp_path / "out", "--quiet")
    assert (0, "") == (done.exit_code, done.output)


def test_a_folder_with_somebodys_files_is_refused_before_any_work(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "letter.txt").write_text("mine", encoding="utf-8")
    refused = run("make", written(tmp_path), "--out", tmp_path / "out")
    assert 2 == refused.exit_code
    assert "reading the job" not in refused.output
    assert {"letter.txt": b"mine"} == content(tmp_path / "out")


def test_a_new_job_file_can_be_checked_at_once_and_is_never_overwritten(tmp_path: Path) -> None:
    job = tmp_path / "stand.toml"
    assert 0 == run("new", job).exit_code
    assert 0 == run("check", job).exit_code
    job.write_text("mine", encoding="utf-8")
    assert 2 == run("new", job).exit_code
    assert "mine" == job.read_text(encoding="utf-8")


def test_the_schema_and_the_machines_are_printed() -> None:
    assert "object" == json.loads(run("schema").output)["type"]
    listed = run("machines").output
    assert {"desktop-router", "nesting-router", "shop-router", "shop-router-inch"} == {
        line.split()[0] for line in listed.splitlines()
    }
    assert "T1   6 mm up-cut" in run("machines", "shop-router").output
    assert 2 == run("machines", "no-such-router").exit_code


@pytest.mark.parametrize("command", sorted(main.commands))
def test_every_command_has_help_with_an_example(command: str) -> None:
    shown = run(command, "--help").output
    assert "Example" in shown
    assert f"cncpanel {command}" in shown


def heeding_ctrl_c() -> None:
    """A process started in the background inherits that Ctrl-C is ignored; these tests send it on purpose."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C cannot be sent to one process there")
def test_ctrl_c_in_the_middle_leaves_the_earlier_set(tmp_path: Path) -> None:
    job, out = written(tmp_path), tmp_path / "out"
    assert 0 == run("make", job, "--out", out).exit_code
    before = content(out)
    command = [sys.executable, "-m", "cncpanel", "make", str(job), "--out", str(out)]
    process = subprocess.Popen(
        command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True, preexec_fn=heeding_ctrl_c
    )
    assert process.stderr is not None
    while "choosing tools" not in process.stderr.readline():
        time.sleep(0.001)
    process.send_signal(signal.SIGINT)
    _, told = process.communicate()
    assert 130 == process.returncode
    assert "stopped; nothing is half-written" in told
    assert before == content(out)
    assert ["box.toml", "out"] == sorted(path.name for path in tmp_path.iterdir())


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C cannot be sent to one process there")
@pytest.mark.parametrize("told", ["", "raise ImportError('it failed to import')"])
def test_ctrl_c_while_still_starting_is_not_told_as_a_failed_proof(tmp_path: Path, told: str) -> None:
    """Before the job is read the command still loads what it needs; exit 1 would say that a program failed.

    A compiled library that is stopped while it loads turns that into an ImportError of its own.
    """
    start = (
        "import os, signal, sys\n"
        "from importlib.abc import MetaPathFinder\n"
        "class Stopping(MetaPathFinder):\n"
        "    def find_spec(self, name, path, target=None):\n"
        "        if name != 'cncpanel.errors': return\n"
        "        try: os.kill(os.getpid(), signal.SIGINT)\n"
        f"        except KeyboardInterrupt: {told or 'raise'}\n"
        "from cncpanel.cli import main\n"
        "sys.meta_path.insert(0, Stopping())\n"
        "main(['check', sys.argv[1]])\n"
    )
    command = [sys.executable, "-c", start, str(written(tmp_path))]
    done = subprocess.run(command, capture_output=True, text=True, preexec_fn=heeding_ctrl_c)
    assert (130, "stopped; nothing is half-written") == (done.returncode, done.stderr.strip())


def test_no_machine_at_all_and_an_empty_machine_file_are_told_for_what_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "jobs").mkdir()
    monkeypatch.chdir(tmp_path)  # a path on the command line counts from here, the job's own from the job
    job = written(tmp_path / "jobs")
    assert '--machine: there is no machine ""' in run("check", job, "--machine", "").output
    (tmp_path / "own.toml").write_text("", encoding="utf-8")
    told = run("check", job, "--machine", "own.toml").output
    assert {"own.toml: name: missing", "own.toml: travel: missing"} <= set(told.splitlines())
    assert (
        "box.toml:4: job.machine: there is no machine"
        in run("check", written(tmp_path / "jobs", ("shop-", "shed-"))).output
    )


def test_the_folder_one_stands_in_is_not_replaced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = written(tmp_path)
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    for out in (".", tmp_path):
        refused = run("make", job, "--out", out)
        assert 2 == refused.exit_code
        assert "is the folder that the command runs in, or holds it" in refused.output
    assert ["box.toml", "here"] == sorted(path.name for path in tmp_path.iterdir())


def test_a_place_where_nothing_can_be_written_is_told_before_any_work(tmp_path: Path) -> None:
    job = written(tmp_path)
    refused = run("make", job, "--out", job / "out")
    assert 2 == refused.exit_code
    assert [f"{job}: is not a folder (a folder of its own for --out)", "1 mistake; nothing was written"] == (
        refused.output.splitlines()
    )


def test_tabs_too_high_for_a_thin_stock_are_told_with_the_setting_that_lowers_them(tmp_path: Path) -> None:
    thin = ("thickness = 12\nmeasured = [11.9, 12.1]", "thickness = 3\nmeasured = [2.8, 3.0]")
    told = run("check", written(tmp_path, thin)).output
    assert "tabs 2 mm high in birch 12, 2.8 mm thick (at most 1.8 mm, settings.tab_height)" in told
    lower = ("[[stock]]", "[settings]\ntab_height = 1.5\n\n[[stock]]")
    assert 0 == run("check", written(tmp_path, thin, lower)).exit_code


def test_mistakes_of_the_job_and_of_its_machine_are_told_in_one_run(tmp_path: Path) -> None:
    job = written(tmp_path, ("shop-", "shed-"), ("[400, 300]", '[400, "wide"]'))
    told = run("check", job).output
    assert "job.machine: there is no machine" in told
    assert "stock[0].sheet[1]: no value is named" in told
    told = run("check", job, "--machine", "barn-router").output
    assert '--machine: there is no machine "barn-router"' in told
    assert "stock[0].sheet[1]: no value is named" in told
