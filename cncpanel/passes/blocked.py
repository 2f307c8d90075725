"""Where on a sheet no tool may go, and where an earlier job left nothing."""

from cncpanel.geometry.area import Area
from cncpanel.job.model import KeepOut
from cncpanel.layout.layout import Sheet


def blocked(sheet: Sheet) -> Area | None:
    """Clamps and screws; None where there are none."""
    return _together([keep for keep in sheet.stock.keep_out if keep.kind in ("clamp", "screw")])


def used(sheet: Sheet) -> Area | None:
    """What an earlier job cut away; None where the sheet is whole."""
    return _together([keep for keep in sheet.stock.keep_out if keep.kind == "used"])


def _together(keep_outs: list[KeepOut]) -> Area | None:
    area: Area | None = None
    for keep in keep_outs:
        (x, y), (width, height) = keep.at, keep.size
        box = Area.box((x, y, x + width, y + height))
        area = box if area is None else area.plus(box)
    return area
