"""`cncpanel prove`: any programs judged by what is known; what is not known is said, and nothing passes by it."""

import json
import os
import re
import threading
from contextlib import suppress
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from cncpanel.cli import main
from cncpanel.make import prove_flow

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = """(FIT T1)
G17 G21 G40 G54 G80 G90 G94
G61
G53 G0 Z0
G0 X0 Y1260
(MSG,FIT T1 6 MM)
M0
G53 G0 Z0
M3 S18000
G4 P5
G0 X100 Y100
G0 Z20
G0 Z2
G1 Z0.2 F1000
G1 X140 Z-2 F1000
G1 X100
G0 Z20
G53 G0 Z0
M5
G0 X0 Y1260
M2
"""
KNOWN = ("--machine", "shop-router", "--tools", "shop-router", "--stock", "2440x1220x18", "--origin", "0,0,0")


@pytest.fixture
def program(tmp_path: Path) -> Path:
    path = tmp_path / "slot.nc"
    path.write_text(PROGRAM, encoding="ascii", newline="\n")
    return path


def prove(*options: str | Path) -> Result:
    return CliRunner().invoke(main, ["prove", *map(str, options), "--quiet"])


def holding(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "clamps.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_program_passes_where_everything_that_bears_on_safety_is_known(program: Path, tmp_path: Path) -> None:
    clamps = holding(tmp_path, "[[holding]]\nat = [0, 500]\nsize = [40, 60]\n")
    result = prove(program, *KNOWN, "--holding", clamps)
    assert ("pass with remarks\n", 0) == (result.stdout, result.exit_code)


def test_what_is_not_known_is_not_judged_and_does_not_pass(program: Path) -> None:
    result = prove(program, "--machine", "shop-router")
    assert 1 == result.exit_code
    told = [line.split(": ")[1] for line in result.stdout.splitlines() if line.startswith("not judged")]
    assert ["clamps and screws", "the stock", "the tools", "the zero"] == told
    assert result.stdout.endswith("fail: what bears on safety is not judged\n")


def test_a_clamp_in_the_way_is_found_at_its_line(program: Path, tmp_path: Path) -> None:
    clamps = holding(tmp_path, '[[holding]]\nkind = "clamp"\nat = [120, 90]\nsize = ["2 cm", 20]\nheight = 15\n')
    result = prove(program, *KNOWN, "--holding", clamps)
    assert 1 == result.exit_code
    assert "slot.nc:14: safety: T1 meets the clamp" in result.stdout or "slot.nc:15: safety: T1" in result.stdout


def test_the_zero_may_lie_anywhere_on_the_sheet(program: Path, tmp_path: Path) -> None:
    """With the zero 40 mm from the sheet's end the cut from X100 on lies beyond the travel and beside the sheet."""
    clamps = holding(tmp_path, "[[holding]]\nat = [0, 500]\nsize = [40, 60]\n")
    far = ("--machine", "shop-router", "--stock", "2440x1220x18", "--origin", "2400,0,0", "--holding", clamps)
    result = prove(program, *far)
    assert 1 == result.exit_code
    assert "beside the sheet" in result.stdout


def test_a_tool_is_parked_where_the_zero_says(tmp_path: Path) -> None:
    """The same program with its zero 100 mm along X and 200 along Y: it passes as the other does."""
    path = tmp_path / "moved.nc"
    moved = PROGRAM.replace("X0 Y1260", "X-100 Y1060").replace("X100 Y100", "X0 Y-100").replace("X140 Z", "X40 Z")
    path.write_text(moved.replace("G1 X100\n", "G1 X0\n"), encoding="ascii", newline="\n")
    clamps = holding(tmp_path, "[[holding]]\nat = [0, 500]\nsize = [40, 60]\n")
    result = prove(path, *KNOWN[:-1], "100,200,0", "--holding", clamps)
    assert (0, "pass with remarks") == (result.exit_code, result.stdout.strip())


def test_json_says_it_all(program: Path) -> None:
    result = prove(program, "--machine", "shop-router", "--json")
    data = json.loads(result.stdout)
    assert ("fail", "mm", "shop-router", ["slot.nc"]) == (
        data["verdict"],
        data["units"],
        data["machine"],
        [one["name"] for one in data["programs"]],
    )
    assert {"what", "why", "safety"} == set(data["not_judged"][0])


def test_every_mistake_in_what_is_given_is_told_at_once(program: Path, tmp_path: Path) -> None:
    clamps = holding(tmp_path, '[[holding]]\nkind = "nail"\nat = [1]\nsize = [0, 2]\nwide = 3\n')
    result = prove(
        program, program, tmp_path / "none.nc", "--machine", "shop-rooter", "--stock", "1x2", "--origin", "0,b,0",
        "--sheet", "3", "--tools", tmp_path / "none.toml", "--holding", clamps,
    )  # fmt: skip
    assert 2 == result.exit_code
    told = result.stderr
    given = ("given twice", "none.nc", "did you mean shop-router", '"1x2" has 2 of 3', '"b"', "--sheet")
    for word in (*given, "none.toml", "holding[0].wide", "holding[0].kind"):
        assert word in told


def test_a_file_of_tools_is_judged_where_the_machine_is_not_known(program: Path, tmp_path: Path) -> None:
    rack = tmp_path / "rack.toml"
    rack.write_text('[[tool]]\nnumber = 1\nname = "six"\nkind = "saw"\ndiameter = -6\n')
    result = prove(program, "--machine", "shop-routr", "--tools", rack)
    assert 2 == result.exit_code
    for word in ("did you mean shop-router", "rack.toml:4: tool[0].kind", "rack.toml:5: tool[0].diameter"):
        assert word in result.stderr


def test_what_is_not_there_is_told_by_its_option_or_its_name(program: Path, tmp_path: Path) -> None:
    missing = tmp_path / "missing.nc"
    result = prove(program, missing, tmp_path, "--machine", "shop-routr")
    assert 2 == result.exit_code
    assert [
        '--machine: there is no machine "shop-routr"; did you mean shop-router? (desktop-router, nesting-router, '
        "shop-router, shop-router-inch, or a path to a .toml file)",
        f"{missing}: no such file",
        f"{tmp_path}: a folder, not a file",
    ] == sorted(result.stderr.splitlines()[:3], key=lambda line: (line[0] != "-", "missing" not in line))


def test_a_cut_without_a_tool_is_told_how_to_name_one(program: Path) -> None:
    program.write_text(PROGRAM.replace("(FIT T1)\n", "").replace("(MSG,FIT T1 6 MM)\n", ""), encoding="ascii")
    result = CliRunner().invoke(main, ["prove", str(program), *KNOWN])
    assert "slot.nc:13: safety: a cut, but no tool was named (T1, or a comment TOOL T1) (tool-unknown)" in result.stdout
    assert "(no tool named " in result.stdout


def test_a_holding_file_is_judged_key_by_key(program: Path, tmp_path: Path) -> None:
    clamps = holding(tmp_path, '[[holding]]\nkind = "nail"\nat = [1, 2]\nsize = [0, 2]\nwide = 3\n')
    result = prove(program, *KNOWN, "--holding", clamps)
    assert 2 == result.exit_code
    lines = [line.split(": ")[0] for line in result.stderr.splitlines() if line.startswith("clamps")]
    assert ["clamps.toml:2", "clamps.toml:4", "clamps.toml:5"] == sorted(set(lines))


def test_tools_of_another_file_stand_in_for_the_rack(program: Path, tmp_path: Path) -> None:
    tools = tmp_path / "tools.toml"
    tools.write_text(
        '[[tool]]\nnumber = 2\nname = "x"\nkind = "up-cut"\ndiameter = 6\nflutes = 2\ncutting_length = 22\n'
        "stick_out = 30\nnut_diameter = 30\nshank_diameter = 6\nplunges = true\n",
        encoding="utf-8",
    )
    result = prove(program, *KNOWN, "--tools", tools)
    assert "T1 is not in the rack" in result.stdout
    tools.write_text("x = 1\n", encoding="utf-8")
    empty = prove(program, *KNOWN, "--tools", tools)
    assert (2, True) == (empty.exit_code, "has no tools" in empty.stderr)


@pytest.mark.parametrize("left_out", ["--tools", "--stock", "--origin", "--holding"])
def test_nothing_passes_while_one_thing_that_bears_on_safety_is_not_said(
    program: Path, tmp_path: Path, left_out: str
) -> None:
    said = dict(zip(KNOWN[::2], KNOWN[1::2], strict=True)) | {"--holding": str(holding(tmp_path, "holding = []\n"))}
    assert 0 == prove(program, *(word for pair in said.items() for word in pair)).exit_code
    del said[left_out]
    result = prove(program, *(word for pair in said.items() for word in pair))
    assert (1, 1) == (result.exit_code, result.stdout.count("not judged: "))


@pytest.mark.parametrize(("word", "what"), [("G41 D1", "cutter radius compensation"), ("G38.2 Z-1", "probing")])
def test_what_is_not_simulated_is_not_judged(program: Path, word: str, what: str) -> None:
    program.write_text(PROGRAM.replace("G0 X100 Y100\n", f"G0 X100 Y100\n{word}\n"), encoding="ascii")
    result = prove(program, *KNOWN)
    assert 1 == result.exit_code
    assert f"not judged: {what}: " in result.stdout


def test_times_are_told_by_program_and_tool_with_what_they_assume(program: Path) -> None:
    told = CliRunner().invoke(main, ["prove", str(program), *KNOWN]).stdout
    assert "slot.nc: about " in told
    assert "(T1 " in told
    assert "times assume: acceleration" in told
    data = json.loads(CliRunner().invoke(main, ["prove", str(program), *KNOWN, "--json"]).stdout)
    time = data["programs"][0]["time"]
    parts = time["cutting"] + time["rapids"] + time["dwells"] + time["changes_and_stops"]
    assert time["seconds"] == pytest.approx(parts, abs=0.3)
    assert time["between"][0] < time["seconds"] < time["between"][1]
    assert [1] == [tool["tool"] for tool in time["tools"] if tool["cutting"]]


def test_picture_and_page_are_written(program: Path, tmp_path: Path) -> None:
    page, picture = tmp_path / "proof.html", tmp_path / "map.png"
    prove(program, *KNOWN, "--out", page, "--picture", picture)
    assert page.read_bytes().startswith(b"<!")
    assert picture.read_bytes().startswith(b"\x89PNG")
    missing = prove(program, *KNOWN, "--out", tmp_path / "none" / "p.html", "--picture", tmp_path)
    assert 2 == missing.exit_code
    assert "--out" in missing.stderr
    assert "--picture" in missing.stderr


def test_the_board_on_the_page_lies_where_the_zero_says(program: Path, tmp_path: Path) -> None:
    page = tmp_path / "proof.html"
    prove(program, "--machine", "shop-router", "--stock", "700x400x18", "--origin", "30,20,-5", "--out", page)
    (data,) = re.findall(r'id="data">(.*?)</script>', page.read_text(encoding="utf-8"), re.DOTALL)
    (sheet,) = json.loads(data)["sheets"]
    assert ([-30, -20], [700, 400], 5) == (sheet["corner"], sheet["size"], sheet["top"])
    assert [-30, -20] == sheet["depth"]["origin"]


def test_a_jobs_program_is_proven_against_its_job(tmp_path: Path) -> None:
    job, out = ROOT / "fixtures" / "jobs" / "trail_plaque.toml", tmp_path / "made"
    made = CliRunner().invoke(main, ["make", str(job), "--out", str(out), "--quiet"])
    assert 0 == made.exit_code
    programs = sorted((out / "programs").glob("*.nc"))
    assert len(programs) >= 2
    assert 0 == prove(*programs, "--machine", "shop-router", "--job", job).exit_code
    cutting = next(path for path in programs if "run" in path.name)
    text = cutting.read_text(encoding="ascii")
    cutting.write_text(text.replace("G2 ", "G3 ", 1), encoding="ascii")
    assert 1 == prove(*programs, "--machine", "shop-router", "--job", job).exit_code


@pytest.mark.parametrize("option", ["--out", "--picture"])
def test_a_file_that_is_read_is_not_written_over(program: Path, tmp_path: Path, option: str) -> None:
    result = prove(program, *KNOWN, option, program)
    assert (2, PROGRAM) == (result.exit_code, program.read_text(encoding="ascii"))
    assert f"{option}: {program}: is one of the files that are read" in result.stderr
    both = prove(program, *KNOWN, "--out", tmp_path / "p", "--picture", tmp_path / "p")
    assert (2, False) == (both.exit_code, (tmp_path / "p").exists())


def test_more_lines_than_a_proof_takes_are_told_before_any_is_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = tmp_path / "a.nc", tmp_path / "b.nc"
    first.write_bytes(b"\n \t\r\n".join([b"G0 X1"] * 800_000))  # blank lines do not count
    second.write_bytes(b"\r".join([b"G0 X1"] * 800_000))
    monkeypatch.setattr(prove_flow, "read_programs", None)
    result = prove(first, second, *KNOWN)
    assert 2 == result.exit_code
    assert result.stderr.splitlines() == [
        f"{second}: more than 1500000 lines, the programs before it on the sheet counted "
        "(at most 1500000: longer steps along curves, or arcs)",
        "1 mistake; nothing was written",
    ]


def test_no_more_of_an_endless_program_is_read_than_shows_it(tmp_path: Path) -> None:
    path = tmp_path / "endless.nc"
    os.mkfifo(path)
    written = [0]

    def write() -> None:
        with suppress(BrokenPipeError), path.open("wb", buffering=0) as stream:
            while True:
                written[0] += stream.write(b"G0 X1\n" * 10_000)

    writer = threading.Thread(target=write, daemon=True)
    writer.start()
    result = prove(path, *KNOWN)
    writer.join(10)
    assert (f"{path}: more than 1500000 lines", 2) == (result.stderr.partition(", the")[0], result.exit_code)
    assert not writer.is_alive()
    assert 9_000_000 < written[0] < 13_000_000  # bytes: 1.5 million lines of six, and what a read and a pipe hold
