"""Panels that are cut from both faces, as solids and as mates."""

from pathlib import Path

import cabinets
import pytest
from cabinets import cabinet, panel
from click.testing import CliRunner

from cncpanel.cabinet.derive import Whole
from cncpanel.cabinet.mass import volume_and_middle
from cncpanel.cabinet.scene import scene
from cncpanel.cli import main
from cncpanel.errors import Gathering
from cncpanel.panel.resolve import resolve

LID = panel(
    "lid",
    'facing = "up"\nat = [50, 50, 382]',
    "size = [200, 100]\n"
    "recess = [{ centre = [50, 50], size = [60, 40], depth = 5 },"
    ' { centre = [150, 50], size = [40, 30], depth = 7, face = "back" }]',
)
SHELF = panel("shelf", 'edge = ["A", "B"]\nsides = "housed"')
SIDE_SEEN = """
[[panel]]
name = "side"
stock = "board"
face = "show"
recess = [{ centre = [100, 300], size = [60, 40], depth = 5 }]
[panel.position]
side = "both"
"""


def test_a_solid_lacks_what_is_cut_from_either_face(tmp_path: Path) -> None:
    read, assembly = cabinet(tmp_path, LID)
    stood = scene(Whole(read=read, assembly=assembly, fitted=()), resolve(read, Gathering()))
    (lid,) = (solid for solid in stood.panel_solids if solid.label == "lid")
    whole, above, below = 200 * 100 * 18.0, 60 * 40 * 5.0, 40 * 30 * 7.0
    volume, middle = volume_and_middle(lid.cells)
    assert volume == pytest.approx(whole - above - below)
    assert middle[2] - (382 - 18) == pytest.approx((whole * 9 - above * 15.5 - below * 3.5) / volume)


def test_a_housing_cut_from_the_other_face_than_the_rest_takes_its_panel(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cabinets, "SIDE", SIDE_SEEN)
    cabinets.cabinet(tmp_path, SHELF)
    told = CliRunner().invoke(main, ["fit", str(tmp_path / "box.toml"), "--quiet"])
    failed = [line.split(":")[0] for line in told.stdout.splitlines() if line.startswith("fails")]
    assert failed == ["fails edges"]  # nothing is rounded here; joints and overlaps pass
