"""What an operator and a machine may expect of every program: limits, feeds, spindle, stops, its end.

Source: the checks P1-P10 that NISTIR 6556 leaves to others (its appendix A), and the machine file.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import hypot, isnan

from cncpanel.machine.tool import Tool
from cncpanel.proof.finding import Finding, Severity
from cncpanel.proof.motion import Event, Move
from cncpanel.proof.reader import Reading
from cncpanel.proof.setup import Setup
from cncpanel.proof.sweep import extent, straightened

SLACK = 0.001  # mm; what rounding to a program's decimals may add to a position
FEED_SLACK = 1.001  # of a feed; rounding to whole mm/min or tenths of an inch
DWELL = (0.1, 20.0)  # s; outside, the dwell's unit was mistaken
RPM_SLACK = 1.0
PATIENCE = 0.9  # of the machine file's spin-up and spin-down times, which are rounded
PARKED = 1.0  # mm from the machine file's place
_ON = re.compile(r"SWITCH\b.*\bON\b")
_OFF = re.compile(r"SWITCH\b.*\bOFF\b")


def habit_findings(reading: Reading, setup: Setup) -> Iterator[Finding]:
    """Walk the program once, moves and events as they happen."""
    walk = _Walk(setup)
    events = iter(reading.events)
    event = next(events, None)
    for index, move in enumerate(reading.moves):
        while event is not None and event.moves <= index:
            yield from walk.event(event)
            event = next(events, None)
        yield from walk.move(move)
    while event is not None:
        yield from walk.event(event)
        event = next(events, None)
    yield from walk.finish(reading)


@dataclass(slots=True)
class _Walk:
    setup: Setup
    last: Move | None = None
    hand_on: bool = False
    running: bool = False
    spun_up_s: float = 0.0
    run_down_s: float | None = None  # since the spindle was switched off; None: it stands, or turns
    comments: list[str] = field(default_factory=list)
    unknown_tools: set[int] = field(default_factory=set)
    no_spindle: bool = False
    to_be_fitted: bool = False
    selected: int | None = None  # by a T word alone: nothing has fitted it yet
    changed: bool = False  # by an M6, ever

    def find(
        self,
        kind: str,
        line: int,
        text: str,
        *,
        severity: Severity = "safety",
        at: tuple[float, float, float] | None = None,
        measure: float | None = None,
        limit: float | None = None,
    ) -> Finding:
        at = at or (self.last.end if self.last is not None else None)
        x, y, z = (None if v is None or isnan(v) else round(v, 4) for v in at or (None, None, None))
        return Finding(kind=kind, severity=severity, text=text, line=line, x=x, y=y, z=z, measure=measure, limit=limit)

    # -- events --------------------------------------------------------------------------------------------

    def event(self, event: Event) -> Iterator[Finding]:
        if event.kind == "comment":
            self.comments.append(event.text.upper())
        elif event.kind == "tool named":
            self.to_be_fitted = "FIT" in event.text.upper()
            self.selected = None if event.text else int(event.value)
        elif event.kind == "dwell":
            yield from self.dwell(event)
        elif event.kind in ("spindle on", "speed"):
            yield from self.spindle_on(event)
        elif event.kind in ("spindle off", "change", "stop", "optional stop", "end"):
            yield from self.pause(event)
        elif event.kind == "offset" and self.setup.machine.dialect.zero_in_g92:
            yield self.find("zero-cleared", event.line, "the operator's zero lies in G92 and must not be changed")

    def dwell(self, event: Event) -> Iterator[Finding]:
        seconds = event.value / (1000.0 if self.setup.machine.dialect.dwell_unit == "ms" else 1.0)
        self.spun_up_s += seconds
        self.run_down_s = None if self.run_down_s is None else self.run_down_s + seconds
        if not DWELL[0] <= seconds <= DWELL[1]:
            text = f"a dwell of {seconds:g} s ({DWELL[0]:g} to {DWELL[1]:g} s is plausible)"
            yield self.find("dwell", event.line, text, severity="error", measure=seconds, limit=DWELL[1])

    def spindle_on(self, event: Event) -> Iterator[Finding]:
        spindle = self.setup.machine.spindle
        if event.kind == "spindle on":
            self.running, self.spun_up_s, self.run_down_s = True, 0.0, None
            if event.text == "M4":
                yield self.find("spindle-direction", event.line, "M4 turns the spindle the wrong way round")
        if not self.running or spindle.control == "hand":
            return
        low, high = spindle.rpm_min - RPM_SLACK, spindle.rpm_max + RPM_SLACK
        if not low <= event.value <= high:
            text = f"{event.value:g} rpm, the spindle turns at {spindle.rpm_min:g} to {spindle.rpm_max:g}"
            yield self.find("rpm", event.line, text, measure=event.value, limit=spindle.rpm_max)

    def pause(self, event: Event) -> Iterator[Finding]:
        """Whatever stops the spindle or the program: the tool must be out of the material."""
        if self.last is not None and not self.last.end[2] > self.setup.top + SLACK:
            text = f"{event.kind} while the tool is in the material"
            yield self.find("stop-in-material", event.line, text, at=self.last.end)
        if event.kind in ("stop", "optional stop", "end"):
            yield from self.away(event)
        if event.kind in ("stop", "optional stop", "end") and self.running:
            yield self.find("spindle-left-on", event.line, f"{event.kind} while the spindle is on")
        elif event.kind in ("stop", "optional stop", "change"):
            yield from self.still(event)
        if event.kind == "change":
            self.selected, self.changed = None, True
            yield from self.change(event)
        if event.kind == "stop":  # an M1 halts only where a switch says so: nothing is fitted there
            self.to_be_fitted = False
            yield from self.hand_switched(event)
        if event.kind in ("spindle off", "change"):
            self.run_down_s = 0.0 if self.running else self.run_down_s
            self.running = False
        self.spun_up_s = 0.0

    def still(self, event: Event) -> Iterator[Finding]:
        """Before anyone or anything reaches for the tool the spindle has run down."""
        passed, needed = self.run_down_s, self.setup.machine.spindle.spin_down_s
        if passed is not None and passed < needed * PATIENCE:
            text = f"{event.kind} {passed:.1f} s after the spindle was switched off (it runs down in {needed:g})"
            yield self.find("run-down", event.line, text, measure=passed, limit=needed)
        self.run_down_s = None

    def away(self, event: Event) -> Iterator[Finding]:
        """Where a person may reach in, the tool waits over all clamps and beside the sheet."""
        machine, last = self.setup.machine, self.last
        if last is None or any(map(isnan, last.end)):
            return
        clear = self.setup.top + (0.0 if machine.table.hold == "vacuum" else machine.table.clamp_height)
        if self.setup.top + SLACK < last.end[2] < clear - SLACK:
            text = f"{event.kind} {last.end[2] - self.setup.top:.2f} mm over the sheet, lower than a clamp may stand"
            height = last.end[2]
            yield self.find("no-retract", event.line, text, at=last.end, measure=height, limit=clear)
        park = self.setup.park
        off = hypot(last.end[0] - park[0], last.end[1] - park[1])
        if event.kind != "end" and off > PARKED:
            text = f"{event.kind} {off:.0f} mm from where the tool is parked"
            yield self.find("not-parked", event.line, text, severity="error", at=last.end, measure=off, limit=PARKED)

    def change(self, event: Event) -> Iterator[Finding]:
        if self.setup.machine.dialect.tool_change != "changer":
            yield self.find("dialect-change", event.line, "M6, but the machine has no changer")

    def hand_switched(self, event: Event) -> Iterator[Finding]:
        """On a spindle without a wire the stop's words switch it."""
        said = [one for one in self.comments[-6:] if one.lstrip().startswith("MSG")] or self.comments[-6:]
        text = " ".join(said)  # messages are the operator's; a part may be called "light switch off"
        on, off = list(_ON.finditer(text)), list(_OFF.finditer(text))
        if on or off:
            self.hand_on = bool(on) and (not off or on[-1].start() > off[-1].start())
        elif self.hand_on and self.setup.machine.spindle.control == "hand":
            yield self.find("spindle-left-on", event.line, "a stop while the hand-switched spindle is on")
        self.comments.clear()

    # -- moves ---------------------------------------------------------------------------------------------

    def move(self, move: Move) -> Iterator[Finding]:
        yield from self.known(move)
        yield from self.limits(move)
        low = min(move.start[2], move.end[2])
        if move.kind != "rapid":
            yield from self.feed(move)
            if low < self.setup.top - SLACK:
                yield from self.cutting(move, low)
        if move.kind == "arc" and not self.setup.machine.dialect.arcs:
            text = "an arc, which this control does not read"
            yield self.find("dialect-arc", move.line, text, severity="error", at=move.end)
        if move.machine and not self.setup.machine.motion.homes:
            text = "G53 on a machine that does not know its own coordinates"
            yield self.find("dialect-g53", move.line, text, at=move.end)
        if self.run_down_s is not None and move.length > 0:
            self.run_down_s += move.length / self.fastest(move) * 60
        self.last = move

    def fastest(self, move: Move) -> float:
        """mm/min that it may reach."""
        motion = self.setup.machine.motion
        return max(motion.rapid_xy, motion.rapid_z) if move.kind == "rapid" else max(move.feed, 1.0)

    def known(self, move: Move) -> Iterator[Finding]:
        """Nothing may move sideways, or down, from a height that is not known."""
        sideways = move.centre is not None or move.start[:2] != move.end[:2]
        if isnan(move.end[2]) or (isnan(move.start[2]) and (sideways and not self.only_height(move))):
            yield self.find("position-unknown", move.line, "a move at a height that is not known", at=move.end)
        elif move.kind != "rapid" and any(map(isnan, move.start + move.end)):
            yield self.find("position-unknown", move.line, "a cut from a place that is not known", at=move.end)
        elif isnan(move.start[2]) and move.end[2] < self.setup.top:
            yield self.find("position-unknown", move.line, "down from a height that is not known", at=move.end)

    @staticmethod
    def only_height(move: Move) -> bool:
        """Whether X and Y stay (where they are not known either, they are not named)."""
        return all(a == b or (isnan(a) and isnan(b)) for a, b in zip(move.start[:2], move.end[:2], strict=True))

    def limits(self, move: Move) -> Iterator[Finding]:
        machine = self.setup.machine
        over_board = -self.setup.spoilboard_top
        zero = (*self.setup.work_zero, over_board)
        spans = (machine.travel.x, machine.travel.y, machine.travel.z)
        low, high = _reach(move)
        for axis, offset, (least, most), begin, end in zip("XYZ", zero, spans, low, high, strict=True):
            for value, limit, beyond in (
                (begin + offset, least, begin + offset < least - SLACK),
                (end + offset, most, end + offset > most + SLACK),
            ):
                if beyond:
                    text = f"machine {axis} {value:.3f} is beyond its travel, {least:g} to {most:g}"
                    yield self.find("travel", move.line, text, at=move.end, measure=value, limit=limit)
        if low[2] < self.setup.lowest - SLACK:
            text = f"{self.setup.spoilboard_top - low[2]:.2f} mm into a spoilboard of {machine.table.spoilboard:g}"
            yield self.find("table", move.line, text, at=move.end, measure=low[2], limit=self.setup.lowest)

    def feed(self, move: Move) -> Iterator[Finding]:
        motion, length = self.setup.machine.motion, move.length
        if not length > 0:
            return
        rise = max(abs(move.end[2] - move.start[2]) - self.setup.last_decimal, 0.0)  # both ends are rounded
        for share, limit, name in ((move.across, motion.feed_xy_max, "XY"), (rise, motion.feed_z_max, "Z")):
            feed = move.feed * share / length
            if feed > limit * FEED_SLACK:
                text = f"{feed:.0f} mm/min in {name}, the machine goes {limit:g}"
                yield self.find("feed", move.line, text, severity="error", at=move.end, measure=feed, limit=limit)

    def cutting(self, move: Move, low: float) -> Iterator[Finding]:
        yield from self.fitted(move)
        tool = self.setup.tools.get(move.tool)
        if tool is None:
            if move.tool not in self.unknown_tools:
                self.unknown_tools.add(move.tool)
                said = (
                    f"T{move.tool} is not in the rack" if move.tool else "no tool was named (T1, or a comment TOOL T1)"
                )
                yield self.find("tool-unknown", move.line, f"a cut, but {said}", at=move.end)
            return
        yield from self.turning(move, tool)
        if self.to_be_fitted:
            self.to_be_fitted = False
            yield self.find(
                "no-stop-to-fit",
                move.line,
                f"T{tool.number} is to be fitted, but no stop comes before its cut",
                at=move.end,
            )
        depth = self.setup.top - low
        if depth > tool.reach + SLACK:
            text = f"T{tool.number} {depth:.2f} mm deep, its flutes and stick-out allow {tool.reach:g}"
            yield self.find("too-deep", move.line, text, at=move.end, measure=depth, limit=tool.reach)
        offsets = self.setup.machine.dialect.length_offsets
        if (offsets and move.length_offset != move.tool) or (not offsets and move.length_offset):
            text = f"T{move.tool} cuts with length offset {move.length_offset or 'none'}"
            yield self.find("length-offset", move.line, text, at=move.end)

    def fitted(self, move: Move) -> Iterator[Finding]:
        """A T word alone fits no tool; only before the first move it says what the operator has fitted.

        On a changer it fits nothing at all, but may fetch the next tool while this one cuts.
        """
        selected, changer = self.selected, self.setup.machine.dialect.tool_change == "changer"
        if selected is None or (self.changed if changer else selected == move.tool):
            return
        self.selected = None
        cuts = f"T{move.tool}" if move.tool and not changer else "a tool that nothing names"
        text = f"T{selected} was selected, but no M6 and no stop with its name fits it: {cuts} still cuts"
        yield self.find("tool-not-fitted", move.line, text, at=move.end)

    def turning(self, move: Move, tool: Tool) -> Iterator[Finding]:
        spindle = self.setup.machine.spindle
        on = move.spindle_on if spindle.control == "program" else self.hand_on
        if not on:
            if not self.no_spindle:
                self.no_spindle = True
                yield self.find("spindle-off", move.line, "a cut while the spindle is off", at=move.end)
            return
        self.no_spindle = False
        if spindle.control == "hand":
            return
        if self.spun_up_s < spindle.spin_up_s * PATIENCE:
            text = f"a cut {self.spun_up_s:g} s after the spindle was switched on (it needs {spindle.spin_up_s:g})"
            at, passed = move.end, self.spun_up_s
            yield self.find("spin-up", move.line, text, at=at, measure=passed, limit=spindle.spin_up_s)
            self.spun_up_s = spindle.spin_up_s
        if tool.rpm_max is not None and move.rpm > tool.rpm_max + RPM_SLACK:
            text = f"T{tool.number} at {move.rpm:g} rpm, it may turn at {tool.rpm_max:g}"
            yield self.find("rpm", move.line, text, at=move.end, measure=move.rpm, limit=tool.rpm_max)

    # -- the end -------------------------------------------------------------------------------------------

    def finish(self, reading: Reading) -> Iterator[Finding]:
        if self.hand_on and self.setup.machine.spindle.control == "hand":
            yield self.find("spindle-left-on", 0, "the end comes before the stop that says 'switch off'")
        ends = [event for event in reading.events if event.kind == "end"]
        wanted = int(self.setup.machine.dialect.end_word[1:])
        if ends and int(ends[-1].value) != wanted:
            text = f"M{ends[-1].value:g}, this machine's programs end with M{wanted}"
            yield self.find("end-word", ends[-1].line, text, severity="error")


def _reach(move: Move) -> tuple[Sequence[float], Sequence[float]]:
    """Lowest and highest coordinates of the tip; NaN (which exceeds nothing) where a place is not known."""
    if any(map(isnan, move.start)):
        return move.end, move.end
    if move.centre is None:
        return [*map(min, move.start, move.end)], [*map(max, move.start, move.end)]
    pieces = list(straightened(move))
    boxes = [extent(piece) for piece in pieces]
    heights = [z for piece in pieces for z in (piece.start[2], piece.end[2])]
    xs, ys, right, high = zip(*boxes, strict=True)
    return (min(xs), min(ys), min(heights)), (max(right), max(high), max(heights))
