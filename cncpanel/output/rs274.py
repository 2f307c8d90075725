"""A program as RS-274 text (NISTIR 6556), in the words that the machine's control reads.

A word is written only where it changes something. After everything that lets a person or the control move
the tool (a stop, a tool change, machine coordinates) the writer takes nothing for known.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.machine.model import Dialect, Machine
from cncpanel.output.rs274_arc import Counts, Curve, Move, arc_moves
from cncpanel.output.rs274_comment import comment_lines
from cncpanel.output.rs274_number import Scale, scale_of
from cncpanel.sequence.program import (
    Block,
    Comment,
    Cut,
    Dwell,
    End,
    LiftHome,
    Preamble,
    Program,
    Rapid,
    SpindleOff,
    SpindleOn,
    Stop,
    ToolChange,
)

LONGEST = 80  # characters a line; small controls' buffers: common practice, no source
AXES = "XYZ"


def program_text(program: Program, machine: Machine) -> str:
    """The program's text, each line ended by a line feed.

    Raises ValueError for a program whose first cut comes before its tool is anywhere known.
    """
    writer = _Writer(machine, scale_of(machine.dialect), min(LONGEST, machine.dialect.line_max))
    for block in program.blocks:
        writer.write(block)
    percent = ["%"] if machine.dialect.percent_lines else []
    return "\n".join([*percent, *writer.lines, *percent, ""])


def preamble_words(dialect: Dialect) -> str:
    """Plane, unit, no radius or length offset, work offset, no cycle, absolute, feed a minute: on one line.

    G49 stands only where the program itself takes length offsets: elsewhere the operator set Z with whatever
    offset is in force, and cancelling it would move that zero. G92 is never cleared.
    """
    unit = "G20" if dialect.unit == "inch" else "G21"
    length = "G49" if dialect.length_offsets else None
    words = ("G17", unit, "G40", length, dialect.work_offset, "G80", "G90", "G94")
    return " ".join(word for word in words if word)


@dataclass(slots=True)
class _Writer:
    """The control's modal state as far as the text has set it; None: not known.

    `goal` is the unrounded place that `at` counts: an arc of nearly a full turn would blow up the rounding.
    """

    machine: Machine
    scale: Scale
    longest: int
    lines: list[str] = field(default_factory=list)
    at: list[int | None] = field(default_factory=lambda: [None, None, None])
    goal: list[float] = field(default_factory=lambda: [0.0, 0.0, 0.0])
    motion: str = ""
    feed: int = 0

    def write(self, block: Block) -> None:
        how: dict[type, Callable[..., None]] = {
            Comment: self.comment,
            Preamble: self.preamble,
            LiftHome: self.lift_home,
            Rapid: self.rapid,
            Cut: self.cut,
            ToolChange: self.tool_change,
            SpindleOn: lambda on: self.line(f"M3 S{on.rpm:.0f}"),
            SpindleOff: lambda _: self.line("M5"),
            Dwell: self.dwell,
            Stop: self.stop,
            End: lambda _: self.line(self.machine.dialect.end_word),
        }
        how[type(block)](block)

    def line(self, text: str) -> None:
        self.lines.append(text)

    def forget(self) -> None:
        self.at = [None, None, None]
        self.motion = ""

    def comment(self, block: Comment) -> None:
        self.lines += comment_lines(block.text, self.longest)

    def preamble(self, _: Preamble) -> None:
        dialect = self.machine.dialect
        self.line(preamble_words(dialect))
        if dialect.path_words:
            self.line(dialect.path_words)

    def lift_home(self, _: LiftHome) -> None:
        text = f"G53 G0 Z{self.scale.text(self.scale.count(self.machine.motion.highest_z))}"
        if self.lines[-1:] != [text]:
            self.line(text)
        self.at[2] = None
        self.motion = ""

    def tool_change(self, block: ToolChange) -> None:
        self.line(f"T{block.number} M6")
        if self.machine.dialect.length_offsets:
            self.line(f"G43 H{block.number}")
        self.forget()

    def dwell(self, block: Dwell) -> None:
        if self.machine.dialect.dwell_unit == "ms":
            self.line(f"G4 P{max(round(block.seconds * 1000), 1)}")
        else:
            self.line(f"G4 P{max(block.seconds, 0.01):.2f}")

    def stop(self, block: Stop) -> None:
        for text in block.lines:
            self.lines += comment_lines(text, self.longest, is_message=True)
        self.line("M0")
        self.forget()

    def rapid(self, block: Rapid) -> None:
        goals = [None if v is None else self.scale.count(v) for v in (block.x, block.y, block.z)]
        words = self.axis_words(goals)
        self.goal = [
            old if new is None else new for old, new in zip(self.goal, (block.x, block.y, block.z), strict=True)
        ]
        if words:
            self.move("G0", words)

    def axis_words(self, goals: list[int | None]) -> list[str]:
        """The axes that must be named to get there, and the tool counted as there."""
        words = []
        for axis, goal in enumerate(goals):
            if goal is not None and goal != self.at[axis]:
                words.append(f"{AXES[axis]}{self.scale.text(goal)}")
                self.at[axis] = goal
        return words

    def move(self, motion: str, words: list[str], feed: int | None = None) -> None:
        head = [motion] if motion != self.motion else []
        tail = [f"F{self.scale.feed_text(feed)}"] if feed and feed != self.feed else []
        self.motion, self.feed = motion, feed or self.feed
        self.line(self.fitted([*head, *words, *tail]))

    def fitted(self, words: list[str]) -> str:
        spaced = " ".join(words)
        return spaced if len(spaced) <= self.longest else "".join(words)

    def here(self) -> Counts:
        x, y, z = self.at
        if x is None or y is None or z is None:
            raise ValueError("a cut from a place that the program did not set")
        return x, y, z

    def cut(self, block: Cut) -> None:
        here, feed = self.here(), self.scale.feed_count(block.feed)
        for move in self.moves(here, block):
            self.cut_move(move, feed)
        self.goal = [block.x, block.y, block.z]

    def moves(self, here: Counts, block: Cut) -> Iterator[Move]:
        start, end = Point(self.goal[0], self.goal[1]), Point(block.x, block.y)
        if block.bulge and start.distance(end) > 0:
            curve = Curve(Segment(start, end, block.bulge), self.goal[2], block.z)
            return arc_moves(here, curve, self.scale, arcs=self.takes_arcs())
        count = self.scale.count
        return iter((Move((count(block.x), count(block.y), count(block.z))),))

    def takes_arcs(self) -> bool:
        """Whether the control runs arcs and its lines are long enough for the longest of them."""
        number = 1 + len("-9999.") + self.scale.decimals
        return self.machine.dialect.arcs and len("G2F99999.9") + 5 * number <= self.longest

    def cut_move(self, move: Move, feed: int) -> None:
        """One line; nothing at all where rounding left no way to go."""
        if move.centre is None:
            words = self.axis_words([*move.end])
            if words:
                self.move("G1", words, feed)
            return
        x, y, z = move.end
        level = self.at[2] == z
        words = [f"X{self.scale.text(x)}", f"Y{self.scale.text(y)}"]
        words += [] if level else [f"Z{self.scale.text(z)}"]
        words += [f"{letter}{self.scale.text(c)}" for letter, c in zip("IJ", move.centre, strict=True)]
        self.at = [x, y, z]
        self.move("G2" if move.is_clockwise else "G3", words, feed)
