"""What the table's vacuum holds each part with: pressure on its underside over open zones, by friction.

Zones that the sheet lies on are open, what it leaves bare of them is masked; the others are shut. All of it is an
estimate: what the pump really draws shows its gauge.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cncpanel.geometry.area import Area
from cncpanel.geometry.segment import Bounds
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine

FRICTION = 0.3  # of a board on a spoilboard: common practice, no source
COVERED = 0.6  # of a zone; what the sheet leaves bare of one that it covers less must be masked: advice, a weak source
KEPT_FLAT = 10_000.0  # mm2; a smaller part moves under vacuum whatever its force: rule of thumb, no source


@dataclass(frozen=True, slots=True)
class Suction:
    """A zone's rectangle in the sheet's frame and its pressure, N/mm2; `number` counts from 1 in the machine file.

    `covered`: the share of it that the sheet lies on.
    """

    number: int
    area: Area
    pressure: float
    covered: float


def suction_of(sheet: Sheet, machine: Machine) -> tuple[Suction, ...]:
    """The table's zones under the sheet; one of the sheet's size where the machine file names none."""
    table = machine.table
    if table.hold != "vacuum":
        return ()
    board = Area.box((0.0, 0.0, sheet.length, sheet.width))
    if not table.zone:
        return (Suction(1, board, table.pressure / 1000, 1.0),)
    found = []
    for number, zone in enumerate(table.zone, 1):
        area = Area.box(_on_sheet((zone.x[0], zone.y[0], zone.x[1], zone.y[1]), sheet, machine))
        kpa = table.pressure if zone.pressure is None else zone.pressure
        found.append(Suction(number, area, kpa / 1000, area.overlap(board) / area.size))
    return tuple(found)


def _on_sheet(zone: Bounds, sheet: Sheet, machine: Machine) -> Bounds:
    """From machine coordinates into the sheet's frame."""
    zero_x, zero_y = machine.table.zero_x, machine.table.zero_y
    left, low, right, high = zone[0] - zero_x, zone[1] - zero_y, zone[2] - zero_x, zone[3] - zero_y
    if not machine.sheet_turned:
        return left, low, right, high
    return low, sheet.width - right, high, sheet.width - left


def sucked(area: Area, zones: Sequence[Suction]) -> float:
    """N along the table that the open zones hold the area with."""
    return sum(zone.pressure * zone.area.overlap(area) for zone in zones) * FRICTION


def zone_words(zones: Sequence[Suction]) -> Iterator[str]:
    """Which zones are opened, masked, shut."""
    if len(zones) < 2:
        return
    opened = [zone for zone in zones if zone.covered > 0]
    masked = [zone for zone in opened if zone.covered < COVERED]
    for what, some in (
        ("open", opened),
        (f"mask beside the sheet, which covers less than {COVERED:.0%} of", masked),
        ("shut", [zone for zone in zones if zone not in opened]),
    ):
        if some:
            yield f"{what} zone{'s' if len(some) > 1 else ''} {', '.join(str(zone.number) for zone in some)}"
