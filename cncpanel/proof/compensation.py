"""What may not stand on a line while cutter radius compensation is on: NISTIR 6556 section 3.5.10 and appendix B.

The compensated way itself is not simulated, and said so; but what a control refuses on it is told: a concave corner, a
first place inside the tool's circle, an arc that the tool does not fit into.
"""

from math import asin, atan2, cos, hypot, nan, sin

from cncpanel.proof.control import Control
from cncpanel.proof.expression import whole
from cncpanel.proof.modal import CYCLES, G_GROUP, g_name
from cncpanel.proof.modes import Pair
from cncpanel.proof.motion import Move
from cncpanel.proof.record import Record
from cncpanel.proof.rules import acting_motion
from cncpanel.proof.words import Block

OFF, ON = 400, (410, 420)
_NEVER = frozenset({100, 200, 210, 280, 300, 382, 530, 920, 921, 922, 923})
_PLANES = {170: "xy", 180: "xz", 190: "yz"}
CONCAVE = 0.01  # radians; a corner that turns this much towards the tool is refused (appendix B, and NIST's source)


def compensate(record: Record, block: Block, control: Control) -> None:
    """Tell what the line may not do, and note whether compensation is on after it."""
    modes = record.modes
    plane = next((_PLANES[code] for code in block.g if code in _PLANES), modes.plane)
    asked = next((code for code in block.g if code in ON), None)
    if asked is not None and modes.compensated:
        _tell(record, asked, "while it is on: G40 first")
    elif asked is not None and plane != "xy":
        _tell(record, asked, f"in the {plane.upper()} plane, and it works in XY alone")
    if modes.compensated:
        for code in block.g:
            if code in _NEVER or G_GROUP.get(code) == "work system" or (code in _PLANES and plane != modes.plane):
                _tell(record, code, "while it is on")
        acting = acting_motion(block, modes.motion)
        if acting in CYCLES:
            _tell(record, acting, "while it is on")
    if asked is not None or OFF in block.g:
        modes.compensated = asked is not None
        modes.heading = None
    if asked is not None:
        modes.side = 1 if asked == 410 else -1
        number = whole(block.values.get("d", modes.tool)) or 0
        modes.side_radius = control.radii.get(number, nan) if number else 0.0


def follow(record: Record) -> None:
    """Tell what a control refuses on the move that the line has just made."""
    modes, move = record.modes, record.out[-1]
    if not isinstance(move, Move) or move.plane != "xy":
        return
    begins, ends = _headings(move)
    if begins is None or ends is None:
        return
    if modes.heading is None:
        ends = _entry(record, move, ends)
    elif modes.side * _turn(modes.heading, begins) > CONCAVE:
        record.find("compensation", "a concave corner with cutter radius compensation", words="x y")
    if move.turn == modes.side and move.radius <= modes.side_radius:
        text = f"an arc of {move.radius:.3f} mm radius inside which a tool of {modes.side_radius:.3f} mm is to go"
        record.find("compensation", text, words="r i j", measure=move.radius, limit=modes.side_radius)
    modes.heading = ends


def _entry(record: Record, move: Move, heading: Pair) -> Pair:
    """The heading at the end of the first move: the tool's middle comes to lie beside the place that was told."""
    modes = record.modes
    way = hypot(move.end[0] - move.start[0], move.end[1] - move.start[1])
    if way < modes.side_radius:
        text = "the first place with cutter radius compensation lies inside the tool's circle"
        record.find("compensation", text, words="x y", measure=way, limit=modes.side_radius)
    if move.kind == "arc" or not way > modes.side_radius:
        return heading
    return _turned(heading, modes.side * asin(modes.side_radius / way))


def _headings(move: Move) -> tuple[Pair | None, Pair | None]:
    """Of the way as it begins and ends, seen from above; None where it goes straight up or down."""
    if move.centre is None:
        step = _unit((move.end[0] - move.start[0], move.end[1] - move.start[1]))
        return step, step
    first, last = ((at[0] - move.centre[0], at[1] - move.centre[1]) for at in (move.start, move.end))
    return _unit((-move.turn * first[1], move.turn * first[0])), _unit((-move.turn * last[1], move.turn * last[0]))


def _unit(way: Pair) -> Pair | None:
    length = hypot(*way)
    return (way[0] / length, way[1] / length) if length > 0 else None


def _turned(heading: Pair, angle: float) -> Pair:
    x, y = heading
    return x * cos(angle) - y * sin(angle), x * sin(angle) + y * cos(angle)


def _turn(one: Pair, other: Pair) -> float:
    """How far the way turns, radians, left positive."""
    return atan2(one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1])


def _tell(record: Record, code: int, why: str) -> None:
    record.find("compensation", f"{g_name(code)} with cutter radius compensation {why}", words=f"g{code}")
