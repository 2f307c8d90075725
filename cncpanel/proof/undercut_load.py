"""What an undercutting tool's disc takes, under the face too, where the map of depths has nothing of it."""

from collections.abc import Iterator, Sequence

import shapely

from cncpanel.proof.cuts import SAME
from cncpanel.proof.load import Stretch
from cncpanel.proof.material import Placed, Stock
from cncpanel.proof.setup import Setup
from cncpanel.proof.undercut import swept


def undercut_stretches(moves: Sequence[Placed], stock: Stock, setup: Setup) -> Iterator[Stretch]:
    """One for each level way that takes something: the area still there half way up the disc, times its thickness."""
    for placed in moves:
        move, tool = placed.move, setup.tools.get(placed.move.tool)
        deep = setup.top - move.end[2]
        if tool is None or not tool.undercuts or move.kind == "rapid" or not move.length:
            continue
        if not deep > SAME or abs(move.start[2] - move.end[2]) > SAME:
            continue
        height = min(tool.cutting_length, deep)
        middle = deep - height / 2
        way = shapely.union_all(list(swept(move, tool.radius)))
        area = float(stock.left_in(way, middle, placed.before, above=middle).area)
        if area > 0:
            yield Stretch(
                placed=placed,
                begun=placed.before,
                volume=area * height,
                area=area,
                length=move.length,
                across=move.length,
            )
