"""A gouge of a pointed tool is measured in fine cells round the coarse one that found it: by the cone's slope."""

from math import radians, tan

import pytest
import shapely
from proof_scene import machine, scene_target
from removal_moves import line

from cncpanel.proof.carved import carved
from cncpanel.proof.finding import Finding
from cncpanel.proof.finer import FINE
from cncpanel.proof.map_findings import MapFindings, map_findings
from cncpanel.proof.material import Placed
from cncpanel.proof.setup import Setup

SETUP = Setup(machine(), 18.0)
VEE = 4  # 60 degrees, 6 mm
NOWHERE = shapely.Polygon()
# Along Y 105, on the edge between two rows of half-millimetre cells, where the plate is to stay whole.
ACROSS = line((60.0, 105.0, -3.0), (140.0, 105.0, -3.0), 7)._replace(tool=VEE)


def found(told: tuple[Finding, ...] = ()) -> MapFindings:
    target = scene_target(recess=(), hole=(), tabs=())
    cut = carved([Placed("plate", ACROSS, 0)], target.sheet, SETUP)
    return map_findings(cut, target, SETUP, told, NOWHERE)


def test_a_pointed_gouge_is_as_deep_as_fine_cells_see_it() -> None:
    """The middle of a fine cell lies at most half a cell off the point's way, of a coarse one a quarter millimetre."""
    least = 3 - FINE / 2 / tan(radians(30))
    maps = found()
    (gouge,) = [one for one in maps.findings if one.kind == "gouge"]
    assert gouge.measure is not None
    assert least - 1e-3 <= gouge.measure <= 3
    assert maps.gouge == pytest.approx(gouge.measure, abs=1e-4)
    assert (gouge.program, gouge.line, gouge.severity) == ("plate", 7, "error")
    assert gouge.y == pytest.approx(105, abs=FINE)
    assert gouge.text.startswith(f"plate: cut {gouge.measure:.2f} mm too deep, X{gouge.x:.2f} Y{gouge.y:.2f}, over ")


def test_what_the_exact_shapes_tell_of_a_line_is_not_told_twice() -> None:
    exact = Finding(kind="gouge", severity="error", text="told", program="plate", line=7)
    assert "gouge" not in [one.kind for one in found((exact,)).findings]
    other = Finding(kind="gouge", severity="error", text="told", program="plate", line=8)
    assert "gouge" in [one.kind for one in found((other,)).findings]
