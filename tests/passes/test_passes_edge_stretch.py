"""Where a taper along a rim begins: nothing outside its stretch is touched; how a tool comes down at a corner."""

from math import dist, radians, sqrt, tan

import pytest
from passes_bench import shop, tool

from cncpanel.errors import Place
from cncpanel.geometry.contour import polygon
from cncpanel.operation.edge_layer import OVER_FACE, blunt, form_layers, half_angle
from cncpanel.operation.edge_way import _run_out_short
from cncpanel.operation.operation import EdgeCut
from cncpanel.panel.edge import Bevel, Edge, Round, Stretch
from cncpanel.passes.draft import Title
from cncpanel.passes.edge import edge
from cncpanel.passes.edge_stretch import _ahead, _raised
from cncpanel.passes.entry import OVER_TOP
from cncpanel.proof.material import STEEP

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


@pytest.mark.parametrize(("kerf", "upright"), [(6.0, True), (2.5, False)])
def test_a_blunt_end_comes_down_upright_only_where_it_goes_into_the_kerf(kerf: float, upright: bool) -> None:
    bit, form = tool(11), Round(3.0)
    operation = EdgeCut(
        panel="p", feature="edge 1", side="outside", contour=polygon([(0, 0), (200, 0), (200, 90), (0, 90)]), form=form,
        stretch=Stretch(start=0, stop=200, open_start=True, open_stop=True, run_out=9), kerf=kerf, wall_radius=kerf / 2,
        layers=form_layers(form, bit, 1.0), why="", tool=bit,
    )  # fmt: skip
    drafts = list(edge(operation, Title("edge", "p", "edge 1", bit), shop()))
    assert len(drafts) == len(operation.layers)
    for layer, draft in zip(operation.layers, drafts, strict=True):
        point, z = (draft.run.start.x, draft.run.start.y), draft.run.approach
        straight_down, level = [], 0.0
        for step in draft.run.steps:
            way = dist(point, (step.x, step.y))
            if step.z < min(z, 0.0) and way < 1e-6:
                straight_down.append(step.z)
            if way > 1e-6 and step.z < z:
                assert z - step.z <= way * tan(radians(shop().ramp_deg)) + 1e-6
            if abs(z - layer.z) < 1e-9 and abs(step.z - layer.z) < 1e-9:
                level += way
            point, z = (step.x, step.y), step.z
        assert bool(straight_down) == upright
        assert level >= 199.9  # the whole stretch once more at its depth


@pytest.mark.parametrize("kerf", [6.0, 2.5])
def test_a_slope_in_and_out_begins_over_the_face_where_the_end_is_wider_than_the_kerf(kerf: float) -> None:
    """Straight up and down under the face only in a kerf that the end goes into; never where it would bore a hole."""
    bit, form = tool(11), Round(3.0)
    operation = EdgeCut(
        panel="p", feature="edge 1", side="outside", contour=polygon([(0, 0), (200, 0), (200, 90), (0, 90)]), form=form,
        stretch=Stretch(start=15, stop=185, open_start=False, open_stop=False, run_out=40), kerf=kerf,
        wall_radius=kerf / 2, layers=form_layers(form, bit, 1.0), why="", tool=bit,
    )  # fmt: skip
    for draft in edge(operation, Title("edge", "p", "edge 1", bit), shop()):
        point, z, upright = (draft.run.start.x, draft.run.start.y), draft.run.approach, []
        for step in draft.run.steps:
            if dist(point, (step.x, step.y)) < 1e-6:
                upright += [z, step.z]
            point, z = (step.x, step.y), step.z
        assert (min(upright) < 0) == (kerf > 2.5)
        assert (z < 0) == (kerf > 2.5)  # as it goes, so it comes


@pytest.mark.parametrize("kerf", [6.0, 3.0])
def test_a_run_out_that_is_not_refused_is_no_steeper_than_any_ramp(kerf: float) -> None:
    """A tip of 4 mm does not go into a kerf of 3: it comes from over the face and so needs a longer way."""
    bit, form, wall = tool(8), Round(6.0), polygon([(0, 0), (200, 0), (200, 90), (0, 90)])
    layers = form_layers(form, bit, 1.0)

    def along(run_out: float) -> Edge:
        stretch = Stretch(start=15, stop=185, open_start=False, open_stop=False, run_out=run_out)
        return Edge(
            name="edge 1", rim="outline", inside=False, contour=wall, form=form, stretch=stretch, tool=None,
            place=Place("job.toml"),
        )  # fmt: skip

    refused = [run_out for run_out in range(8, 40) if _run_out_short(along(run_out), layers[-1], bit, kerf)]
    least = max(refused) + 1
    operation = EdgeCut(
        panel="p", feature="edge 1", side="outside", contour=wall, form=form, stretch=along(least).stretch, kerf=kerf,
        wall_radius=kerf / 2, layers=layers, why="", tool=bit,
    )  # fmt: skip
    slopes = []
    for draft in edge(operation, Title("edge", "p", "edge 1", bit), shop()):
        point, z = (draft.run.start.x, draft.run.start.y), draft.run.approach
        for step in draft.run.steps:
            way = dist(point, (step.x, step.y))
            slopes += [(z - step.z) / way] if way > 1e-6 else []
            point, z = (step.x, step.y), step.z
    assert OVER_FACE == OVER_TOP
    assert 0.3 < max(slopes) <= STEEP
