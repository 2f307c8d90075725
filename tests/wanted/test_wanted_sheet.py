"""Parts on a sheet: mirrored, turned and moved by the witness's own reckoning."""

from dataclasses import dataclass
from pathlib import Path

import pytest
import shapely

from cncpanel.errors.toml_file import TomlFile
from cncpanel.geometry.contour import Contour, Vertex, circle
from cncpanel.job.dxf_nest import DxfShape
from cncpanel.job.model import Job, Stock
from cncpanel.job.read import ReadJob
from cncpanel.machine.read import read_machine
from cncpanel.proof.target import Target
from cncpanel.wanted import target

BOARD = {
    "name": "board",
    "material": "mdf",
    "thickness": 18,
    "measured": [17.8, 18.1],
    "sheet": (1000, 500),
    "count": 1,
}


@dataclass(frozen=True)
class Part:
    panel: int = 0
    label: str = "plate"
    mirrored_copy: bool = False
    x: float = 100.0
    y: float = 200.0
    angle_deg: float = 0.0


@dataclass(frozen=True)
class Sheet:
    stock: Stock
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class Spot:
    panel: str
    feature: str
    at: tuple[float, float]
    size: float


def wanted(
    part: Part, shapes: dict[tuple[str | int, ...], tuple[DxfShape, ...]] | None = None, **panel: object
) -> Target:
    """One panel with a hole at (10, 20), 80 x 40 unless told otherwise."""
    plate = {"name": "plate", "stock": "board", "hole": [{"centre": (10, 20), "diameter": 6}]} | panel
    if not {"outline", "dxf"} & set(panel):
        plate["size"] = (80, 40)
    job = Job.model_validate({"job": {"name": "w", "machine": "shop-router"}, "stock": [BOARD], "panel": [plate]})
    file = TomlFile(path=Path("w.toml"), shown="w.toml", data={}, lines={})
    read = ReadJob(job=job, file=file, shapes=shapes or {}, warnings=())
    spots = (Spot("plate", "recess", (10, 20), 2.0), Spot("another", "recess", (1, 1), 2.0))
    return target(read, Sheet(job.stock[0], (part,)), read_machine("shop-router"), (), spots)


def hole(found: Target) -> tuple[float, float]:
    (floor,) = [floor for floor in found.floors if floor.name.endswith("hole 1")]
    return floor.shape.centroid.coords[0]


PLACES = [
    ("as drawn", Part(), "show", (110, 220)),
    ("from the back", Part(), "back", (170, 220)),
    ("a mirrored copy", Part(mirrored_copy=True), "show", (170, 220)),
    ("a mirrored copy from the back", Part(mirrored_copy=True), "back", (110, 220)),
    ("turned a quarter", Part(angle_deg=90), "show", (120, 210)),
    ("turned half round", Part(angle_deg=180), "show", (170, 220)),
    ("mirrored, then turned a quarter", Part(angle_deg=90), "back", (120, 270)),
]


@pytest.mark.parametrize(("name", "part", "face", "place"), PLACES)
def test_a_part_lies_where_its_numbers_say(name: str, part: Part, face: str, place: tuple[float, float]) -> None:
    found = wanted(part, face=face)
    assert pytest.approx(place, abs=1e-6) == hole(found)
    assert pytest.approx((100, 200), abs=1e-6) == found.pieces[0].shape.bounds[:2]


def test_the_largest_reading_is_the_depth_of_through_cuts() -> None:
    found = wanted(Part())
    assert (18.1, 18.1) == (found.thickness, found.floors[0].depth)


def test_a_feature_of_the_other_face_is_not_wanted() -> None:
    found = wanted(Part(), recess=[{"size": (5, 5), "at": (40, 10), "depth": 3, "face": "back"}])
    assert not [floor for floor in found.floors if floor.kind == "recess"]


def test_a_panels_spots_lie_where_its_copies_lie() -> None:
    (spot,) = wanted(Part(angle_deg=90)).spots
    assert (pytest.approx(120), pytest.approx(210)) == (spot.x, spot.y)


def test_a_spots_panel_frame_begins_at_the_outlines_lower_left() -> None:
    found = wanted(
        Part(), outline=[(500, 300), (580, 300), (580, 340), (500, 340)], hole=[{"centre": (510, 320), "diameter": 6}]
    )
    (spot,) = found.spots
    assert (pytest.approx(110), pytest.approx(220)) == (spot.x, spot.y)
    assert pytest.approx((110, 220), abs=1e-6) == hole(found)


def test_a_drawings_holes_are_openings_and_its_bulges_arcs() -> None:
    stadium = Contour((Vertex(0, 0), Vertex(40, 0, 1.0), Vertex(40, 20), Vertex(0, 20, 1.0)))
    shape = DxfShape(stadium, (circle((20, 10), 5),))
    found = wanted(Part(), {("panel", 0, "dxf"): (shape,)}, dxf={"file": "w.dxf"}, hole=[])
    assert pytest.approx((100, 200, 160, 220), abs=1e-9) == found.pieces[0].shape.bounds
    (opening,) = [floor for floor in found.floors if floor.kind == "through" and "drawing" in floor.name]
    assert pytest.approx((130, 210), abs=1e-6) == opening.shape.centroid.coords[0]


def test_all_round_a_part_its_rim_goes_but_not_its_neighbour() -> None:
    found = wanted(Part())
    (rim,) = [floor for floor in found.floors if floor.name.endswith("outline")]
    assert rim.shape.intersection(found.pieces[0].shape).area == 0
    assert rim.shape.contains(shapely.Point(99.5, 220))


def test_a_housing_takes_the_thickest_reading_and_its_clearance() -> None:
    groove = {"path": [(0, 20), (80, 20)], "houses": "board", "clearance": 0.2, "depth": 6}
    (floor,) = [floor for floor in wanted(Part(), groove=[groove]).floors if floor.kind == "recess"]
    xmin, ymin, xmax, ymax = floor.shape.bounds
    assert pytest.approx(18.3) == ymax - ymin
    assert pytest.approx(80) == xmax - xmin
