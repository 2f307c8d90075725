"""A form tool flares out over the scrap: neighbours and clamps in its way are told at the edge's line, with figures."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from passes_bench import STOCK, plan, sheet, shop_router, tool

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.point import Point
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import KeepOut, Settings, Stock
from cncpanel.operation.edge_layer import form_layers
from cncpanel.operation.operation import EdgeCut, PanelPlan
from cncpanel.panel.edge import Edge, Round
from cncpanel.passes.edge_room import _pieces
from cncpanel.passes.sheet import sheet_runs

RIM = Place("job.toml", 9, "panel[0].edge[0]")
WALL = rectangle(0, 0, 120, 80)


def rounded(index: int) -> PanelPlan:
    """A panel whose outline is rounded with a tip of 2 mm and a radius of 6: 10 mm from its wall at the face."""
    bit = tool(8)
    cut = EdgeCut(
        panel=f"panel {index}", feature="edge 1", side="outside", contour=WALL, form=Round(6.0), stretch=None,
        kerf=6.0, wall_radius=3.0, layers=form_layers(Round(6.0), bit, 1.0), why="", tool=bit,
    )  # fmt: skip
    edge = Edge(
        name="edge 1", rim="outline", inside=False, contour=WALL, form=Round(6.0), stretch=None, tool=None, place=RIM
    )
    plain = plan(index, WALL)
    return replace(plain, panel=replace(plain.panel, edges=(edge,)), operations=(*plain.operations, cut))


def told(apart: float, stock: Stock = STOCK) -> list[tuple[Place, str, str]]:
    """Of two panels beside each other, the first with a rounded rim; its roughing keeps 0.3 mm off the wall."""
    gathering, plans = Gathering(), {0: rounded(0), 1: plan(1, WALL)}
    sheet_runs(sheet([(0, 30, 30), (1, 150 + apart, 30)], stock), plans, shop_router(), Settings(), gathering)
    return [(one.place, one.text, one.allowed) for one in gathering.problems]


def test_a_neighbour_nearer_than_tip_and_diameter_is_told_with_what_the_gap_lacks() -> None:
    assert told(10.1) == []
    assert told(9.0) == [
        (RIM, "panel 0, edge 1: T8 6 mm round-over reaches 8.00 mm from its way, panel 1 is 6.70 mm from it",
         "a gap 1.30 mm wider at least"),
    ]  # fmt: skip


def test_a_clamp_nearer_than_that_is_told() -> None:
    def clamped(x: float) -> Stock:
        return STOCK.model_copy(update={"keep_out": (KeepOut(at=(0, 60), size=(x, 20), height=5),)})

    assert told(40, clamped(19.8)) == []
    assert told(40, clamped(23.0)) == [
        (RIM, "panel 0, edge 1: T8 6 mm round-over reaches 8.00 mm from its way, a clamp or screw is 4.70 mm from it",
         "another place for it, or for the part"),
    ]  # fmt: skip


@pytest.mark.parametrize(("z", "deep"), [(0.04, []), (0.0, []), (-0.04, []), (-0.06, [0.06]), (-3.0, [3.0])])
def test_only_ways_that_come_under_the_face_are_in_anythings_way(z: float, deep: list[float]) -> None:
    """Straight down, then 10 mm along: from a twentieth of a millimetre under the face on."""
    steps = [SimpleNamespace(x=x, y=20.0, bulge=0.0, z=z) for x in (10.0, 20.0)]
    draft: Any = SimpleNamespace(run=SimpleNamespace(start=Point(10, 20), approach=5.0, steps=steps))
    assert deep == [depth for _, depth in _pieces(draft)]


def test_a_slope_is_looked_at_in_pieces_at_their_deeper_ends() -> None:
    step = SimpleNamespace(x=30.0, y=0.0, bulge=0.0, z=-3.0)
    draft: Any = SimpleNamespace(run=SimpleNamespace(start=Point(0, 0), approach=0.0, steps=[step]))
    found = list(_pieces(draft))
    assert [way.length for way, _ in found] == pytest.approx([30 / len(found)] * len(found))
    assert [depth for _, depth in found] == pytest.approx([3 * n / len(found) for n in range(1, len(found) + 1)])
