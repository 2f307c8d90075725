"""Cleats where they lie: on the face that carries them, measured as one looks at it, and in the assembly's pictures."""

from pathlib import Path

import pytest
from paper_samples import of_text
from shapely.geometry import LineString, Polygon, box

from cncpanel.cabinet.derive import read_cabinet
from cncpanel.drawing.assembly_pieces import assembly_pieces
from cncpanel.drawing.cleat_pieces import cleat_picture
from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.paper import Bullets, Heading, Label, Picture, Piece, Stroke, Table, Together
from cncpanel.drawing.seen import Seen
from cncpanel.drawing.words import label_box
from cncpanel.errors import Gathering
from cncpanel.job.model import Job
from cncpanel.panel.panel import Panel
from cncpanel.panel.placed_cleat import placed_cleats, strip
from cncpanel.panel.resolve import resolve

MM = Dimensioning("mm")
SIDE = '[[panel]]\nname = "side"\nstock = "board"\nsize = [500, 800]\nmirrored = 1\n'
LID = '[[panel]]\nname = "lid"\nstock = "board"\ndiameter = 300\n'
CLEAT = '[[cleat]]\nsize = [18, 40]\nlength = 300\ncount = 2\npanel = "lid"\nplace = [PLACE]\n'
STEP = (
    '[[assembly]]\npanels = ["lid"]\nto = ["side"]\naction = ["glue"]\n'
    'check = [{ what = "mouth", rectangle = [300, 400] }, { what = "gap", distance = 12.5 }]\n'
)


def job(folder: Path, place: str) -> tuple[Job, tuple[Panel, ...]]:
    read, panels = of_text(folder, SIDE + LID + CLEAT.replace("PLACE", place) + STEP)
    return read.job, panels


def flat(pieces: list[Piece]) -> list[Piece]:
    return [one for p in pieces for one in (flat(list(p.pieces)) if isinstance(p, Together) else [p])]


def test_a_strip_runs_from_its_corner_and_lies_left_of_its_way() -> None:
    assert (100, 50, 400, 90) == pytest.approx(strip((100, 50), 0, 300, 40).bounds)
    assert (60, 50, 100, 350) == pytest.approx(strip((100, 50), 90, 300, 40).bounds)
    assert strip((0, 0), 30, 300, 40).area == pytest.approx(300 * 40)


@pytest.mark.parametrize(("face", "left"), [("show", 60), ("back", 400)])
def test_a_cleat_is_measured_as_one_looks_at_its_face(tmp_path: Path, face: str, left: float) -> None:
    made, panels = job(tmp_path, f'{{ on = "side", at = [100, 50], direction_deg = 90, face = "{face}" }}')
    (cleat,) = placed_cleats(made.cleat, panels)
    assert (0, face) == (cleat.panel, cleat.face)
    picture, scale = cleat_picture(Seen(panel=panels[0], edges=(), face=cleat.face), [cleat], MM, 180)
    told = {item.text for item in picture.items if isinstance(item, Label)}
    assert {"C1", "0", "500", "800", "50", "350", f"{left:g}", f"{left + 40:g}"} == told
    assert "1:10" == scale
    assert picture.width <= 180
    table = next(p for p in flat(assembly_pieces(made, panels, MM, 180)) if isinstance(p, Table) and "X" in p.head[-2])
    assert (("C1", "18 x 40", "300", f"{left:g} to {left + 40:g}", "50 to 350"),) == table.rows


@pytest.mark.parametrize(
    ("at", "turn", "beside"),
    [
        ((18, 50), 90, "left"),
        ((500, 50), 90, "right"),
        ((100, 0), 0, "middle"),
        ((100, 782), 0, "middle"),
    ],
)
def test_the_number_of_a_narrow_cleat_stands_clear_of_every_line(
    tmp_path: Path, at: tuple[float, float], turn: int, beside: str
) -> None:
    on_edge = CLEAT.replace("size = [18, 40]", "size = [40, 18]")
    place = f'{{ on = "side", at = [{at[0]}, {at[1]}], direction_deg = {turn}, face = "show" }}'
    read, panels = of_text(tmp_path, SIDE + LID + on_edge.replace("PLACE", place) + STEP)
    (cleat,) = placed_cleats(read.job.cleat, panels)
    picture, _ = cleat_picture(Seen(panel=panels[0], edges=(), face=cleat.face), [cleat], MM, 180)
    (number,) = (item for item in picture.items if isinstance(item, Label) and item.text == "C1")
    assert number.anchor == beside
    words = box(*label_box(number))
    lines = [LineString(item.points) for item in picture.items if isinstance(item, Stroke) and item.width > 0.2]
    assert len(lines) == 2
    assert min(line.distance(words) for line in lines) > 0.2
    assert Polygon(lines[0].coords).contains(words)


def test_a_slanting_cleat_tells_all_its_corners(tmp_path: Path) -> None:
    made, panels = job(tmp_path, '{ on = "side", at = [100, 50], direction_deg = 60, face = "show" }')
    pieces = flat(assembly_pieces(made, panels, MM, 180))
    (table,) = (p for p in pieces if isinstance(p, Table) and "Corners: X" in p.head)
    assert ("100, 250, 215.36, 65.36", "50, 309.81, 329.81, 70") == table.rows[0][-2:]


def test_the_assembly_shows_cleats_in_place_and_tells_diagonals(tmp_path: Path) -> None:
    made, panels = job(tmp_path, '{ on = "side", at = [100, 50], direction_deg = 90 }')
    pieces = flat(assembly_pieces(made, panels, MM, 180))
    assert "Cleats on side, back face, 1:10" in [p.text for p in pieces if isinstance(p, Heading)]
    pictures = [p for p in pieces if isinstance(p, Picture)]
    dashed = [s for s in pictures[-1].items if isinstance(s, Stroke) and s.dash and s.width == 0.25]
    assert 1 == len(dashed)
    points = [point for p in pieces if isinstance(p, Bullets) for point in p.points]
    assert "Measure dry: mouth: both diagonals 500 (300 x 400)" in points
    assert "Measure dry: gap: 12.5" in points


def test_a_disc_is_a_panel(tmp_path: Path) -> None:
    _, panels = job(tmp_path, '{ on = "side", at = [100, 50] }')
    assert (0, 0, 300, 300) == pytest.approx(panels[1].outline.bounds)
    assert 2 == len(panels[1].outline.segments)


def test_a_cleat_on_edge_covers_its_thickness_of_the_panel(tmp_path: Path) -> None:
    made, panels = job(tmp_path, '{ on = "side", at = [100, 50], direction_deg = 90, lies = "on edge" }')
    (cleat,) = placed_cleats(made.cleat, panels)
    assert (82, 50, 100, 350) == pytest.approx(cleat.contour.bounds)


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("at = [18, 50], direction_deg = 90", ['cleat C1 lies 300 mm x 22 mm outside panel "side"']),
        ('at = [18, 50], direction_deg = 90, lies = "on edge"', []),
        ("at = [250, 700], direction_deg = 45", ['cleat C1 lies 198.58 mm x 40 mm outside panel "side"']),
        ("at = [150, 480]", ['cleat C1 covers 200 mm x 20 mm of "window" in panel "side"']),
        ("at = [150, 460]", []),
    ],
)
def test_a_cleat_that_does_not_lie_on_its_panel_is_warned_of_with_figures(
    tmp_path: Path, place: str, told: list[str]
) -> None:
    window = '[[panel.opening]]\nname = "window"\ncentre = [300, 550]\nsize = [200, 100]\nradius = 5\n'
    text = SIDE + window + LID + CLEAT.replace("PLACE", f'{{ on = "side", {place} }}')
    read, _ = of_text(tmp_path, text)
    gathering = Gathering()
    resolve(read, gathering)
    assert told == [problem.text for problem in gathering.warnings]


@pytest.mark.parametrize("folder", ["jobs", "cabinets"])
def test_every_cleat_of_the_console_lies_on_its_panel(fixtures: Path, folder: str) -> None:
    gathering = Gathering()
    read = read_cabinet(fixtures / folder / "millrace.toml", gathering).read
    panels = resolve(read, gathering)
    assert len(placed_cleats(read.job.cleat, panels)) > 15
    assert [] == [problem for problem in gathering.warnings if "cleat C" in problem.text]
