"""What a program has done so far: the modal state, and moves, events and findings not yet handed on."""

from dataclasses import dataclass, field
from math import isnan

from cncpanel.proof.finding import Finding, Severity
from cncpanel.proof.modes import Modes
from cncpanel.proof.motion import Event, EventKind, Move, MoveKind, Point3
from cncpanel.proof.words import read_block


@dataclass(slots=True)
class Record:
    """`out` is emptied by whoever reads; `count` is of all moves, `at_line` and `text` the line being run."""

    modes: Modes = field(default_factory=Modes)
    out: list[Move | Event | Finding] = field(default_factory=list)
    count: int = 0
    at_line: int = 0
    text: str = ""

    def find(
        self,
        kind: str,
        text: str,
        *,
        words: str = "",
        column: int = 0,
        severity: Severity = "error",
        measure: float | None = None,
        limit: float | None = None,
    ) -> None:
        """Tell what is wrong on the line being run, where the tool is.

        The column is that of the first of `words` (as a block's columns have them: `g20 r`) that is on the line, else
        that of the line's first word.
        """
        x, y, z = (None if isnan(v) else v for v in self.modes.position)
        self.out.append(
            Finding(
                kind=kind,
                severity=severity,
                text=text,
                line=self.at_line,
                column=column or self._column(words),
                x=x,
                y=y,
                z=z,
                measure=measure,
                limit=limit,
            )
        )

    def _column(self, words: str) -> int:
        """Worked out anew: a line on which nothing is wrong need not know."""
        columns = read_block(self.text, self.at_line, self.modes.parameters).columns
        for word in words.split():
            if word in columns:
                return columns[word]
        return min(columns.values(), default=0)

    def not_simulated(self, what: str, column: int = 0) -> None:
        """Tell of something whose effect is not known here."""
        self.find("not-simulated", f"{what} is not simulated", column=column, severity="safety")

    def event(self, kind: EventKind, value: float = 0.0, text: str = "") -> None:
        """Note something other than motion."""
        self.out.append(Event(self.at_line, kind, self.count, value, text))

    def turn(self, turn: int) -> None:
        """Have the spindle turn: 1 clockwise, -1 the other way, 0 to stop it."""
        self.modes.turn = turn
        if turn:
            self.event("spindle on", self.modes.rpm, "M3" if turn > 0 else "M4")
        else:
            self.event("spindle off")

    def go(
        self,
        kind: MoveKind,
        end: Point3,
        *,
        centre: Point3 | None = None,
        turn: int = 0,
        sweep: float = 0.0,
        machine: bool = False,
    ) -> None:
        """Make a move to `end` (base coordinates) under what is in force."""
        modes = self.modes
        move = Move(
            self.at_line, kind, modes.position, end, 0.0, modes.rpm, modes.spindle_on, modes.tool, centre, turn,
            sweep, modes.plane, machine, modes.length_offset,
        )  # fmt: skip
        feed = 0.0 if kind == "rapid" else modes.feed * (move.length if modes.inverse_time else modes.scale)
        self.out.append(move._replace(feed=feed))
        self.count += 1
        modes.position = end
