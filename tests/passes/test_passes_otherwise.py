"""What holds a piece besides tabs, on its skin above all: figures worked by hand, and whole sheets proven."""

from pathlib import Path

import pytest
import shapely
from passes_bench import STOCK, sheet, shop_router, tool

from cncpanel.errors import ProblemsFound
from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.job.model import Settings
from cncpanel.make.choice import Choice
from cncpanel.make.flow import Made, make
from cncpanel.passes.grip import SAFETY, STRENGTH, pushing
from cncpanel.passes.otherwise import SPARE, Otherwise
from cncpanel.passes.shop import Shop
from cncpanel.passes.waste import Kerf

JOB = """
[job]
name = "Discs"
machine = "nesting-router"
[settings]
hold = "skin"
{settings}
[[stock]]
name = "board"
material = "hardwood"
thickness = 18
sheet = [700, 500]
count = 3
[[panel]]
name = "disc"
stock = "board"
{shape}
copies = 5
"""


def made(folder: Path, shape: str, settings: str = "") -> Made:
    path = folder / "discs.toml"
    path.write_text(JOB.format(shape=shape, settings=settings), encoding="utf-8")
    return make(path, Choice(), lambda _: None)


def squares(hold: str, *, outside: bool = True, skin: float | None = None) -> tuple[Otherwise, Shop]:
    """A square of 100 mm with a kerf 6 mm wide round it, in the middle of a sheet on the shop router."""
    shop = Shop(shop_router(), STOCK, Settings(hold=hold, skin=skin))  # type: ignore[arg-type]
    square = shapely.box(300, 300, 400, 400)
    kerf = Area(shapely.difference(square.buffer(6.0, join_style="mitre"), square))
    pieces = Pieces(Area.box((0.0, 0.0, 1000.0, 600.0)), kerf)
    return Otherwise(pieces, sheet([]), [Kerf("lid", "lid", tool(), kerf, outside)], shop), shop


def test_a_skin_holds_by_its_rim_where_it_is_thinnest() -> None:
    """400 mm of rim; shop router: z_error + flatness + thickness_spread off a skin of 1 mm, Z on the sheet's top."""
    otherwise, shop = squares("skin", skin=1.0)
    table = shop.machine.table
    assert table.z_zero == "top"
    sure = 1.0 - table.z_error - table.flatness - table.thickness_spread
    assert otherwise.held_on_skin(1) == pytest.approx(400 * sure * STRENGTH, rel=1e-3)
    assert otherwise.force_on_skin(1) == SPARE * pushing(tool(), STOCK.thinnest - 1.0, shop)
    weak = otherwise.held_on_skin(1) < SAFETY * otherwise.force_on_skin(1)
    assert otherwise.is_weak_on_skin(1) == weak


@pytest.mark.parametrize(("hold", "outside"), [("tabs", True), ("skin", False)])
def test_without_a_skin_none_holds_and_no_pass_leaves_one(hold: str, *, outside: bool) -> None:
    otherwise, _ = squares(hold, outside=outside)
    assert otherwise.force_on_skin(1) == 0
    assert not otherwise.is_weak_on_skin(1)


def test_scrap_that_its_skin_holds_too_weakly_is_cut_away_first(tmp_path: Path) -> None:
    """Between discs and the sheet's edge: too large to be a sliver, its rim too short for the force of hardwood."""
    whole = made(tmp_path, "diameter = 90")
    waste = [run for run in whole.sheets[0].runs.runs if run.feature == "waste"]
    assert whole.passed
    assert waste
    tabs = made(tmp_path, "diameter = 90", "skin = 1.5")  # its rim is enough on a thicker one
    assert tabs.passed
    assert len([run for run in tabs.sheets[0].runs.runs if run.feature == "waste"]) < len(waste)


def test_a_leaf_under_the_way_in_of_an_outline_is_no_scrap_left_loose(tmp_path: Path) -> None:
    """Between round corners and the sheet's edge the helix down to the skin takes the scrap, but not the skin."""
    assert made(tmp_path, 'size = [50, 36]\nradius = 14\nturn = "any"', "packing = { steps = 0 }").passed


def test_a_part_too_small_for_its_skin_is_refused_with_what_to_change(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFound) as raised:
        made(tmp_path, "size = [30, 30]", "skin = 0.48")
    told = next(str(one) for one in raised.value.problems if not one.warning)
    assert "discs.toml:14: panel[0]: disc: the skin round it and what else holds it bear" in told
    assert "what the passes that leave the skin push with (2 times: a thicker settings.skin, a smaller tool" in told
