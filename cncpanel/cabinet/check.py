"""Mistakes in the cabinet's tables that no single key shows."""

from cncpanel.errors import Gathering
from cncpanel.errors.validation import nearest
from cncpanel.job.cabinet import Cabinet
from cncpanel.job.model import Panel
from cncpanel.job.read import ReadJob


def check_cabinet(read: ReadJob, gathering: Gathering) -> None:
    """Tell of positions without a cabinet, of a profile that is none, and of panels whose place is not whole."""
    cabinet = read.job.cabinet
    for index, panel in enumerate(read.job.panel):
        if panel.position is not None:
            _check_panel(index, panel, read, gathering)
    if cabinet is not None:
        _check_profile(cabinet, read, gathering)
        _check_names(cabinet, read, gathering)


def _check_panel(index: int, panel: Panel, read: ReadJob, gathering: Gathering) -> None:
    position = panel.position
    assert position is not None
    place = read.file.place(("panel", index, "position"))
    if read.job.cabinet is None:
        gathering.problem(place, f'panel "{panel.name}" has a position, but there is no [cabinet]', "a [cabinet] table")
    drawn = (panel.size, panel.diameter, panel.outline, panel.dxf)
    if position.facing is not None and all(shape is None for shape in drawn):
        text = f'panel "{panel.name}": its position does not say how large it is'
        gathering.problem(place, text, "size, diameter, outline or dxf")
    if position.sides == "rabbeted" and position.edge is None and position.side is None:
        where = read.file.place(("panel", index, "position", "sides"))
        text = f'panel "{panel.name}": a rabbet in the sides runs along their rim, and it lies on none of their edges'
        gathering.problem(where, text, 'edge = ["A", "B"], or sides = "housed"')
    names = [other.name for other in read.job.panel if other.position is not None and other.name != panel.name]
    for number, name in enumerate(position.meets):
        if name not in names:
            where = read.file.place(("panel", index, "position", "meets", number))
            text = f'panel "{panel.name}": "{name}" is not a panel that it can meet'
            gathering.problem(where, text, nearest(name, names))
    sides = read.job.cabinet.stock if read.job.cabinet is not None else panel.stock
    if position.side is not None and panel.stock != sides:
        where = read.file.place(("panel", index, "stock"))
        text = f'panel "{panel.name}" is a side of "{panel.stock}", but [cabinet] says that the sides are of "{sides}"'
        gathering.problem(where, text, "the same stock in both")
    placed = 2 if position.mirror or position.side == "both" else 1
    given = panel.copies + panel.mirrored
    derived = "mirrored" not in panel.model_fields_set and panel.copies == 1
    if given != placed and not (placed == 2 and derived) and position.side != "right":
        key = "mirror" if position.side is None else "side"
        text = f'panel "{panel.name}": {given} copies, but {placed} {"place" if placed == 1 else "places"} for them'
        gathering.problem(read.file.place(("panel", index, "position", key)), text)


def _check_profile(cabinet: Cabinet, read: ReadJob, gathering: Gathering) -> None:
    names = [corner.name for corner in cabinet.profile]
    place = read.file.place(("cabinet", "profile"))
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        gathering.problem(place, f'two corners of the profile are named "{name}"')
    corners = [corner.to for corner in cabinet.profile]
    pairs = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    if any(first == second for first, second in pairs):
        gathering.problem(place, "two corners of the profile in a row are one point")
    elif sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) <= 0:
        gathering.problem(
            place, "the profile runs clockwise", "counter-clockwise as seen from the visitor's left: y to the right"
        )


def _check_names(cabinet: Cabinet, read: ReadJob, gathering: Gathering) -> None:
    stocks = [stock.name for stock in read.job.stock]
    if cabinet.stock not in stocks:
        place = read.file.place(("cabinet", "stock"))
        gathering.problem(place, f'no stock is named "{cabinet.stock}"', nearest(cabinet.stock, stocks))
    panels = [panel.name for panel in read.job.panel]
    for number, air in enumerate(cabinet.air):
        if air.panel not in panels:
            place = read.file.place(("cabinet", "air", number, "panel"))
            gathering.problem(place, f'no panel is named "{air.panel}"', nearest(air.panel, panels))
