"""Panels at random with a slot cut into a rim by the machine: refused with the reason told, or proven."""

import re
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from law_examples import examples

from cncpanel.errors import ProblemsFound
from cncpanel.machine.read import shipped_machines
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make

CUTTER = """
[[tool]]
number = 20
name = "slot cutter"
kind = "slot-cutter"
diameter = {diameter}
flutes = {flutes}
cutting_length = {disc}
stick_out = 45
shank_diameter = {shank}
nut_diameter = 28
neck_diameter = {neck}
{neck_length}
plunges = false
rpm_max = 16000
"""
JOB = """
[job]
name = "slotted"
machine = "random.toml"
[settings]
packing = {{ steps = 0 }}
{settings}
[[stock]]
name = "board"
material = "{material}"
thickness = 18
measured = [17.8, 18.1]
sheet = [{sheet}]
count = 1
margin = {margin}
[[panel]]
name = "one"
stock = "board"
{shape}
{panel}
[[panel.edge]]
bench = false
{edge}
t_slot = {{ width = {width}, depth = {depth}{middle} }}
"""
TURNED = 'recess = [{ face = "back", size = [20, 20], at = [45, 45], radius = 5, depth = 6 }]'
HOLE = 'opening = [{{ name = "eye", size = [{0}, {0}], radius = {1}, at = [15, 15] }}]\n'
TOLD = re.compile(r"job\.toml:\d+: (panel|stock|settings)\b[^:]*: .+ \(.+\)", re.DOTALL)  # where, what, what is allowed


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(int(low * 10), int(high * 10)).map(lambda n: n / 10)


@st.composite
def machines(draw: st.DrawFn) -> str:
    text = shipped_machines()[draw(st.sampled_from(("shop-router", "nesting-router")))].read_text(encoding="utf-8")
    text = re.sub(
        r'\n\[\[tool\]\]\nnumber = \d+ [^\n]*\nname = "[^"]*slot cutter".*?(?=\n\[\[tool\]\]|\Z)', "", text, flags=re.S
    )
    text = re.sub(r'^name = ".*"', 'name = "random"', text, count=1, flags=re.MULTILINE)
    turn = draw(st.sampled_from(("climb", "conventional")))
    path = draw(st.sampled_from(("straight", "dog-leg")))
    for key, value in (("direction", turn), ("finish_direction", turn), ("rapid_path", path)):
        text = re.sub(rf"^{key} = \S+", f'{key} = "{value}"', text, count=1, flags=re.MULTILINE)
    neck = draw(st.sampled_from((6.0, 8.0)))
    return text + CUTTER.format(
        diameter=draw(st.sampled_from((30, 36, 40))),
        flutes=draw(st.sampled_from((2, 3, 4))),
        disc=draw(st.sampled_from((1.2, 1.6, 2.0))),
        shank=draw(st.sampled_from((8.0, 8.0, 12.0))),
        neck=neck,
        neck_length=draw(st.sampled_from(("", "neck_length = 20"))),
    )


def outline(*corners: tuple[float, float, float]) -> str:
    spots = (f"{{ to = [{x}, {y}]{f', radius = {r}' if r else ''} }}" for x, y, r in corners)
    return f"outline = [{', '.join(spots)}]"


def shapes() -> st.SearchStrategy[str]:
    """Rectangles, rounded ones, a leaning side with a nose, an L with a rounded inside corner."""
    wide, high = tenths(110, 260), tenths(110, 220)
    plain = st.builds("size = [{}, {}]\nradius = {}".format, wide, high, tenths(0, 50))
    leaning = st.builds(
        lambda w, h, x, r: outline((0, 0, 0), (w, 0, 0), (w + x, h, r), (0, h, 0)),
        wide,
        high,
        tenths(-60, 60),
        tenths(0, 20),
    )
    bent = st.builds(
        lambda w, h, r: outline((0, 0, 0), (w, 0, 0), (w, 80, 0), (90, 80, r), (90, h, 0), (0, h, 0)),
        tenths(150, 260),
        tenths(140, 220),
        tenths(4, 40),
    )
    return st.one_of(plain, leaning, bent)


@st.composite
def jobs(draw: st.DrawFn) -> str:
    edge = draw(st.sampled_from(("", "", 'side = "bottom"', 'side = "right"', "edges = [0, 1]", "edges = [2]")))
    if edge.startswith("side") and draw(st.booleans()):
        edge += f"\nstart = {draw(tenths(0, 40))}"
    kinds = ("", "", 'face = "back"', "mirrored = 1", "copies = 2", TURNED, "edge_rounded")
    panel = draw(st.sampled_from(kinds))
    if draw(st.integers(0, 4)) == 0:
        panel = HOLE.format(draw(tenths(50, 90)), draw(tenths(5, 30))) + panel
        edge = 'opening = "eye"'
    middle = draw(st.sampled_from(("", "", ", middle = 6", ", middle = 12")))
    return JOB.format(
        settings=draw(st.sampled_from(("", "", "wall_allowance = 0", 'hold = "skin"', "tab_height = 6"))),
        material=draw(st.sampled_from(("mdf", "plywood", "particleboard"))),
        sheet=draw(st.sampled_from(("800, 700", "800, 700", "480, 400"))),
        margin=draw(st.sampled_from((45, 45, 45, 45, 20))),
        shape=draw(shapes()),
        panel=panel.replace("edge_rounded", "[[panel.edge]]\nround = 3"),
        edge=edge,
        width=draw(st.sampled_from((1.6, 2.4, 2.4, 3.0))),
        depth=draw(tenths(4, 10)),
        middle=middle,
    )


def outcome(job: str, machine: str) -> Made | tuple[str, ...]:
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "random.toml").write_text(machine, encoding="utf-8")
        path = Path(folder) / "job.toml"
        path.write_text(job, encoding="utf-8")
        try:
            return make(path, Choice(), lambda _: None)
        except ProblemsFound as found:
            return tuple(str(one) for one in found.problems if not one.warning)


@settings(max_examples=examples(3), suppress_health_check=[HealthCheck.too_slow])
@given(jobs(), machines())
def test_a_slot_into_a_rim_is_refused_or_proven(job: str, machine: str) -> None:
    found = outcome(job, machine)
    if isinstance(found, tuple):
        assert found
        assert all(TOLD.fullmatch(problem) for problem in found), found
        return
    faults = [str(one) for sheet in found.sheets for one in sheet.report.findings if one.severity != "remark"]
    assert faults == []
    assert found.passed
    assert any(sheet.target.slots for sheet in found.sheets)
