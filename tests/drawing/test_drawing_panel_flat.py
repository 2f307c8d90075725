"""What is on which layer of a panel's and a sheet's drawing, and where."""

from dataclasses import replace

from cncpanel.drawing.flat import FlatDrawing
from cncpanel.drawing.panel_flat import panel_drawing, sheet_drawing
from cncpanel.errors import Place
from cncpanel.geometry.contour import Contour, circle, polygon
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import region_of
from cncpanel.job.model import Stock
from cncpanel.layout.layout import Part, Sheet
from cncpanel.operation.operation import PanelPlan
from cncpanel.panel.panel import Hole, Opening, Panel, Recess
from cncpanel.passes.run import Tab

HERE = Place("bench.toml")
STOCK = Stock(name="board", material="mdf", thickness=18, sheet=(600, 400), count=1, margin=10)


def hole(x: float, depth: float | None) -> Hole:
    return Hole(name="h", centre=Point(x, 10), diameter=5, depth=depth, top=0, tool=None, place=HERE)


def recess(kind: str, x: float, depth: float) -> Recess:
    region = region_of(polygon([(x, 20), (x + 20, 20), (x + 20, 40), (x, 40)]), [circle((x + 10, 30), 3)])
    return Recess(name="r", kind=kind, region=region, open_region=region, depth=depth, tool=None, place=HERE)


PANEL = Panel(
    index=0,
    name="door",
    stock=STOCK,
    face="back",
    copies=1,
    mirrored=0,
    turn="any",
    outline=polygon([(0, 0), (200, 0), (200, 100), (0, 100)]),
    openings=(Opening(name="o", contour=circle((150, 70), 10), tool=None, place=HERE),),
    recesses=(recess("recess", 20, 9), recess("groove", 60, 6), recess("rabbet", 100, 6)),
    holes=(hole(30, None), hole(60, 10)),
    marks=(),
    grilles=(),
    bench=(),
    place=HERE,
)
PLANS = {0: PanelPlan(panel=PANEL, operations=(), spots=())}


def layers(drawing: FlatDrawing) -> list[str]:
    return [entity.layer for entity in drawing.entities]


def test_a_panel_has_a_layer_for_each_kind_and_depth() -> None:
    assert layers(panel_drawing(PANEL)) == [
        "OUTLINE",
        "OPENING",
        *["RECESS_9.00"] * 2,
        *["GROOVE_6.00"] * 2,
        *["RABBET_6.00"] * 2,
        "HOLE_THROUGH",
        "HOLE_10.00",
        "NAME",
    ]


def test_the_name_lies_inside_the_outline() -> None:
    (name,) = [e.text for e in panel_drawing(replace(PANEL, name="a rather long name")).entities if e.text]
    (x, y), height, words = name
    assert words == "a rather long name"
    assert 0 < x < x + height * len(words) < 200
    assert 0 < y < y + height < 100


def part(**where: float) -> Part:
    return Part(panel=0, name="door", copy=1, mirrored_copy=False, **where)


def test_a_sheet_shows_edge_margin_parts_and_tabs() -> None:
    tab = Tab(part="door", feature="outline", centre=Point(100, 50), along=Point(1, 0), width=8, top=-15, height=3)
    sheet = Sheet(number=2, stock=STOCK, parts=(part(x=20, y=30, angle_deg=0),))
    drawing = sheet_drawing(sheet, PLANS, (tab,))
    assert drawing.name == "sheet 2"
    assert layers(drawing)[:3] == ["SHEET", "MARGIN", "OUTLINE"]
    edge, margin = (e.contour for e in drawing.entities[:2])
    assert isinstance(edge, Contour)
    assert isinstance(margin, Contour)
    assert (edge.bounds, margin.bounds) == ((0, 0, 600, 400), (10, 10, 590, 390))
    (stroke,) = drawing.entities[-1].contour.segments
    assert (stroke.start, stroke.end) == (Point(96, 50), Point(104, 50))


def test_a_panel_cut_from_its_back_lies_mirrored() -> None:
    sheet = Sheet(number=1, stock=STOCK, parts=(part(x=20, y=30, angle_deg=0),))
    holes = {e.layer: e.circle for e in sheet_drawing(sheet, PLANS, ()).entities if e.circle}
    assert holes["HOLE_THROUGH"][0] == Point(20 + 200 - 30, 30 + 10)


def test_a_turned_part_keeps_its_lower_left_corner() -> None:
    sheet = Sheet(number=1, stock=STOCK, parts=(part(x=20, y=30, angle_deg=90),))
    outline = next(e.contour for e in sheet_drawing(sheet, PLANS, ()).entities if e.layer == "OUTLINE")
    assert outline.bounds == (20, 30, 120, 230)
