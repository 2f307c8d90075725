"""RS-274/NGC read back: text to moves, events and findings.

Reading never stops at a mistake: the line's findings are told and the next line is read.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from cncpanel.proof.control import Control
from cncpanel.proof.execute import Executor
from cncpanel.proof.finding import Finding
from cncpanel.proof.motion import Event, Move, Point3
from cncpanel.proof.plain_line import PlainLines
from cncpanel.proof.rules import judge, judge_codes
from cncpanel.proof.tally import Tally
from cncpanel.proof.vocabulary import missing_words
from cncpanel.proof.words import LONGEST, Block, read_block

MOST_MOVES = 1_500_000  # of a proof; a million-line program and half as much again, each held in some 2 kB
_TOOL_NAMED = re.compile(r"\s*(?:MSG,\s*)?(TOOL|FIT) T(\d{1,2})\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Reading:
    """A whole program read; `dropped` findings of kinds that were told often enough are only counted."""

    moves: tuple[Move, ...]
    events: tuple[Event, ...]
    findings: tuple[Finding, ...]
    dropped: int = 0


def read(
    text: str,
    control: Control | None = None,
    start: Point3 | None = None,
    *,
    short_road: bool = True,
    most: int | None = None,
) -> Reading:
    """The whole program at once, but no more than `most` moves and stops of it (MOST_MOVES).

    Without the short road every line is read word by word: the same comes of it, later.
    """
    moves: list[Move] = []
    events: list[Event] = []
    tally = Tally()
    for item in walk(lines_of(text), control, start, short_road=short_road):
        if isinstance(item, Move):
            moves.append(item)
        elif isinstance(item, Event):
            events.append(item)
        else:
            tally.add(item)
        if len(moves) + len(events) >= (MOST_MOVES if most is None else most):
            text = f"more than {MOST_MOVES} moves and stops on one sheet: the rest is not read"
            tally.add(Finding(kind="too-long", severity="safety", text=text, line=item.line, limit=MOST_MOVES))
            break
    return Reading(tuple(moves), tuple(events), tuple(tally.kept), tally.dropped)


def lines_of(text: str) -> list[str]:
    """The lines as a control ends them: by CR, LF or both, and by nothing else."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def walk(
    lines: Iterable[str],
    control: Control | None = None,
    start: Point3 | None = None,
    *,
    short_road: bool = True,
) -> Iterator[Move | Event | Finding]:
    """What the lines do, one thing after another, in memory that does not grow with the program."""
    reader = _Reader(Executor(control or Control()))
    plain = PlainLines(reader.run) if short_road and PlainLines.suit(reader.run.control) else None
    if start is not None:
        reader.run.record.modes.position = start
    for number, text in enumerate(lines, 1):
        if plain is not None and reader.is_open:
            if (move := plain.move(number, text)) is not None:
                yield move
                continue
            if plain.arc(number, text):
                yield from reader.told()
                continue
        reader.line(number, text)
        yield from reader.told()
    reader.finish()
    yield from reader.told()


@dataclass(slots=True)
class _Reader:
    run: Executor
    begun: bool = False
    opened: bool = False
    closed: bool = False
    told_after_end: bool = False

    def told(self) -> list[Move | Event | Finding]:
        out, self.run.record.out = self.run.record.out, []
        return out

    @property
    def is_open(self) -> bool:
        """Whether lines are run: it has begun (no percent line can open it any more) and not ended."""
        return self.begun and not self.closed and not self.run.ended

    def line(self, number: int, text: str) -> None:
        self.run.record.at_line, self.run.record.text = number, text
        if self.closed or not (len(text) > LONGEST or text.strip(" \t")):
            return
        block = read_block(text, number, self.run.record.modes.parameters)
        if block.percent:
            self.percent(block)
        elif self.run.ended:
            self.after_end()
        else:
            self.begun = True
            self.block(block, text)

    def percent(self, block: Block) -> None:
        if not self.begun:
            self.begun = self.opened = True
        elif self.opened:
            self.closed = True
        else:
            self.run.record.find("percent", "a percent line that opens nothing")

    def after_end(self) -> None:
        if not self.told_after_end:
            self.told_after_end = True
            self.run.record.find("after-end", "lines after the program's end are never run")

    def finish(self) -> None:
        self.run.record.at_line, self.run.record.text = 0, ""
        if self.opened and not self.closed:
            self.run.record.find("percent", "the file ends without its closing percent line")
        elif not self.run.ended and not self.closed:
            self.run.record.find("no-end", "the file ends without M2, M30 or percent lines", severity="safety")

    def block(self, block: Block, text: str) -> None:
        if block.faults:
            judge_codes(block)
        else:
            judge(block, self.run.record.modes.motion, path_p=self.run.control.path_p)
        for fault in block.faults:
            self.run.record.find(fault.kind, fault.text, column=fault.column)
        for column, word in missing_words(block, text, self.run.control.lacks):
            self.run.record.find("dialect-word", f"{word}, which this control does not read", column=column)
        if block.comment:
            self.comment(block.comment)
        if block.deletable and not block.is_empty:
            self.run.record.find("block-delete", "whether this line runs depends on a switch", column=1)
        if not block.faults:
            self.run.carry_out(block)
            self.run.set_parameters(block)

    def comment(self, text: str) -> None:
        named = _TOOL_NAMED.match(text)
        if named and not (named[1].upper() == "TOOL" and self.run.record.modes.moved):
            self.run.record.modes.tool = int(named[2])
            self.run.record.event("tool named", self.run.record.modes.tool, text)
        self.run.record.event("comment", text=text)
