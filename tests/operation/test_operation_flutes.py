"""Which way flutes pull: clean faces first where a board splinters, no packed slots, and the reason in words."""

from pathlib import Path

import pytest

from cncpanel.drawing.paper import Bullets
from cncpanel.drawing.tool_reasons import reason_pieces
from cncpanel.errors import Gathering, Place
from cncpanel.geometry.shape import rectangle
from cncpanel.job.model import Face, Settings, Stock
from cncpanel.machine.model import Machine
from cncpanel.machine.read import read_machine
from cncpanel.machine.tool import Tool
from cncpanel.operation.flutes import manner
from cncpanel.operation.operation import PanelPlan
from cncpanel.operation.plan import plan
from cncpanel.panel.panel import Panel

SHOP = read_machine("shop-router")
UP = next(tool for tool in SHOP.tool if tool.number == 1)
COMPRESSION = next(tool for tool in SHOP.tool if tool.number == 4)
WIDE = {"diameter": 10, "measured_diameter": None, "shank_diameter": 10}


def flutes(kind: str, number: int = 20, **more: object) -> Tool:
    return UP.model_copy(update={"kind": kind, "number": number, "name": f"{kind} bit", **more})


def planned(
    material: str, *tools: Tool, thickness: float = 18, face: Face = "show"
) -> tuple[PanelPlan, Machine, Stock]:
    stock = Stock(name="board", material=material, thickness=thickness, sheet=(1220, 800), count=1)  # type: ignore[arg-type]
    panel = Panel(
        index=0, name="front", stock=stock, face=face, copies=1, mirrored=0, turn="any",
        outline=rectangle(0, 0, 600, 400), openings=(), recesses=(), holes=(), marks=(), grilles=(), bench=(),
        place=Place(str(Path("job.toml")), 1, "panel[0]"),
    )  # fmt: skip
    machine = SHOP.model_copy(update={"tool": tools})
    return plan([panel], machine, Settings(), Gathering())[0], machine, stock


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
    (bullets,) = [piece for piece in reason_pieces([found], stock, machine) if isinstance(piece, Bullets)]
    assert bullets.points == (
        "T4 12 mm compression, for front outline: compression: clean on both faces, its first pass 6.5 mm deep or "
        "more, parts held by tabs or vacuum, not by a skin.",
    )
