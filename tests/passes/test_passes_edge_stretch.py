"""Where a taper along a rim begins: nothing outside its stretch is touched."""

from math import sqrt, tan

import pytest
from passes_bench import tool

from cncpanel.geometry.contour import polygon
from cncpanel.operation.edge_layer import blunt, form_layers, half_angle
from cncpanel.operation.operation import EdgeCut
from cncpanel.panel.edge import Bevel, Stretch
from cncpanel.passes.edge_stretch import _ahead, _raised

CONE = tool(5)


def bevel(depth: float) -> EdgeCut:
    form = Bevel(depth, 30.0)
    return EdgeCut(
        panel="p", feature="edge 1", side="outside", contour=polygon([(0, 0), (200, 0), (200, 90), (0, 90)]), form=form,
        stretch=Stretch(start=15, stop=185, open_start=False, open_stop=False, run_out=12), kerf=12.0, wall_radius=6.0,
        layers=form_layers(form, CONE, 1.0), why="", tool=CONE,
    )  # fmt: skip


@pytest.mark.parametrize("run_out", [8.0, 12.0, 40.0])
@pytest.mark.parametrize("depth", [1.5, 3.0])
def test_a_cone_that_tapers_in_never_reaches_back_over_the_stretch_s_begin(depth: float, run_out: float) -> None:
    operation = bevel(depth)
    for layer in operation.layers:
        ahead = _ahead(operation, layer, run_out)
        low = -_raised(operation, layer)
        slope = (-layer.z - low) / (run_out - ahead)
        for step in range(1, 20_000):
            way = (run_out - ahead) * step / 20_000
            wide = blunt(CONE) + (low + slope * way) * tan(half_angle(CONE))
            back = sqrt(max(wide * wide - layer.offset * layer.offset, 0.0))
            assert back <= ahead + way + 1e-3
