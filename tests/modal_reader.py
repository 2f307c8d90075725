"""A small reader of RS-274 text for the tests: shares nothing with the writer, knows only the words it should meet.

Refuses what NISTIR 6556 refuses in them: two words of one letter, motion without an axis, an arc whose radii differ
by more than 0.002 mm (0.0002 inch), a letter or a line that is not allowed.
"""

import re
from dataclasses import dataclass, field
from math import atan2, hypot, pi

WORD = re.compile(r"([A-Z])([+-]?\d+\.?\d*)")
MOTIONS = ("G0", "G1", "G2", "G3")


@dataclass
class Move:
    """One motion as read: mm and mm/min; `sweep` radians, positive counter-clockwise."""

    word: str
    start: tuple
    end: tuple
    feed: float
    spindle: float
    centre: tuple | None = None
    sweep: float = 0.0


@dataclass
class Reading:
    """All that a text says, in order: `events` are moves and the other lines' words."""

    moves: list = field(default_factory=list)
    events: list = field(default_factory=list)
    comments: list = field(default_factory=list)


def read(text: str) -> Reading:
    reading, state = (
        Reading(),
        {"at": [None] * 3, "motion": None, "feed": 0.0, "rpm": 0.0, "mm": 1.0, "limit": 0.002},
    )
    lines = text.splitlines()
    assert text.endswith("\n")
    assert (lines[0] == "%") == (lines[-1] == "%")
    for line in (line for line in lines if line != "%"):
        assert len(line) <= 80, line
        assert line.isascii(), line
        if line.startswith("("):
            assert re.fullmatch(r"\([^()%]*\)", line), line
            reading.comments.append(line[1:-1])
            reading.events.append(line)
        else:
            _line(line, reading, state)
    return reading


def _line(line: str, reading: Reading, state: dict) -> None:
    words = WORD.findall(line)
    assert "".join(a + b for a, b in words) == line.replace(" ", ""), line
    assert not re.search(r"-0\.?0*(?![\d.])", line), line
    letters = [letter for letter, _ in words if letter not in "GM"]
    assert len(letters) == len(set(letters)), line
    codes = [letter + number for letter, number in words if letter in "GM"]
    values = {letter: float(number) for letter, number in words if letter not in "GM"}
    if "G20" in codes:
        state["mm"], state["limit"] = 25.4, 0.0002 * 25.4
    state["rpm"] = (
        values.get("S", state["rpm"]) if "M3" in codes else 0.0 if {"M5", "M6"} & set(codes) else state["rpm"]
    )
    state["feed"] = values["F"] * state["mm"] if "F" in values else state["feed"]
    axes = [values.get(letter) for letter in "XYZ"]
    if "G53" in codes:
        assert "G0" in codes, line
        state["at"][2], state["motion"] = None, "G0"
        reading.events.append("G53 Z")
        return
    state["motion"] = next((code for code in codes if code in MOTIONS), state["motion"])
    if axes == [None] * 3:
        assert not set(codes) & set(MOTIONS), f"no axis: {line}"
        reading.events.append(line)
        if "M0" in codes or "M6" in codes:
            state["at"], state["motion"] = [None] * 3, None
        return
    _motion(line, axes, values, reading, state)


def _motion(line: str, axes: list, values: dict, reading: Reading, state: dict) -> None:
    assert state["motion"], f"no motion word is in force: {line}"
    start, mm = list(state["at"]), state["mm"]
    end = [old if new is None else new * mm for old, new in zip(start, axes, strict=True)]
    move = Move(state["motion"], tuple(start), tuple(end), state["feed"], state["rpm"])
    if move.word != "G0":
        assert None not in start, f"a cut from nowhere: {line}"
        assert move.feed > 0, line
    if move.word in ("G2", "G3"):
        assert axes[0] is not None or axes[1] is not None
        assert "I" in values or "J" in values
        _arc(line, move, values.get("I", 0) * mm, values.get("J", 0) * mm, state["limit"])
    state["at"] = end
    reading.moves.append(move)
    reading.events.append(move)


def _arc(line: str, move: Move, i: float, j: float, limit: float) -> None:
    move.centre = x, y = move.start[0] + i, move.start[1] + j
    mismatch = abs(hypot(i, j) - hypot(move.end[0] - x, move.end[1] - y))
    assert mismatch <= limit + 1e-9, f"radii differ by {mismatch}: {line}"
    turn = atan2(move.end[1] - y, move.end[0] - x) - atan2(-j, -i)
    move.sweep = turn % (2 * pi) if move.word == "G3" else -(-turn % (2 * pi))
    assert move.sweep != 0.0, f"a full circle: {line}"
