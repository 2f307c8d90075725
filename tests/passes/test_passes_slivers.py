"""Which scrap is cut away whole: by the limits that the module names, a little over them and under."""

import pytest
import shapely
from passes_bench import tool

from cncpanel.geometry.area import Area
from cncpanel.geometry.pieces import Pieces
from cncpanel.passes.waste import SMALL, SMALL_AREA, THIN, Kerf, slivers

CUTTER = tool().model_copy(update={"diameter": 6.0})


def cut_away(width: float, height: float) -> bool:
    """Whether a strip between the sheet's edge and a kerf along its right side is cut away."""
    strip, kerf = shapely.box(0, 0, width, height), shapely.box(width, -1, width + 6, height + 1)
    pieces = Pieces(Area(strip), Area(shapely.Polygon()))
    return bool(list(slivers(pieces, (), [Kerf("lid", "lid", CUTTER, Area(kerf))])))


@pytest.mark.parametrize(
    ("width", "height", "gone"),
    [
        (20.0, SMALL_AREA / 20 + 0.1, False),  # no smaller than the area, and longer than three tools
        (20.0, SMALL_AREA / 20 - 0.1, True),
        (SMALL * 6 - 0.1, SMALL * 6 - 0.1, True),
        (THIN + 0.1, 700.0, False),  # twice the area over the way round: a little less than its width
        (THIN, 700.0, True),
    ],
)
def test_scrap_is_cut_away_where_it_is_small_or_thin(width: float, height: float, gone: bool) -> None:
    assert gone == cut_away(width, height)
