"""Places for tabs whose bars would lie across the kerf of a third part."""

import shapely
from passes_bench import plan, tool

from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.pieces import Pieces
from cncpanel.operation.operation import Profile
from cncpanel.passes.crossed import Crossed
from cncpanel.passes.spot import spots, wall_of
from cncpanel.passes.waste import Kerf

WIDTH = 8.0
OWN = polygon([(0, 0), (200, 0), (200, 50), (0, 50)])


WIDE = tool().model_copy(update={"diameter": 12.0})


def ring(shape: shapely.Geometry) -> Area:
    return Area(shapely.difference(shapely.buffer(shape, 12, join_style="mitre"), shape))


def test_no_bar_passes_a_third_parts_end_through_its_kerf() -> None:
    """A slim part lies over the upper wall from 50 to 90: beyond its ends its kerf alone is as wide as a bar."""
    own, slim = shapely.box(0, 0, 200, 50), shapely.box(50, 66, 90, 70)
    kerfs = [Kerf("own", "own", WIDE, ring(own)), Kerf("slim", "slim", WIDE, ring(slim))]
    pieces = Pieces(Area.box((-30.0, -30.0, 230.0, 150.0)), kerfs[0].area.plus(kerfs[1].area))
    profile = next(one for one in plan(0, OWN, cutter=WIDE).operations if isinstance(one, Profile))
    found = spots(wall_of(profile, "own"), WIDTH, pieces)
    numbers = {label: pieces.holding(Area(shape)) for label, shape in (("own", own), ("slim", slim))}
    known = {label: number for label, number in numbers.items() if number is not None}
    assert len(known) == 2
    clear = Crossed(kerfs, known).clear(found)
    gone = [spot for spot in found if spot not in clear]
    assert gone
    assert all(spot.bar.centre.y > 49 and spot.other != known["slim"] for spot in gone)
    assert all(min(abs(spot.bar.centre.x - end) for end in (44, 96)) < 6 for spot in gone)
    assert any(spot.other == known["slim"] for spot in clear)
