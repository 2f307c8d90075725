"""The jobs that the project ships, made from end to end, and panels that lie as near to one another as they may."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import atan, ceil, cos, pi, sin
from pathlib import Path

import pytest
import shapely
from many_samples import JOB as SMALL

from cncpanel.errors import ProblemsFound
from cncpanel.geometry.contour import Contour
from cncpanel.layout.layout import placement
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.make.sheet_set import SheetSet
from cncpanel.passes.run import Run

FIXTURES = Path(__file__).parents[2] / "fixtures" / "jobs"
FLAT = 0.002  # mm; chords of this test's own
# story_dial takes half a minute; quick tests of its cabinet and drawings read it too
JOBS = ("millrace", "loop_board", pytest.param("story_dial", marks=pytest.mark.slow), "trail_plaque")
RIMS = """
[job]
name = "Rims"
machine = "shop-router"

[[stock]]
name = "ply"
material = "plywood"
thickness = 12
sheet = [800, 500]
count = 1
margin = 3

[[panel]]
name = "shelf"
stock = "ply"
size = [180, 120]
copies = 6
mirrored = 2
turn = "along"

[[panel.rabbet]]
side = "left"
width = 14
depth = 6
tool = "12 mm compression"

[[panel.groove]]
path = [[0, 60], [180, 60]]
width = 13
depth = 4
ends = "open"
tool = "12 mm compression"

[[panel.groove]]
path = [[130, 0], [130, 120]]
width = 6
depth = 3
ends = "open"
"""


@cache
def shipped(name: str) -> Made:
    return make(FIXTURES / f"{name}.toml", Choice(), lambda _: None)


@pytest.fixture(scope="module")
def rims(tmp_path_factory: pytest.TempPathFactory) -> Made:
    path = tmp_path_factory.mktemp("rims") / "rims.toml"
    path.write_text(RIMS, encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def flattened(points: list[tuple[float, float, float]]) -> list[tuple[float, float]]:
    """Places and the bulge of the way to the next, as chords."""
    found = [points[0][:2]]
    for (x0, y0, bulge), (x1, y1, _) in pairwise(points):
        found += _arc((x0, y0), (x1, y1), bulge) if bulge else []
        found.append((x1, y1))
    return found


def _arc(a: tuple[float, float], b: tuple[float, float], bulge: float) -> Iterator[tuple[float, float]]:
    sweep, chord = 4 * atan(bulge), complex(*b) - complex(*a)
    if not abs(chord):
        return
    centre = (complex(*a) + complex(*b)) / 2 + chord * 1j * cos(sweep / 2) / sin(sweep / 2) / 2
    radius = abs(complex(*a) - centre)
    count = ceil(abs(sweep) / pi * max(8.0, 2.3 * (radius / FLAT) ** 0.5))
    for i in range(1, count):
        angle = sweep * i / count
        place = centre + (complex(*a) - centre) * complex(cos(angle), sin(angle))
        yield place.real, place.imag


def way(run: Run) -> shapely.Geometry:
    """Where the tool's centre goes, seen from above."""
    bulges = [*(step.bulge for step in run.steps), 0.0]
    places = [(run.start.x, run.start.y), *((step.x, step.y) for step in run.steps)]
    line = flattened([(x, y, bulge) for (x, y), bulge in zip(places, bulges, strict=True)])
    return shapely.LineString(line) if len(set(line)) > 1 else shapely.Point(line[0])


def outline(contour: Contour) -> shapely.Polygon:
    vertices = [(v.x, v.y, v.bulge) for v in contour.vertices]
    return shapely.Polygon(flattened([*vertices, vertices[0]]))


def intrusions(made: Made, sheet: SheetSet) -> list[str]:
    """Each run that enters a part which is not its own by more than 0.01 mm."""
    panels = {plan.panel.index: plan.panel for plan in made.plans}
    parts = {
        p.label: outline(placement(panels[p.panel], p).contour(panels[p.panel].outline)) for p in sheet.sheet.parts
    }
    cores = {label: part.buffer(-0.01) for label, part in parts.items()}
    found = []
    for run in sheet.runs.runs:
        line, reach = way(run), run.tool.radius - FLAT
        entered = [label for label, core in cores.items() if label != run.part and shapely.dwithin(line, core, reach)]
        found += [f"{run.part}: {run.feature} in {label}" for label in entered]
    return found


@pytest.mark.parametrize("name", JOBS)
def test_every_program_of_a_shipped_job_passes_its_proof(name: str) -> None:
    made = shipped(name)
    assert made.passed
    assert [] == [str(f) for sheet in made.sheets for f in sheet.report.findings if f.severity != "remark"]
    assert all(sheet.programs and sheet.trace and sheet.dry for sheet in made.sheets)


@pytest.mark.parametrize("name", JOBS)
def test_every_copy_lies_on_a_sheet_once(name: str) -> None:
    made = shipped(name)
    placed = sorted((part.panel, part.mirrored_copy, part.copy) for sheet in made.sheets for part in sheet.sheet.parts)
    asked = [(p.index, False, n + 1) for p in made.panels for n in range(p.copies)]
    asked += [(p.index, True, n + 1) for p in made.panels for n in range(p.mirrored)]
    assert sorted(asked) == placed


@pytest.mark.parametrize("name", JOBS)
def test_no_lead_and_no_pass_of_a_shipped_job_enters_a_neighbour(name: str) -> None:
    made = shipped(name)
    assert [] == [found for sheet in made.sheets for found in intrusions(made, sheet)]


def test_millrace_takes_two_sheets_at_its_margin_and_gap() -> None:
    made = shipped("millrace")
    assert [(2440, 1220, 3)] * 2 == [(*sheet.sheet.stock.sheet, sheet.sheet.stock.margin) for sheet in made.sheets]
    assert (6, 20) == (made.layout.gap, sum(len(sheet.sheet.parts) for sheet in made.sheets))


def test_the_desktop_machine_refuses_millrace_by_name() -> None:
    with pytest.raises(ProblemsFound) as caught:
        make(FIXTURES / "millrace.toml", Choice(machine="desktop-router"), lambda _: None)
    (problem,) = (p for p in caught.value.problems if not p.warning)
    assert problem.text.startswith("desktop-router: mdf 18: sheet 2440 x 1220 reaches X 2460 of 800 and Y 1240 of 800")


def test_run_outs_and_leads_stop_short_of_the_neighbours(rims: Made) -> None:
    (sheet,) = rims.sheets
    assert rims.passed
    assert 8 == len(sheet.sheet.parts)
    assert [] == intrusions(rims, sheet)
    over_the_rim = {run.feature for run in sheet.runs.runs if run.kind == "recess" and _leaves(rims, sheet, run)}
    assert 3 == len(over_the_rim)


def _leaves(made: Made, sheet: SheetSet, run: Run) -> bool:
    panel = made.plans[0].panel
    part = next(part for part in sheet.sheet.parts if part.label == run.part)
    whole = outline(placement(panel, part).contour(panel.outline))
    return shapely.dwithin(way(run), shapely.box(-9, -9, 9e3, 9e3).difference(whole), run.tool.radius - FLAT)


def test_the_intrusion_test_finds_a_neighbour_that_was_moved_too_near(rims: Made) -> None:
    (sheet,) = rims.sheets
    first, *others = sheet.sheet.parts
    nearer = tuple(replace(part, x=part.x - rims.layout.gap + 11.9, y=part.y) for part in others)
    moved = replace(sheet, sheet=replace(sheet.sheet, parts=(first, *nearer)))
    assert intrusions(rims, moved)


def test_a_part_whose_grain_is_fixed_is_never_laid_across(rims: Made) -> None:
    assert {part.angle_deg for sheet in rims.sheets for part in sheet.sheet.parts} <= {0.0, 180.0}


def test_a_part_that_fits_only_across_its_grain_is_a_mistake(tmp_path: Path) -> None:
    path = tmp_path / "rims.toml"
    path.write_text(
        RIMS.replace("size = [180, 120]", "size = [180, 600]").split("[[panel.rabbet]]")[0], encoding="utf-8"
    )
    with pytest.raises(ProblemsFound, match=r"panel shelf: 180.0 x 600.0 mm does not fit a ply sheet"):
        make(path, Choice(), lambda _: None)
    path.write_text(
        path.read_text(encoding="utf-8").replace('"along"', '"any"').replace("copies = 6", "")
        + "\n[settings]\npacking = { steps = 0 }\n",
        encoding="utf-8",
    )
    assert make(path, Choice(), lambda _: None).passed


def test_a_dry_run_that_goes_into_the_sheet_fails_its_proof(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = tmp_path / "board.toml"
    job.write_text(SMALL.replace("@NAME@", "board"))
    assert make(job, Choice(), lambda _: None).passed
    monkeypatch.setattr("cncpanel.make.sheet_set.dry_run", lambda *_, **__: replace(_[2][0], name="board-dry"))
    (sheet,) = make(job, Choice(), lambda _: None).sheets
    faults = {(f.program, f.kind) for f in sheet.report.findings if f.severity != "remark"}
    assert ("board-dry", "gouge") in faults
