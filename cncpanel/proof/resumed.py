"""Where a program whose bit broke is taken up again, and whether the new program goes the old one's way from there.

A pass is begun again where its descent began, or earlier where that is less than ten seconds back. The tool comes
down where it has been before the break: over the start of the run, or into ground that is already cut, from which it
follows its own path down a gentle slope.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isclose, isnan, radians, tan

import numpy as np
import shapely

from cncpanel.proof.clock import duration
from cncpanel.proof.cuts import SAME, Cut, cuts_of
from cncpanel.proof.finding import Finding
from cncpanel.proof.footprint import Footprints
from cncpanel.proof.material import THIN, Stock
from cncpanel.proof.motion import Move, Point3
from cncpanel.proof.reader import Reading
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severing
from cncpanel.proof.target import Target

BACK_S = 10.0  # s; a breaking bit is heard within it: common practice, no source
OVER_GROUND = 0.3  # mm over ground already cut, where the slope begins: two touch-offs differ by less
NEAR = 2e-4  # mm; two of a program's last decimals
SLICES = 5  # depths at which a slope is compared with the ground
FROM_ABOVE = ("drill", "slot-cutter", "round-over")  # come down only where the program itself brings them down


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumption:
    """`first` is the number of the first move made again, `broken` of the first after the line that was asked for.

    The tool comes down at `start` and goes along `lead`, over ground already cut, to where move `first` begins;
    both feeds are `feed`, mm/min.
    """

    first: int
    broken: int
    start: Point3
    lead: tuple[Move, ...]
    feed: float


def cutting_moves(reading: Reading, line: int, setup: Setup) -> list[int]:
    """The numbers of the moves of a line that are in the material."""
    return [
        number
        for number, move in enumerate(reading.moves)
        if move.line == line and move.kind != "rapid" and _low(move) < setup.top - SAME
    ]


def _low(move: Move) -> float:
    return min(move.start[2], move.end[2])


def resumption(reading: Reading, line: int, setup: Setup) -> Resumption | None:
    """Where to begin again for a bit that broke on `line`; None where the tool comes from a place that is not known.

    The line must cut (see `cutting_moves`).
    """
    asked = cutting_moves(reading, line, setup)
    moves = reading.moves
    again = _ten_seconds_back(reading, asked[0], setup)
    begins = _run_start(moves, asked[0], setup)
    if begins is None:
        return None
    wanted = min(_pass_start(moves, begins, asked[0]), again)
    while moves[wanted].kind == "rapid":
        wanted += 1
    begins = _run_start(moves, wanted, setup)
    if begins is None:
        return None
    return _entered(moves, begins, wanted, asked[-1] + 1, setup)


def _run_start(moves: Sequence[Move], number: int, setup: Setup) -> int | None:
    """The last cut at or before `number` that begins above the sheet."""
    for at in range(number, -1, -1):
        move = moves[at]
        if move.kind != "rapid" and move.start[2] >= setup.top - SAME and not any(map(isnan, move.start)):
            return at
        if any(map(isnan, move.start)) or move.tool != moves[number].tool:
            return None
    return None


def _pass_start(moves: Sequence[Move], begins: int, number: int) -> int:
    """Where the descent to the depth began that the run has reached by `number`."""
    deepest = min(_low(move) for move in moves[begins : number + 1])
    at = next(i for i in range(begins, number + 1) if _low(moves[i]) <= deepest + SAME)
    while at > begins and _descends(moves[at - 1]):
        at -= 1
    return at


def _descends(move: Move) -> bool:
    return move.kind != "rapid" and move.end[2] < move.start[2] - SAME


def _ten_seconds_back(reading: Reading, number: int, setup: Setup) -> int:
    """The latest move that begins that long before `number` does, with the same tool."""
    seconds = duration(reading, setup.machine).moves_s
    changes = [event.moves for event in reading.events if event.kind == "change"]
    least = max((at for at in changes if at <= number), default=0)
    passed, at = 0.0, number
    while at > least and passed < BACK_S and reading.moves[at - 1].tool == reading.moves[number].tool:
        at -= 1
        passed += float(seconds[at])
    return at


def _entered(moves: Sequence[Move], begins: int, wanted: int, broken: int, setup: Setup) -> Resumption:
    """The way in that comes latest but not after `wanted`."""
    tool = setup.tools.get(moves[wanted].tool)
    feed = _slope_feed(moves[begins:broken], setup)
    if tool is not None and tool.kind not in FROM_ABOVE:
        for first in range(wanted, begins, -1):
            lead = _lead(moves, begins, first, setup)
            if lead and moves[first].line != moves[first - 1].line:
                slow = tuple(move._replace(feed=feed) for move in lead)
                return Resumption(first=first, broken=broken, start=lead[0].start, lead=slow, feed=feed)
    return Resumption(first=begins, broken=broken, start=moves[begins].start, lead=(), feed=feed)


def _slope_feed(moves: Sequence[Move], setup: Setup) -> float:
    """The slowest feed at which the run goes down."""
    feeds = [move.feed for move in moves if _descends(move) and move.feed > 0]
    return min([*feeds, setup.machine.motion.feed_z_max])


def _lead(moves: Sequence[Move], begins: int, first: int, setup: Setup) -> list[Move]:
    """The last stretch of path before `first`, raised at its beginning and ending on the ground; none: too short."""
    room = OVER_GROUND / tan(radians(setup.machine.cutting.ramp_deg))
    found: list[Move] = []
    left, at = room, first - 1
    while left > 0 and at >= begins and _is_ground(moves[at]):
        share = min(left / moves[at].length, 1.0)
        found.insert(0, _end_of(moves[at], share))
        left -= moves[at].length * share
        at -= 1
        left = 0.0 if left < SAME else left
    return _raised(found, room) if left <= 0 else []


def _is_ground(move: Move) -> bool:
    return move.kind != "rapid" and move.plane == "xy" and not move.is_vertical and move.length > SAME


def _end_of(move: Move, share: float) -> Move:
    return move._replace(start=move.at(1 - share), sweep=move.sweep * share)


def _raised(path: Sequence[Move], room: float) -> list[Move]:
    found, gone = [], 0.0
    for move in path:
        rises = [OVER_GROUND * max(1 - way / room, 0.0) for way in (gone, gone + move.length)]
        gone += move.length
        ends = [(x, y, z + rise) for (x, y, z), rise in zip((move.start, move.end), rises, strict=True)]
        found.append(move._replace(start=ends[0], end=ends[1]))
    last = path[-1].end if path else None
    return [*found[:-1], found[-1]._replace(end=last)] if last else []


@dataclass(frozen=True, slots=True)
class Freed:
    """A piece that nothing holds, and the cut that freed it."""

    shape: shapely.Polygon
    by: Cut


def freed_by(
    earlier: Sequence[Cut],
    reading: Reading,
    broken: int,
    target: Target,
    setup: Setup,
    held_at: Sequence[shapely.Geometry] = (),
) -> Iterator[Freed]:
    """The pieces that nothing holds any more after the first `broken` moves; `target` in program coordinates.

    Where pieces are wanted, what is no part of them is waste and not told. `held_at`: clamps and screws.
    """
    cuts = [*earlier, *cuts_of("", reading.moves[:broken], setup.tools, setup.top)]
    severing = Severing(target.sheet, cuts, setup)
    for piece in severing.pieces(held_at):
        is_part = any(part.shape.intersects(piece.shape.buffer(-THIN)) for part in target.pieces)
        if not piece.section and (is_part or not target.pieces):
            since = severing.since(piece.shape, bars_too=False) or len(cuts)
            yield Freed(piece.shape, cuts[since - 1])


def way_findings(
    earlier: Sequence[Cut], old: Reading, new: Reading, plan: Resumption, target: Target, setup: Setup
) -> Iterator[Finding]:
    """Whether the new program leaves the same shape: the old one's moves from `first` on, and before them no cut.

    `earlier` are the cuts of the sheet's programs before this one; `target` in program coordinates.
    """
    rest = old.moves[plan.first :]
    again = new.moves[-len(rest) :]
    for one, other in zip(rest, again, strict=True):
        if not _same(one, other):
            text = f"goes another way than line {one.line} of the program it takes up"
            yield Finding(kind="restart-differs", severity="safety", text=text, line=other.line)
            break
    ground = [*earlier, *cuts_of("", old.moves[: plan.first], setup.tools, setup.top)]
    stock = Stock(target.sheet, ground)
    for cut in cuts_of("", new.moves[: -len(rest)], setup.tools, setup.top):
        if _takes(cut, stock, len(ground)):
            text = "cuts what was not cut before, on the way to where the program is taken up"
            yield Finding(kind="restart-cuts", severity="safety", text=text, line=cut.move.line)


def _same(one: Move, other: Move) -> bool:
    numbers = zip(_numbers(one), _numbers(other), strict=True)
    alike = all((isnan(a) and isnan(b)) or isclose(a, b, rel_tol=1e-6, abs_tol=NEAR) for a, b in numbers)
    return alike and _names(one) == _names(other)


def _numbers(move: Move) -> tuple[float, ...]:
    return (*move.start, *move.end, *(move.centre or ()), move.feed, move.sweep)


def _names(move: Move) -> tuple[object, ...]:
    spin = (move.spindle_on, move.rpm if move.spindle_on else 0.0)
    return move.kind, move.tool, move.turn, move.plane, move.length_offset, move.centre is None, spin


def _takes(cut: Cut, stock: Stock, before: int) -> bool:
    for depth in np.linspace(max(cut.shallow, SAME), cut.deep, SLICES).tolist():
        for shape in Footprints().covered([cut], depth).shapes:
            if not stock.left_in(shapely.buffer(shape, -THIN), depth, before).is_empty:
                return True
    return False
