"""A program's moves as columns: what the picture runs its tool along."""

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, hypot, isfinite, pi

import numpy as np

from cncpanel.drawing.proof_picture import Step, Track
from cncpanel.machine.model import Motion
from cncpanel.proof.motion import Move, Point3

UPRIGHT_CHORD = pi / 24  # rad; arcs in an upright plane are drawn as chords, seen from above they are lines anyway
SAME = 1e-6  # mm; places this near are one
MINUTE = 60.0
_Row = tuple[float, float, float, Step, int, int, float, float, float, float, float, float]
_NO_MOVE: _Row = (0.0, 0.0, 0.0, Step.JUMP, 0, 1, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def track_of(moves: Sequence[Move], motion: Motion, seconds: Sequence[float] | None = None) -> Track:
    """The columns; `seconds` says how long each move takes, else feeds and rapids are taken as written.

    A coordinate that is not known stays where it was (0 at first), and no way is drawn to such a place. A program
    without a move has one step, a jump to zero on its first line.
    """
    taken = seconds if seconds is not None else [written_time(move, motion) for move in moves]
    rows = list(_rows(zip(moves, taken, strict=True))) or [_NO_MOVE]
    columns = np.array(rows, dtype=np.float64).T
    x, y, z, step, tool, line, feed, rpm, lasting, centre_x, centre_y, sweep = columns
    return Track(
        x=x,
        y=y,
        z=z,
        step=step.astype(np.int64),
        tool=tool.astype(np.int64),
        line=line.astype(np.int64),
        feed=feed,
        rpm=rpm,
        seconds=lasting,
        centre_x=centre_x,
        centre_y=centre_y,
        sweep=sweep,
    )


def written_time(move: Move, motion: Motion) -> float:
    """Seconds at the feed as written, or at the machine's rapid; 0 where that is not known."""
    if move.kind == "rapid":
        x, y, z = (abs(b - a) for a, b in zip(move.start, move.end, strict=True))
        time = max(hypot(x, y) / motion.rapid_xy, z / motion.rapid_z) * MINUTE
    else:
        time = move.length / move.feed * MINUTE if move.feed > 0 else 0.0
    return time if isfinite(time) else 0.0


def _rows(moves: Iterable[tuple[Move, float]]) -> Iterator[_Row]:
    """One step a move, and a jump wherever a move does not begin where the last one ended."""
    at: Point3 = 0.0, 0.0, 0.0
    begun = False
    for move, seconds in moves:
        known = all(map(isfinite, move.start + move.end))
        if known and (not begun or max(abs(a - b) for a, b in zip(at, move.start, strict=True)) > SAME):
            yield _row(move, move.start, Step.JUMP, 0.0)
        begun = True
        if not known:
            x, y, z = (new if isfinite(new) else old for old, new in zip(at, move.end, strict=True))
            at = x, y, z
            yield _row(move, at, Step.JUMP, seconds)
        else:
            yield from _steps(move, seconds)
            at = move.end


def _steps(move: Move, seconds: float) -> Iterator[_Row]:
    if move.centre is None:
        yield _row(move, move.end, Step.RAPID if move.kind == "rapid" else Step.FEED, seconds)
    elif move.plane == "xy":
        yield _row(move, move.end, Step.ARC, seconds, (move.centre[0], move.centre[1], move.turn * move.sweep))
    else:
        count = max(1, ceil(move.sweep / UPRIGHT_CHORD))
        for part in range(1, count + 1):
            yield _row(move, move.at(part / count), Step.FEED, seconds / count)


def _row(
    move: Move, end: Point3, step: Step, seconds: float, arc: tuple[float, float, float] = (0.0, 0.0, 0.0)
) -> _Row:
    feed = move.feed if step is not Step.RAPID and isfinite(move.feed) else 0.0
    rpm = move.rpm if move.spindle_on and isfinite(move.rpm) else 0.0
    return *end, step, move.tool, move.line, feed, rpm, seconds, *arc
