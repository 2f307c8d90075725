"""What a vacuum table holds a piece with: its zones' pressure on the underside, by friction; program axes, N, mm2."""

import shapely

from cncpanel.proof.setup import Setup

FRICTION = 0.3  # of a board on a spoilboard: common practice, no source
KILO = 1000.0  # kPa to N/mm2


def sucked(shape: shapely.Geometry, setup: Setup) -> float:
    """N along the table; 0 on a table without vacuum."""
    table = setup.machine.table
    if table.hold != "vacuum":
        return 0.0
    if not table.zone:
        return float(shape.area) * table.pressure / KILO * FRICTION
    held = 0.0
    for zone in table.zone:
        (left, right), (low, high) = zone.x, zone.y
        box = shapely.box(left - table.zero_x, low - table.zero_y, right - table.zero_x, high - table.zero_y)
        moved = shapely.intersection(box, shape)
        held += float(moved.area) * (table.pressure if zone.pressure is None else zone.pressure) / KILO
    return held * FRICTION
