"""Moves written by hand, tools' forms, and the slow, plain way to a depth: many places along a way."""

from itertools import pairwise
from math import hypot

import numpy as np

from cncpanel.proof.motion import Move, Point3
from cncpanel.proof.tool_form import ToolForm, cone_form, flare_form, flat_form, nose_form

FORMS = {
    "flat": flat_form(3.0),
    "drill": cone_form(2.5, 118.0),
    "v-bit": cone_form(4.0, 60.0, 0.1),
    "ball": nose_form(3.0, 3.0),
    "core-box": nose_form(6.0, 2.0),
    "shallow core-box": nose_form(6.0, 10.0),
    "round-over": flare_form(5.0, 2.0, 3.0),
}


def line(start: Point3, end: Point3, number: int = 1) -> Move:
    """A feed move."""
    return Move(number, "feed", start, end, 1000.0, 18000.0, True, 1)


def arc(start: Point3, centre: tuple[float, float], sweep: float, rise: float = 0.0, plane: str = "xy") -> Move:
    """An arc of a signed sweep in the XY plane; `rise` makes it a helix."""
    turn = 1 if sweep > 0 else -1
    move = Move(1, "arc", start, start, 1000.0, 18000.0, True, 1, (*centre, start[2]), turn, abs(sweep), plane)
    end = move._replace(end=(start[0], start[1], start[2] + rise)).at(1 - 1e-15)
    return move._replace(end=(end[0], end[1], start[2] + rise))


def shifted(move: Move, dx: float, dy: float) -> Move:
    """The same elsewhere."""
    places = [None if p is None else (p[0] + dx, p[1] + dy, p[2]) for p in (move.start, move.end, move.centre)]
    return move._replace(start=places[0], end=places[1], centre=places[2])


def path(points: list[Point3]) -> list[Move]:
    """Lines through points."""
    return [line(a, b) for a, b in pairwise(points)]


def brute(moves: list[Move], form: ToolForm, x: np.ndarray, y: np.ndarray, steps: int = 4000) -> np.ndarray:
    """The depth at places, from `steps` stations a move: never too deep, and too shallow by the stations' gap."""
    best = np.zeros_like(x)
    for move in moves:
        for share in np.linspace(0.0, 1.0, steps + 1):
            px, py, pz = move.at(float(share))
            best = np.maximum(best, -pz - form.heights(np.hypot(x - px, y - py)))
    return best


def chorded(move: Move, chord: float = 1e-5) -> list[Move]:
    """An arc as lines that lie at most `chord` inside."""
    assert move.centre is not None
    radius = hypot(move.start[0] - move.centre[0], move.start[1] - move.centre[1])
    count = max(int(move.sweep / (8 * chord / radius) ** 0.5) + 1, 1)
    points = [move.at(i / count) for i in range(count + 1)]
    return path(points)
