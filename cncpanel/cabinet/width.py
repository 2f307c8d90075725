"""How wide a panel that runs from side to side is: what it does at the sides decides."""

from cncpanel.job.cabinet import Cabinet, Position
from cncpanel.job.model import Stock


def inside(cabinet: Cabinet, sides: Stock) -> float:
    """Between the sides' inner faces, at their thickest reading."""
    return cabinet.width - 2 * sides.thickest


def housing_depth(cabinet: Cabinet, given: float | None, stock: Stock) -> float:
    """The depth of a groove or rabbet in a board of `stock`: a third of it where nothing is said.

    Source of the third: habits collected in a woodworkers' thread, 1/4 to 1/3 and never over 1/2.
    """
    return given or cabinet.housing or stock.thickness / 3


def width_of(position: Position, cabinet: Cabinet, sides: Stock) -> float:
    """The panel's width in mm."""
    if position.width is not None:
        return position.width
    between = inside(cabinet, sides)
    if position.sides in ("housed", "rabbeted"):
        return between + 2 * housing_depth(cabinet, position.depth, sides) - cabinet.slack
    if position.sides == "overlaid":
        return cabinet.width
    return between - 2 * position.gap if position.sides == "clear" else between
