"""What an outline pass sweeps at full depth: the drawn region's rim widened by the tool, to the path tolerance.

Judged by GEOS (shapely) alone: the drawn region grown by the tool's diameter, less the region itself.
"""

import sys
from pathlib import Path

import pytest
import shapely
from geometry_shapes import LOOPS
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parents[1] / "passes"))

from law_examples import examples
from passes_bench import polygon_of, shop, shop_router, swept, tool

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, Vertex
from cncpanel.geometry.region import region_of
from cncpanel.geometry.tolerance import PATH
from cncpanel.operation.operation import Profile
from cncpanel.passes.draft import Title
from cncpanel.passes.profile import profile, track

CHORDS = 0.002  # mm; what this file's own chords of walls and discs are short by
FINE = 256  # chords a quarter turn
LEAD = 1.8  # tool radii that a lead's circle reaches beyond the kerf where no allowance is left
TIGHT = Contour(
    (Vertex(520, 300), Vertex(482.6794919243112, 310), Vertex(490, 282.6794919243112, -0.3))
)  # no last pass
HOLLOW = Contour((Vertex(520, 300), Vertex(500, 320, 0.3), Vertex(479.444, 291.485), Vertex(500, 280)))
HABITS = ({}, {"finish_allowance": 0.0}, {"direction": "conventional"})


def placed(contour: Contour) -> Contour:
    """Turned counter-clockwise in the middle of the sheet."""
    moved = Contour(tuple(v._replace(x=v.x + 500, y=v.y + 300) for v in contour.vertices))
    return moved.counter_clockwise


def kerf(contour: Contour, side: str, habit: dict[str, object]) -> tuple[shapely.Geometry, float] | None:
    """What the passes along the wall sweep at full depth, what the last takes; None where the tool does not fit."""
    used, cutter = shop(shop_router(**habit)), tool()
    operation = Profile(panel="p", feature="wall", side=side, contour=contour, tool=cutter)  # type: ignore[arg-type]
    inside = Area.of([region_of(contour)])
    scrap = Area.box((0, 0, 1000, 600)).minus(inside) if side == "outside" else inside
    way = track(operation, 99.0, used)
    if way is None:
        return None
    title = Title("outline" if side == "outside" else "opening", "p", "wall", cutter)
    runs = [closed.entered(closed.first()).run for closed in profile(operation, way, scrap, title, used)]
    return swept(runs, used.bottom + 1e-6), way.allowance


@pytest.mark.parametrize("side", ["outside", "inside"])
@settings(max_examples=examples(40))
@given(outline=LOOPS.map(placed), habit=st.sampled_from(HABITS))
@example(outline=TIGHT, habit={})
@example(outline=HOLLOW, habit={"finish_allowance": 0.0})
def test_a_wall_is_swept_to_the_path_tolerance(side: str, outline: Contour, habit: dict[str, object]) -> None:
    drawn, radius, slack = polygon_of(outline), tool().radius, PATH + CHORDS
    assume(drawn.is_valid)
    grown = 1.0 if side == "outside" else -1.0
    made = kerf(outline, side, habit)
    locus = drawn.buffer(grown * radius - PATH, quad_segs=FINE)
    if made is None:
        assert locus.is_empty
        return
    cut, allowance = made
    wanted = locus.boundary.buffer(radius - PATH, quad_segs=FINE)
    missed = shapely.get_parts(wanted.difference(cut.buffer(slack)))
    inside = shapely.distance(shapely.point_on_surface(missed), locus.boundary) < radius - PATH
    assert not inside.any()  # GEOS's buffer fills the sharpest hollows, up to a hundredth of the distance
    stays = drawn.buffer(-slack) if side == "outside" else shapely.box(0, 0, 1000, 600).difference(drawn.buffer(slack))
    assert stays.intersection(cut).is_empty
    assert habit != HABITS[1] or not allowance
    beyond = allowance or LEAD * radius
    reach = drawn.buffer(grown * (2 * radius + beyond + slack), quad_segs=FINE)
    beside = reach if side == "outside" else shapely.box(0, 0, 1000, 600).difference(reach)
    assert cut.difference(beside).area < 1e-6
