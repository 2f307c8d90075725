"""Which way flutes pull: clean faces first where a board splinters, no packed slots, and the reason in words."""

from pathlib import Path

import pytest

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Bullets
from cncpanel.drawing.tool_reasons import reason_pieces
from cncpanel.errors import Gathering, Place
from cncpanel.geometry.region import region_of
from cncpanel.geometry.shape import rectangle
from cncpanel.job.holding import Hold
from cncpanel.job.model import Face, Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.flutes import manner
from cncpanel.operation.operation import PanelPlan
from cncpanel.operation.plan import plan
from cncpanel.panel.panel import Panel, Recess

MM = Measures("mm", "mm")
SHOP = read_machine("shop-router")
UP = next(tool for tool in SHOP.tool if tool.number == 1)
COMPRESSION = next(tool for tool in SHOP.tool if tool.number == 4)
WIDE = {"diameter": 10, "measured_diameter": None, "shank_diameter": 10}


def flutes(kind: str, number: int = 20, **more: object) -> Tool:
    return UP.model_copy(update={"kind": kind, "number": number, "name": f"{kind} bit", **more})


def planned(
    material: str,
    *tools: Tool,
    thickness: float = 18,
    face: Face = "show",
    recesses: tuple[Recess, ...] = (),
    hold: Hold = "tabs",
    gathering: Gathering | None = None,
) -> tuple[PanelPlan, Machine, Stock]:
    stock = Stock(name="board", material=material, thickness=thickness, sheet=(1220, 800), count=1)  # type: ignore[arg-type]
    panel = Panel(
        index=0, name="front", stock=stock, face=face, copies=1, mirrored=0, turn="any",
        outline=rectangle(0, 0, 600, 400), openings=(), recesses=recesses, holes=(), marks=(), grilles=(), bench=(),
        place=Place(str(Path("job.toml")), 1, "panel[0]"),
    )  # fmt: skip
    machine = SHOP.model_copy(update={"tool": tools})
    return (
        plan([panel], machine, Settings(hold=hold, second_clearing="always"), gathering or Gathering())[0],
        machine,
        stock,
    )


@pytest.mark.parametrize(
    ("material", "thickness", "face", "kind"),
    [
        ("plywood", 9, "show", "down-cut"),
        ("plywood", 18, "back", "up-cut"),
        ("plywood", 9, "back", "up-cut"),
    ],
)
def test_the_face_that_is_seen_is_kept_clean(material: str, thickness: float, face: Face, kind: str) -> None:
    both = flutes("up-cut", 20), flutes("down-cut", 21)
    found, _, _ = planned(material, *both, thickness=thickness, face=face)
    assert [kind] == [operation.tool.kind for operation in found.operations]


def test_a_deep_slot_is_not_packed_by_a_down_cut() -> None:
    assert manner(flutes("down-cut"), 19, "show", through=True).rank == 2
    assert "packs its chips in a slot deeper than 12 mm" in manner(flutes("down-cut"), 19, "show", through=True).why


def test_a_compression_tool_goes_before_all_where_a_board_splinters_and_nowhere_else() -> None:
    rack = flutes("up-cut", 3, **WIDE), COMPRESSION, flutes("down-cut", 5)
    splintering, _, _ = planned("plywood", *rack)
    assert ["compression"] == [operation.tool.kind for operation in splintering.operations]


def test_a_recess_above_its_up_cut_part_is_an_up_cut_s() -> None:
    assert manner(COMPRESSION, 6.0, "show", through=False).rank == 2
    assert manner(COMPRESSION, 6.5, "show", through=False).rank == 0


def test_the_reason_stands_on_the_set_up_page() -> None:
    found, machine, stock = planned("plywood", COMPRESSION)
    (bullets,) = [piece for piece in reason_pieces([found], stock, machine, MM) if isinstance(piece, Bullets)]
    assert bullets.points == (
        "T4 12 mm compression, for front outline: compression: clean on both faces, its first pass 6.5 mm deep or "
        "more, parts held by tabs or vacuum, not by a skin.",
    )


def test_a_shop_that_thinks_in_inches_reads_the_reason_in_inches_and_the_tools_by_their_names() -> None:
    found, machine, stock = planned("plywood", COMPRESSION)
    measures = Measures("inch", "mm", (COMPRESSION.name,))
    (bullets,) = [piece for piece in reason_pieces([found], stock, machine, measures) if isinstance(piece, Bullets)]
    assert bullets.points[0].startswith("T4 12 mm compression, for front outline: ")
    assert "its first pass 0.2559 in (6.5 mm) deep or more" in bullets.points[0]


def test_two_tools_in_one_recess_say_which_takes_what() -> None:
    place = Place("job.toml", 9, "panel[0].recess[0]")
    region = region_of(rectangle(50, 50, 300, 200, (2, 2, 2, 2)))
    tray = Recess(name="tray", kind="recess", region=region, open_region=region, depth=3.0, tool=None, place=place)
    rack = flutes("straight", 2, **WIDE), flutes("up-cut", 3, diameter=3)
    found, machine, stock = planned("mdf", *rack, recesses=(tray,))
    (bullets,) = [piece for piece in reason_pieces([found], stock, machine, MM) if isinstance(piece, Bullets)]
    assert bullets.points == (
        "T2 straight bit, for front outline: straight flutes: neither lift nor press.",
        "T2 straight bit, for front tray: straight flutes: neither lift nor press; it is wider and clears what it "
        "reaches sooner, before T3 up-cut bit takes the rest.",
        "T3 up-cut bit, for front tray: up-cut: lifts its chips out; look at the face that lies up, it may fray; it "
        "takes only what T2 straight bit leaves in corners and necks that it does not reach.",
    )


@pytest.mark.parametrize(("hold", "told"), [("skin", 1), ("tabs", 0)])
def test_a_compression_tool_on_a_skin_is_warned_of(hold: Hold, told: int) -> None:
    gathering = Gathering()
    found, machine, stock = planned("plywood", COMPRESSION, hold=hold, gathering=gathering)
    words = [str(warning) for warning in gathering.warnings]
    assert told == len([word for word in words if "for a compression tool" in word])
    if told:
        assert words == [
            "job.toml:1: panel[0]: warning: panel front: outline: T4 12 mm compression on a skin: its up-cut part "
            'lifts the thin skin as it takes it at the end, and the face below may fray (settings.hold = "tabs", or '
            '"vacuum" on a table that has it, for a compression tool)'
        ]
        (bullets,) = [p for p in reason_pieces([found], stock, machine, MM, skin=True) if isinstance(p, Bullets)]
        assert "it asks for parts held by tabs or vacuum and not by a skin" in bullets.points[0]


def test_on_a_skin_another_tool_is_taken_where_there_is_one() -> None:
    rack = flutes("up-cut", 3, **WIDE), COMPRESSION
    found, _, _ = planned("plywood", *rack, face="back", hold="skin")
    assert ["up-cut"] == [operation.tool.kind for operation in found.operations]
