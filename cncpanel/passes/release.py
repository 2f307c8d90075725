"""What holds each part besides tabs when its outline is freed: the vacuum, and until then a skin.

A part whose vacuum holds SAFETY times the force of the passes that free it, and that is large enough to lie still, gets
no tabs where the job asks for a skin or for vacuum; every other part gets them in addition. Without a skin so does one
whose rims are formed after its outline was cut through: no edge is made on a part that is free.
"""

from collections.abc import Collection, Iterator, Sequence

from cncpanel.layout.layout import Sheet
from cncpanel.passes.grip import SAFETY, skin_grip
from cncpanel.passes.run import Freed
from cncpanel.passes.shop import Shop
from cncpanel.passes.spot import Wall
from cncpanel.passes.suction import KEPT_FLAT, sucked, suction_of
from cncpanel.passes.work import Work, kind_of


def releases(
    walls: Sequence[Wall], parts: Sequence[Work], firm: Collection[str], sheet: Sheet, shop: Shop
) -> Iterator[Freed]:
    """One for each outline. `firm`: the parts that are held firmly enough while they hang on a skin."""
    zones = suction_of(sheet, shop.machine)
    works = {work.part.label: work for work in parts}
    asked = shop.settings.hold != "tabs"
    for wall in walls:
        if not wall.outside:
            continue
        work = works[wall.part]
        vacuum = sucked(work.body, zones)
        enough = vacuum >= SAFETY * wall.force and work.body.size >= KEPT_FLAT
        yield Freed(
            part=wall.part,
            feature=wall.feature,
            vacuum=vacuum,
            skin=skin_grip(wall.ring.length, shop),
            force=wall.force,
            alone=asked and enough and wall.part in firm and (shop.skin is not None or not _worked_on_later(work)),
        )


def _worked_on_later(work: Work) -> bool:
    return any(kind_of(operation) == "edge" for operation in work.operations)
