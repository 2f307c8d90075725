"""A bit breaks: a program is taken up again at any line that cuts, on every machine, or refused with the reason."""

import random
import re
from functools import cache
from math import cos, hypot, sin
from pathlib import Path

import modal_reader
import pytest
from click.testing import CliRunner, Result
from law_examples import examples

from cncpanel.cli import main
from cncpanel.errors import ProblemsFound
from cncpanel.machine.read import read_machine, shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.flow import make
from cncpanel.make.restart import Broken, Restarted, restart
from cncpanel.make.restart_head import runs_of_sheet
from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.prove import prove
from cncpanel.proof.reader import read
from cncpanel.proof.resumed import resumption, way_findings
from cncpanel.proof.rough_stock import blank
from cncpanel.proof.setup import Setup

SHIPPED = tuple(sorted(shipped_machines()))
SEED = 812
JOB = """
[job]
name = "Small"
machine = "{machine}"

[[stock]]
name = "ply"
material = "plywood"
thickness = 9
sheet = [240, 160]
count = 1

[[panel]]
name = "lid"
stock = "ply"
size = [70, 50]
radius = 6

[[panel.hole]]
name = "peg"
centre = [20, 25]
diameter = 9

[[panel.recess]]
size = [20, 20]
at = [40, 15]
radius = 4
depth = 4
"""
Made = tuple[Path, ...]


def quiet(_: str) -> None:
    pass


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("restart")


@cache
def programs(folder: Path, machine: str) -> Made:
    """The programs of the small job as `make` writes them, in their order."""
    home = folder / machine
    home.mkdir()
    job = home / "small.toml"
    job.write_text(JOB.format(machine=machine), encoding="utf-8")
    made = make(job, Choice(), quiet)
    assert made.passed
    paths = []
    for written in made.sheets[0].programs:
        paths.append(home / f"{written.program.name}.nc")
        paths[-1].write_text(written.text, encoding="ascii")
    return tuple(paths)


def cut_lines(text: str) -> list[int]:
    """The lines that go somewhere at a feed and below the sheet's top."""
    top = 9.0 if "(Z0 THE SPOILBOARD" in text else 0.0
    found, motion, height = [], "", 100.0
    for number, line in enumerate(text.splitlines(), 1):
        motion = (re.match(r"(?:G53 )?(G[0-3])\b", line) or [motion, motion])[1]
        z = re.search(r" ?Z(-?[\d.]+)", line)
        before, height = height, float(z[1]) if z and line[0] != "(" else height
        cuts = motion in ("G1", "G2", "G3") and min(before, height) < top - 1e-6
        if cuts and re.match(r"(G[1-3] )?[XYZ]", line):
            found.append(number)
    return found


def motions(text: str) -> list[modal_reader.Move]:
    return modal_reader.read(text).moves


def on_the_way(move: modal_reader.Move, share: float) -> tuple[float, float, float]:
    """A place on a move, reckoned here."""
    (x0, y0, z0), (x1, y1, z1) = move.start, move.end
    z = z0 + (z1 - z0) * share
    if move.centre is None:
        return x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, z
    x, y = move.centre
    turn = move.sweep * share
    u, v = x0 - x, y0 - y
    return x + u * cos(turn) - v * sin(turn), y + u * sin(turn) + v * cos(turn), z


def ground_under(before: list[modal_reader.Move], x: float, y: float) -> float:
    """How deep a tool has stood with its centre within 0.1 mm of a place, before."""
    lowest = 1000.0
    for move in before:
        if move.word == "G0" or None in move.start:
            continue
        steps = max(int(hypot(*(a - b for a, b in zip(move.start, move.end, strict=True))) / 0.05), 40)
        steps = max(steps, int(abs(move.sweep) * 400))
        for step in range(steps + 1):
            px, py, pz = on_the_way(move, step / steps)
            if hypot(px - x, py - y) < 0.1:
                lowest = min(lowest, pz)
    return lowest


def check_taken_up(path: Path, restarted: Restarted) -> None:
    """Nothing of this is asked of the witness."""
    old, new = path.read_text(), restarted.text
    machine = read_machine(re.search(r"\(MACHINE ([A-Z-]+)\)", old)[1].lower())
    top = 9.0 if machine.table.z_zero == "table" else 0.0
    clearance = top + machine.table.clamp_height + 5.0
    rest = motions("\n".join(line for line in old.splitlines() if line != "%") + "\n")
    head = modal_reader.read(
        "\n".join([line for line in old.splitlines()[: restarted.first_line - 1] if line != "%"]) + "\n"
    ).moves
    rest = rest[len(head) :]
    again = motions(new)
    begun, tail = again[: -len(rest)], again[-len(rest) :]
    assert [move.word for move in tail] == [move.word for move in rest]
    for one, other in zip(tail, rest, strict=True):
        assert one.end == pytest.approx(other.end, abs=2e-4)
        assert one.feed == pytest.approx(other.feed, abs=1e-3)
    stop = new.index("M0\n")
    for said in ("FIT T", "MEASURE THE BIT", "CHECK THAT X0 Y0", "Z0"):
        assert said in new[:stop]
    assert not re.search(r"^G[123] ", new[:stop], re.MULTILINE)
    assert not re.search(r"^M3 ", new[:stop], re.MULTILINE)
    sideways = [m for m in begun if m.word == "G0" and m.end[:2] != m.start[:2] and m.end[2] is not None]
    assert all(move.end[2] >= clearance - 0.01 for move in sideways)
    for move in begun:
        if move.word == "G0":
            assert move.end[2] is None or move.end[2] >= top + 0.99
            continue
        for share in (0.0, 0.3, 0.7, 1.0):
            x, y, z = on_the_way(move, share)
            assert z >= min(top, ground_under(head, x, y)) - 0.02


@pytest.mark.parametrize("machine", SHIPPED)
def test_any_line_that_cuts_is_taken_up_safely(folder: Path, machine: str) -> None:
    rng = random.Random(f"{SEED} {machine}")
    for _ in range(examples(2)):
        path = rng.choice(programs(folder, machine))
        line = rng.choice(cut_lines(path.read_text()))
        restarted = restart(Broken(program=path, line=line), quiet)
        assert [str(f) for _, report in restarted.reports for f in report.findings if f.severity != "remark"] == []
        check_taken_up(path, restarted)


def test_the_result_is_compared_with_the_job_where_it_is_given(folder: Path) -> None:
    path = programs(folder, "shop-router")[0]
    line = cut_lines(path.read_text())[-8]
    restarted = restart(Broken(program=path, line=line, job=path.parent / "small.toml"), quiet)
    assert restarted.passed
    assert all(
        report.not_judged == () or not any(n.safety for n in report.not_judged) for _, report in restarted.reports
    )


def test_the_line_after_a_stretch_of_ten_seconds_goes_back_at_least_that_far(folder: Path) -> None:
    path = programs(folder, "shop-router")[0]
    machine = read_machine("shop-router")
    setup = Setup(machine, 9.0)
    reading = read(path.read_text(), setup.control)
    line = cut_lines(path.read_text())[-3]
    plan = resumption(reading, line, setup)
    seconds = sum(60 * move.length / (move.feed or 1e9) for move in reading.moves[plan.first : plan.broken - 1])
    lines = [move.line for move in reading.moves]
    assert seconds >= 9.0 or lines[plan.first] == min(cut_lines(path.read_text()))
    assert lines[plan.first] < line


# -- what is refused -------------------------------------------------------------------------------------------------

LOOSE = """\
(MACHINE SHOP-ROUTER)
(STOCK BOARD, 300 X 200 MM, THICKNESS 9 MM AS MEASURED)
(TOOL T1 6 MM UP-CUT)
G17 G21 G40 G54 G80 G90 G94
G61
G53 G0 Z0
G0 X0 Y1260
(MSG,FIT T1 6 MM UP-CUT)
M0
G53 G0 Z0
M3 S18000
G4 P5
G0 X50 Y50
G0 Z11
G0 Z1
G1 Z0.2 F1000
G1 X80 Z-4 F900
G1 X50 Z-9.6
G1 X80 F1800
G1 Y80
G1 X50
G1 Y62
G0 Z11
G0 X150 Y50
G0 Z1
G1 Z0.2 F1000
G1 X180 Z-4 F900
G1 X150 F1800
G0 Z11
G53 G0 Z0
M5
G0 X0 Y1260
M2
"""


def refusal(folder: Path, text: str, line: int, **more: object) -> str:
    path = folder / "loose.nc"
    path.write_text(text, encoding="ascii")
    with pytest.raises(ProblemsFound) as found:
        restart(Broken(program=path, line=line, **more), quiet)
    return str(found.value)


def test_a_piece_that_is_free_by_then_refuses(tmp_path: Path) -> None:
    assert (
        "loose.nc:28: a piece of 576 mm2 at X65.0 Y65.0 is free by then (since loose.nc line 22) "
        "(nobody knows where it lies now; cut what is missing anew)"
    ) == refusal(tmp_path, LOOSE.replace("G1 Y62", "G1 Y50"), 28)


def test_before_it_is_free_the_same_program_is_taken_up(tmp_path: Path) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE, encoding="ascii")
    restarted = restart(Broken(program=path, line=20), quiet)
    assert restarted.passed
    check = motions(restarted.text)
    assert (restarted.first_line, check[-1].end[:2]) == (16, (0.0, 1260.0))


@pytest.mark.parametrize(
    ("change", "line", "said"),
    [
        (("", ""), 2, "loose.nc:2: cuts nothing (a line that cuts, such as 17)"),
        (("", ""), 23, "loose.nc:23: cuts nothing (a line that cuts, such as 22 or 27)"),
        (("", ""), 99, "--at: loose.nc has no line 99 (1 to 33)"),
        (("", ""), 0, "--at: loose.nc has no line 0 (1 to 33)"),
        (("(MACHINE SHOP-ROUTER)\n", ""), 17, "its head names no machine that is shipped (--machine)"),
        (("(STOCK", "(BOARD"), 17, "its head does not say how large and thick the sheet is (--stock or --job)"),
        (("M3 S18000", "#1=18000 M3 S18000"), 20, "loose.nc:11: a program with parameters cannot be taken up"),
        (("G4 P5\n", "G4 P5\n/G4 P5\n"), 21, "loose.nc:13: whether this line was run depends on a switch"),
        (("G4 P5\n", "G4 P5\nG91\nG90\n"), 22, "loose.nc:13: G91: a program with incremental moves cannot be taken"),
        (("G4 P5\n", "G4 P5\nG18\nG17\n"), 22, "loose.nc:13: G18: a program with another plane than XY cannot"),
    ],
)
def test_what_cannot_be_taken_up_is_said_with_its_line(
    tmp_path: Path, change: tuple[str, str], line: int, said: str
) -> None:
    text = LOOSE.replace(*change) if change[0] else LOOSE
    try:
        assert said in refusal(tmp_path, text, line)
    except pytest.fail.Exception:
        reports = restart(Broken(program=tmp_path / "loose.nc", line=line), quiet).reports
        pytest.fail(str([str(f) for _, report in reports for f in report.findings]))


OWN = """G17 G21 G40 G49 G54 G61 G80 G90 G94
T1
G53 G0 Z0
M3 S18000
G4 P5
G0 X100 Y100
G0 Z2
G1 Z0 F600
X160 Z-3 F900
X300 F2000
Y200
G2 X290 Y210 I-10 J0
G1 X100
Y100
X160 Z-6 F900
X300 F2000
G53 G0 Z0
M5
G4 P8
G0 X0 Y1260
M2
"""


@pytest.mark.parametrize("line", [9, 10, 11, 12, 15])
def test_a_program_that_comes_down_to_the_very_face_is_taken_up(tmp_path: Path, line: int) -> None:
    """Broken off there it would lift from the face; nobody runs that end, so nothing wrong with it counts."""
    path = tmp_path / "own.nc"
    path.write_text(OWN, encoding="ascii")
    restarted = restart(Broken(program=path, line=line, machine="shop-router", stock="2440x1220x18"), quiet)
    assert restarted.passed
    assert restarted.first_line <= line


def test_a_canned_cycle_is_not_taken_up(tmp_path: Path) -> None:
    text = LOOSE.replace("G0 X50 Y50\nG0 Z11\n", "G0 X50 Y50\nG0 Z11\nG83 X30 Y30 Z-5 R1 Q1 F300\nG80\nG0 X50 Y50\n")
    text = text.replace("(TOOL T1 6 MM UP-CUT)", "(TOOL T2 5 MM DRILL)").replace("FIT T1 6 MM UP-CUT", "FIT T2")
    said = refusal(tmp_path, text, 15, tools=drills(tmp_path))
    assert "loose.nc:15: a canned cycle cannot be taken up in its middle (a line that cuts once)" == said


MIDDLE = "cannot be taken up in its middle"


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("G91\nG90", f"G91: a program with incremental moves {MIDDLE} (the same program in absolute moves, G90)"),
        (
            "G92 X50\nG92.1",
            f"G92: a program with a shifted zero {MIDDLE} (the machine's own zero, set before the program runs)",
        ),
        ("G20\nG21", "G20: the machine's programs are in mm (the same program in G21, or a machine file of that unit)"),
        (
            "G55\nG54",
            "G55: the machine's zero is G54 (the same program with that zero, or a machine file with work_offset so)",
        ),
    ],
)
def test_what_cannot_be_taken_up_says_what_to_do(tmp_path: Path, words: str, expected: str) -> None:
    text = LOOSE.replace("G0 X50 Y50\nG0 Z11\n", f"G0 X50 Y50\n{words}\nG0 X50 Y50\nG0 Z11\n")
    assert expected in refusal(tmp_path, text, 21)


def drills(folder: Path) -> Path:
    """A rack whose second tool may go straight down."""
    path = folder / "rack.toml"
    tool = 'kind = "up-cut"\ndiameter = 6\nflutes = 2\ncutting_length = 22\nstick_out = 30\nnut_diameter = 30\n'
    tool += "shank_diameter = 6\n"
    path.write_text(f'[[tool]]\nnumber = 2\nname = "6"\n{tool}plunges = true\nrpm_max = 24000\n', encoding="ascii")
    return path


def test_a_run_whose_neighbours_are_missing_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "small-sheet1-run2of3-t1.nc"
    path.write_text(LOOSE, encoding="ascii")
    with pytest.raises(ProblemsFound) as found:
        restart(Broken(program=path, line=20), quiet)
    assert [problem.allowed for problem in found.value.problems] == [
        f"small-sheet1-run1of3.nc in {tmp_path}",
        f"small-sheet1-run3of3.nc in {tmp_path}",
    ]


def test_a_restart_is_not_taken_up_but_the_program_it_names(tmp_path: Path) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE, encoding="ascii")
    again = restart(Broken(program=path, line=20), quiet).text
    assert refusal(tmp_path, again, 20) == (
        "loose.nc: is a restart itself, and does not say all that was cut (the program it names)"
    )


# -- zeros that are not where the machine file has them ---------------------------------------------------------------


def moved(text: str, dx: float, dy: float, dz: float) -> str:
    """The program for a zero that lies elsewhere."""
    by = {"X": dx, "Y": dy, "Z": dz}
    lines = [
        line
        if line[0] == "(" or "G53" in line
        else re.sub(r"([XYZ])(-?[\d.]+)", lambda m: f"{m[1]}{float(m[2]) + by[m[1]]:g}", line)
        for line in text.splitlines()
    ]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    ("origin", "said"),
    [
        (
            (-10, -20, 0),
            (
                "(MSG,CHECK THAT THE SHEET'S LOWER LEFT CORNER STILL IS AT X10 Y20)",
                "(MSG,SET ANEW Z0 THE SHEET'S TOP WHERE IT IS NOT CUT)",
                "(MSG,OR 9 MM OVER THE SPOILBOARD)",
            ),
        ),
        (
            (0, 0, -9),
            (
                "(MSG,CHECK THAT X0 Y0 STILL IS THE SHEET'S CORNER AND NOTHING HAS MOVED)",
                "(MSG,SET ANEW Z0 THE SPOILBOARD'S SURFACE, SET BESIDE THE SHEET)",
            ),
        ),
        (
            (0, 0, 2),
            ("(MSG,SET ANEW Z0 2 MM OVER THE SHEET'S TOP WHERE IT IS NOT CUT)", "(MSG,OR 11 MM OVER THE SPOILBOARD)"),
        ),
        (
            (5, 0, -3.5),
            (
                "(MSG,CHECK THAT THE SHEET'S LOWER LEFT CORNER STILL IS AT X-5 Y0)",
                "(MSG,SET ANEW Z0 3.5 MM UNDER THE SHEET'S TOP WHERE IT IS NOT CUT)",
                "(MSG,OR 5.5 MM OVER THE SPOILBOARD)",
            ),
        ),
    ],
)
def test_the_zero_that_was_given_is_the_one_that_is_set_anew(
    tmp_path: Path, origin: tuple[float, float, float], said: tuple[str, ...]
) -> None:
    path = tmp_path / "loose.nc"
    x, y, z = origin
    path.write_text(moved(LOOSE, -x, -y, -z), encoding="ascii")
    restarted = restart(Broken(program=path, line=20, origin=f"{x},{y},{z}"), quiet)
    assert [str(f) for _, report in restarted.reports for f in report.findings if f.severity != "remark"] == []
    stop = restarted.text[: restarted.text.index("M0\n")].splitlines()
    assert [line for line in said if line not in stop] == []
    begun = restarted.text[restarted.text.index("M0\n") : restarted.text.index("\nG1 ")]
    assert [f"X{50 - x:.4f} Y{50 - y:.4f}", f"{1 - z:.4f}"] == [
        *re.findall(r"^(?:G0 )?(X\S+ Y\S+)$", begun, re.MULTILINE),
        re.findall(r"^(?:G0 )?Z(\S+)$", begun, re.MULTILINE)[-1],
    ]
    assert f"\nG0 X{0 - x:.4f} Y{1260 - y:.4f}\n(MSG,RESTART" in restarted.text


def test_a_zero_that_cannot_be_is_asked_about(tmp_path: Path) -> None:
    assert "is --origin right?" in refusal(tmp_path, LOOSE, 20, origin="0,0,-9")


def test_it_travels_over_the_tallest_clamp_that_was_named(tmp_path: Path) -> None:
    path, clamps = tmp_path / "loose.nc", tmp_path / "clamps.toml"
    path.write_text(LOOSE.replace("Z11\n", "Z80\n"), encoding="ascii")
    clamps.write_text("[[holding]]\nat = [200, 150]\nsize = [40, 40]\nheight = 70\n", encoding="ascii")
    restarted = restart(Broken(program=path, line=20, holding=clamps), quiet)
    assert restarted.passed
    again = motions(restarted.text)
    heights = [move.end[2] for move in again if move.word == "G0" and move.end[2] and move.end[:2] == move.start[:2]]
    assert heights[0] >= 75


# -- sheets that are turned over ---------------------------------------------------------------------------------------

TURNED = JOB.replace("depth = 4\n", 'depth = 4\nface = "back"\n').replace(
    "[[stock]]", '[settings.turning]\nby = "edge"\n\n[[stock]]'
)


@pytest.mark.parametrize("side", [0, 1])
def test_either_set_up_of_a_turned_sheet_is_taken_up(tmp_path: Path, side: int) -> None:
    job = tmp_path / "small.toml"
    job.write_text(TURNED.format(machine="shop-router"), encoding="utf-8")
    made = make(job, Choice(), quiet)
    assert made.passed
    paths = []
    for written in (one for one in made.sheets[0].written if "-run" in one.program.name):
        paths.append(tmp_path / f"{written.program.name}.nc")
        paths[-1].write_text(written.text, encoding="ascii")
    assert [f"small-sheet1-side{side + 1}-run1of1.nc" for side in (0, 1)] == [path.name for path in paths]
    line = cut_lines(paths[side].read_text())[-9]
    restarted = restart(Broken(program=paths[side], line=line, job=job), quiet)
    assert [str(f) for _, report in restarted.reports for f in report.findings if f.severity != "remark"] == []
    check_taken_up(paths[side], restarted)
    assert f"(SET-UP {side + 1} OF 2" in restarted.text


def test_the_runs_of_one_set_up_belong_together(tmp_path: Path) -> None:
    names = [f"small-sheet1-side{side}-run{run}of2-t{run}.nc" for side in (1, 2) for run in (1, 2)]
    for name in names:
        (tmp_path / name).write_text("", encoding="ascii")
    assert [tmp_path / name for name in names[2:]] == list(runs_of_sheet(tmp_path / names[3]))


# -- the proof bites -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "after", "kinds"),
    [
        ("G1 Y80", "G1 Y81", {"restart-differs"}),
        ("G0 X150 Y50", "G0 X151 Y50", {"restart-differs"}),
        ("Z1.0000\n", "Z1.0000\nG1 Z-3 F500\nG0 Z1\n", {"restart-cuts"}),
    ],
)
def test_a_restart_that_does_otherwise_is_found(tmp_path: Path, before: str, after: str, kinds: set[str]) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE, encoding="ascii")
    text = restart(Broken(program=path, line=20), quiet).text
    assert before in text
    changed = text.replace(before, after, 1)
    machine = read_machine("shop-router")
    setup, target = Setup(machine, 9.0), blank((300.0, 200.0), 9.0, machine)
    old = read(LOOSE, setup.control)
    plan = resumption(old, 20, setup)
    told = list(way_findings([], old, read(changed, setup.control), plan, target, setup))
    found = {f.kind for f in told}
    pairs = enumerate(zip(text.split("\n"), changed.split("\n"), strict=False), 1)
    line = next(number for number, (one, other) in pairs if one != other)
    assert all(line <= f.line <= line + 1 for f in told)
    report = prove([("again", changed)], machine, target, circumstances=Circumstances())
    assert kinds <= found | {finding.kind for finding in report.findings}


# -- the command -----------------------------------------------------------------------------------------------------


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["restart", *map(str, arguments)], catch_exceptions=False)


def test_the_command_writes_beside_the_program_and_says_from_where_it_runs(tmp_path: Path) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE, encoding="ascii")
    result = run(path, "--at", 20)
    assert (result.exit_code, result.output.splitlines()[-1]) == (
        0,
        f"{tmp_path / 'loose-restart20.nc'}: runs again from line 16",
    )
    assert (tmp_path / "loose-restart20.nc").read_text().startswith("(RESTART OF LOOSE AFTER ITS LINE 20)\n")


def test_the_command_ends_with_two_where_it_refuses_and_never_writes_over_the_program(tmp_path: Path) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE, encoding="ascii")
    assert run(path, "--at", 23).exit_code == 2
    assert run(path, "--at", 20, "--out", path).exit_code == 2
    assert (path.read_text(), len(list(tmp_path.iterdir()))) == (LOOSE, 1)


def test_the_command_ends_with_one_where_the_program_itself_fails(tmp_path: Path) -> None:
    path = tmp_path / "loose.nc"
    path.write_text(LOOSE.replace("M3 S18000\n", ""), encoding="ascii")
    result = run(path, "--at", 20)
    assert (result.exit_code, "NOT PROVEN" in result.output) == (1, True)
    assert len(list(tmp_path.iterdir())) == 1
