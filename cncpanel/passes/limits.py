"""What no pass may do: go deeper than its tool, near the machine's table, or into a neighbour."""

from cncpanel.errors import Gathering, Place
from cncpanel.machine.rules import TABLE_GUARD
from cncpanel.machine.tool import Tool
from cncpanel.operation.operation import Drill, Operation
from cncpanel.passes.drill import drill_depth
from cncpanel.passes.shop import Shop

NEAR = 1e-6  # mm


def deepest(operation: Operation, shop: Shop) -> float:
    """How far below the sheet's top the tool's tip goes, mm."""
    if isinstance(operation, Drill):
        return drill_depth(operation, shop)
    return shop.depth(getattr(operation, "depth", None))


def within_limits(operation: Operation, place: Place, shop: Shop, gathering: Gathering) -> bool:
    """Whether the tool is long enough and keeps off the table; what is wrong is gathered."""
    depth = deepest(operation, shop)
    return _long_enough(operation, depth, place, shop, gathering) and _off_the_table(
        operation, depth, place, shop, gathering
    )


def _long_enough(operation: Operation, depth: float, place: Place, shop: Shop, gathering: Gathering) -> bool:
    tool = operation.tool
    if depth <= tool.reach + NEAR:
        return True
    gathering.problem(
        place,
        f"{operation.panel}, {operation.feature}: {named(tool)} goes {tool.reach:g} mm deep at most (flutes "
        f"{tool.cutting_length:g}, stick-out {tool.stick_out:g} mm), {depth:g} mm are needed in "
        f"{shop.stock.name}, {shop.stock.thickest:g} mm thick",
        "a longer tool, or less depth",
    )
    return False


def _off_the_table(operation: Operation, depth: float, place: Place, shop: Shop, gathering: Gathering) -> bool:
    table = shop.machine.table
    below = depth - shop.stock.thinnest + table.z_error if table.z_zero == "top" else depth - shop.stock.thickest
    room = table.spoilboard - table.flatness - TABLE_GUARD
    if below <= room + NEAR:
        return True
    gathering.problem(
        place,
        f"{operation.panel}, {operation.feature}: {named(operation.tool)} goes {below:g} mm below the sheet into "
        f"a spoilboard of {table.spoilboard:g} mm",
        f"at most {room:g} mm: {TABLE_GUARD:g} mm always stay over the table",
    )
    return False


def named(tool: Tool) -> str:
    """`T1 6 mm up-cut`."""
    return f"T{tool.number} {tool.name}"
