"""The short road for the lines that most of a program is: one motion code at most, places, a feed, and nothing else.

What such a line does is what the full road (words.py, rules.py, execute.py) would make of it; wherever that is not
sure at a glance, the line is left to the full road, which knows every rule and tells every mistake.
"""

import re
from dataclasses import dataclass

from cncpanel.proof.control import Control
from cncpanel.proof.execute import Executor
from cncpanel.proof.motion import Move, Point3
from cncpanel.proof.mover import FARTHEST
from cncpanel.proof.words import LONGEST, Block

_GAP = r"[ \t]*"
_NUMBER = r"(?:\d+\.?\d*|\.\d+)"
_PLACES = "".join(f"(?:[{letter}{letter.lower()}]([+-]?{_NUMBER}){_GAP})?" for letter in "XYZIJ")
_PLAIN = re.compile(f"{_GAP}(?:[Gg]0?([0-3]){_GAP})?{_PLACES}(?:[Ff]({_NUMBER}){_GAP})?", re.ASCII)
_CODES = {"0": 0, "1": 10, "2": 20, "3": 30}
_WORDS = frozenset(("G0", "G1", "G2", "G3", "X", "Y", "Z", "I", "J", "F"))
_STRAIGHT = (0, 10)
_ARCS = (20, 30)

Written = str | None


@dataclass(frozen=True, slots=True)
class PlainLines:
    """Runs plain lines on an executor that the full road runs the others on."""

    run: Executor

    @staticmethod
    def suit(control: Control) -> bool:
        """Whether the control reads all that a plain line may have: else each is a finding."""
        return control.lacks.isdisjoint(_WORDS)

    def move(self, number: int, text: str) -> Move | None:
        """The move of a straight plain line, made; None, with nothing done, where the line is not sure to be one."""
        found = _PLAIN.fullmatch(text)
        if found is None:
            return None
        g, x, y, z, i, j, feed = found.groups()
        record = self.run.record
        modes = record.modes
        code = modes.motion if g is None else _CODES[g]
        if code not in _STRAIGHT or i or j or not modes.moved or modes.incremental or modes.inverse_time:
            return None
        if modes.compensated:
            return None
        end = self._end(x, y, z)
        if end is None or len(text) > LONGEST:
            return None
        pace = modes.feed if feed is None else float(feed)
        if code and pace <= 0:
            return None
        modes.feed = pace
        if g is not None:
            modes.motion, modes.cycle = code, None
            modes.sticky.clear()
            modes.stated.add("motion")
        move = Move(
            number,
            "feed" if code else "rapid",
            modes.position,
            end,
            pace * modes.scale if code else 0.0,
            modes.rpm,
            modes.turn != 0,
            modes.tool,
            plane=modes.plane,
            length_offset=modes.length_offset,
        )
        record.at_line = number
        record.count += 1
        modes.position = end
        return move

    def _end(self, x: Written, y: Written, z: Written) -> Point3 | None:
        """The place, base coordinates; None where no axis is told, or no machine could go there."""
        if x is None and y is None and z is None:
            return None
        modes = self.run.record.modes
        right, up, high = modes.position
        scale, shift, zero = modes.scale, modes.shift, modes.zero
        if x is not None:
            right = float(x) * scale + shift[0] + zero[0]
        if y is not None:
            up = float(y) * scale + shift[1] + zero[1]
        if z is not None:
            high = float(z) * scale + shift[2] + zero[2]
        if abs(right) > FARTHEST or abs(up) > FARTHEST or abs(high) > FARTHEST:
            return None
        return right, up, high

    def arc(self, number: int, text: str) -> bool:
        """Whether the line was a plain arc by its centre and was run: its move or its mistakes are in the record."""
        found = _PLAIN.fullmatch(text)
        if found is None or len(text) > LONGEST:
            return False
        g, *written = found.groups()
        modes = self.run.record.modes
        code = modes.motion if g is None else _CODES[g]
        if code not in _ARCS or modes.compensated or written[:3] == [None, None, None]:
            return False
        values = {letter: float(value) for letter, value in zip("xyzijf", written, strict=True) if value is not None}
        self.run.record.at_line, self.run.record.text = number, text
        modes.feed = values.get("f", modes.feed)
        if g is not None:
            modes.stated.add("motion")
        self.run.mover.motion(Block(number, g=[] if g is None else [code], values=values))
        return True
