"""Carrying out one line after another: the order of execution of NISTIR 6556, table 8.

What is not simulated (cutter radius compensation, probing, some cycles, going home) is a safety finding, for
what follows is not known.
"""

from dataclasses import dataclass, field
from math import isnan, nan

from cncpanel.proof.arc import RADIUS_MATCH, RADIUS_MATCH_INCH, Arc, Wrong, by_centre, by_radius
from cncpanel.proof.control import Control
from cncpanel.proof.cycle import SIMULATED, strokes
from cncpanel.proof.expression import whole
from cncpanel.proof.finding import Finding, Severity
from cncpanel.proof.modal import CYCLES, G_GROUP, g_name
from cncpanel.proof.modes import PREAMBLE, UNKNOWN, Modes
from cncpanel.proof.motion import Event, EventKind, Move, MoveKind, Point3
from cncpanel.proof.rules import acting_motion, has_axes
from cncpanel.proof.words import Block

MOST_REPEATS = 10_000  # holes of one cycle line; more is a slip of the pen or an attack
_PLANES = {170: "xy", 180: "xz", 190: "yz"}
_PLANE_LETTERS = {
    "xy": ("x", "y", "i", "j", "k"),
    "xz": ("z", "x", "k", "i", "j"),
    "yz": ("y", "z", "j", "k", "i"),
}
_AXIS = {"x": 0, "y": 1, "z": 2}
_WORK_SYSTEMS = frozenset({540, 550, 560, 570, 580, 590, 591, 592, 593})


@dataclass(slots=True)
class Executor:
    """The control's state and what it has done since it was last asked (`out`)."""

    control: Control
    modes: Modes = field(default_factory=Modes)
    out: list[Move | Event | Finding] = field(default_factory=list)
    count: int = 0
    at_line: int = 0
    ended: bool = False

    def find(
        self,
        kind: str,
        text: str,
        *,
        column: int = 0,
        severity: Severity = "error",
        measure: float | None = None,
        limit: float | None = None,
    ) -> None:
        x, y, z = (None if isnan(v) else v for v in self.modes.position)
        self.out.append(
            Finding(
                kind=kind,
                severity=severity,
                text=text,
                line=self.at_line,
                column=column,
                x=x,
                y=y,
                z=z,
                measure=measure,
                limit=limit,
            )
        )

    def not_simulated(self, what: str, column: int = 0) -> None:
        self.find("not-simulated", f"{what} is not simulated", column=column, severity="safety")

    def event(self, kind: EventKind, value: float = 0.0, text: str = "") -> None:
        self.out.append(Event(self.at_line, kind, self.count, value, text))

    def carry_out(self, block: Block) -> None:
        self.feed_and_speed(block)
        self.tool_and_spindle(block)
        if 40 in block.g:
            self.event("dwell", block.values["p"])
        self.settings(block)
        self.offsets(block)
        self.motion(block)
        self.stops(block)

    def feed_and_speed(self, block: Block) -> None:
        modes = self.modes
        for code in block.g:
            if code in (930, 940):
                modes.inverse_time = code == 930
                modes.stated.add("feed mode")
        if "f" in block.values:
            modes.feed = block.values["f"]
        if "s" in block.values:
            modes.rpm = block.values["s"]
            self.event("speed", modes.rpm)
        if "t" in block.values:
            modes.selected = int(block.values["t"])
            self.event("tool named", modes.selected)

    def tool_and_spindle(self, block: Block) -> None:
        modes = self.modes
        if 6 in block.m:
            modes.tool, modes.spindle_on = modes.selected, False
            self.event("change", modes.tool)
        elif "t" in block.values and not modes.moved and not modes.tool:
            modes.tool = modes.selected
        for code in block.m:
            if code in (3, 4):
                modes.spindle_on, modes.clockwise = True, code == 3
                self.event("spindle on", modes.rpm)
            elif code == 5:
                modes.spindle_on = False
                self.event("spindle off")

    def settings(self, block: Block) -> None:
        modes = self.modes
        for code in block.g:
            if code in _PLANES:
                modes.plane = _PLANES[code]
            elif code in (200, 210):
                modes.inch = code == 200
            elif code in (410, 420):
                self.not_simulated("cutter radius compensation", block.columns.get(f"g{code}", 0))
            elif code == 430:
                modes.length_offset = int(block.values["h"])
            elif code == 490:
                modes.length_offset = 0
            elif code in _WORK_SYSTEMS:
                self.work_system(code)
            elif code in (900, 910):
                modes.incremental = code == 910
            elif code in (980, 990):
                modes.to_old_z = code == 980
            modes.stated.add(G_GROUP[code])

    def work_system(self, code: int) -> None:
        known = self.control.work_system or self.modes.work_system or code
        self.modes.work_system = code
        if code != known:
            text = f"{g_name(code)}: where its zero lies is not known (this program's zero is {g_name(known)})"
            self.find("work-system", text, severity="safety")

    def offsets(self, block: Block) -> None:
        for code in block.g:
            if code in (280, 300):
                self.not_simulated(f"{g_name(code)} (going home)", block.columns.get(f"g{code}", 0))
                self.modes.position = UNKNOWN
            elif code == 100:
                self.not_simulated("G10 (setting a work offset)", block.columns.get("g100", 0))
            elif code in (920, 921, 922, 923):
                self.g92(code, block)

    def g92(self, code: int, block: Block) -> None:
        modes = self.modes
        self.event("offset", code)
        if code == 920:
            modes.shift = modes.kept_shift = tuple(  # type: ignore[assignment]
                modes.position[i] - block.values[axis] * modes.scale if axis in block.values else modes.shift[i]
                for axis, i in _AXIS.items()
            )
        elif code == 923:
            modes.shift = modes.kept_shift
        else:
            modes.kept_shift = (0.0, 0.0, 0.0) if code == 921 else modes.shift
            modes.shift = (0.0, 0.0, 0.0)

    def stops(self, block: Block) -> None:
        text = block.comment
        for code in block.m:
            if code in (0, 1, 60):
                self.event("optional stop" if code == 1 else "stop", text=text)
                self.modes.position = UNKNOWN  # a person may have moved the tool
            elif code in (2, 30):
                self.event("end", code)
                self.ended = True

    # -- motion --------------------------------------------------------------------------------------------

    def motion(self, block: Block) -> None:
        modes = self.modes
        acting = acting_motion(block, modes.motion)
        explicit = next((code for code in block.g if G_GROUP[code] == "motion"), None)
        if explicit is not None:
            modes.motion = explicit
        if explicit == 800 or (explicit is not None and explicit not in CYCLES):
            modes.cycle = None
            modes.sticky.clear()
        if 530 in block.g:
            self.check_g53(acting, block)
        if acting is None or acting == 800 or not has_axes(block):
            return
        self.preamble()
        if any(axis in block.values for axis in "abc"):
            self.not_simulated("a turning axis")
        elif acting in (0, 10):
            self.straight(acting, block)
        elif acting in (20, 30):
            self.arc(acting, block)
        elif acting in CYCLES:
            self.cycle(acting, block)
        else:
            self.not_simulated("probing", block.columns.get("g382", 0))

    def preamble(self) -> None:
        missing = [group for group in PREAMBLE if group not in self.modes.stated]
        if missing and not self.modes.moved:
            self.find("preamble", f"motion before {', '.join(missing)} was stated")
        self.modes.moved = True

    def check_g53(self, acting: int | None, block: Block) -> None:
        column = block.columns.get("g530", 0)
        if acting not in (0, 10):
            self.find("g53", "G53 without G0 or G1", column=column)
        if self.modes.incremental:
            self.find("g53", "G53 with incremental distances", column=column)

    def target(self, block: Block) -> Point3:
        """The line's end, base coordinates."""
        modes, end = self.modes, list(self.modes.position)
        zero = self.control.machine_zero
        for axis, i in _AXIS.items():
            if axis not in block.values:
                continue
            value = block.values[axis] * modes.scale
            if 530 in block.g:
                end[i] = value - zero[i] if zero is not None else nan
            elif modes.incremental:
                end[i] += value
            else:
                end[i] = value + modes.shift[i]
        return end[0], end[1], end[2]

    def straight(self, code: int, block: Block) -> None:
        end = self.target(block)
        if code == 10 and not self.has_feed(block, "G1"):
            self.modes.position = end
            return
        self.go("rapid" if code == 0 else "feed", end, machine=530 in block.g)

    def has_feed(self, block: Block, what: str) -> bool:
        """Whether a feed is in force; tells where none is."""
        if self.modes.inverse_time and "f" not in block.values:
            self.find("no-feed", f"{what} without F on the line (G93)", severity="safety")
            return False
        if self.modes.feed <= 0:
            self.find("no-feed", f"{what} without a feed", severity="safety")
            return False
        return True

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
        modes = self.modes
        move = Move(
            self.at_line, kind, modes.position, end, 0.0, modes.rpm, modes.spindle_on, modes.tool, centre, turn,
            sweep, modes.plane, machine, modes.length_offset,
        )  # fmt: skip
        feed = 0.0 if kind == "rapid" else modes.feed * (move.length if modes.inverse_time else modes.scale)
        self.out.append(move._replace(feed=feed))
        self.count += 1
        modes.position = end

    def arc(self, code: int, block: Block) -> None:
        end = self.target(block)
        found = self.arc_of(code, block, end) if self.has_feed(block, g_name(code)) else None
        if isinstance(found, Wrong):
            self.find(found.kind, found.text, severity="error", measure=found.measure, limit=found.limit)
        if not isinstance(found, Arc):
            self.modes.position = end
            return
        first, second = (_AXIS[letter] for letter in _PLANE_LETTERS[self.modes.plane][:2])
        centre = list(self.modes.position)
        centre[first], centre[second] = found.centre
        self.go(
            "arc",
            end,
            centre=(centre[0], centre[1], centre[2]),
            turn=1 if code == 30 else -1,
            sweep=found.sweep,
        )

    def arc_of(self, code: int, block: Block, end: Point3) -> Arc | Wrong | None:
        """The arc that the words make, what is wrong with it, or None where the start is not known."""
        modes, values = self.modes, block.values
        first, second, along_first, along_second, forbidden = _PLANE_LETTERS[modes.plane]
        if first not in values and second not in values:
            return Wrong("arc-axes", f"an arc in {modes.plane.upper()} without {first.upper()} or {second.upper()}")
        if forbidden in values:
            return Wrong("arc-offset", f"{forbidden.upper()} in an arc of the {modes.plane.upper()} plane")
        centred = along_first in values or along_second in values
        if not centred and "r" not in values:
            return Wrong("arc-missing", "an arc without R and without its centre")
        if centred and "r" in values:
            return Wrong("arc-mixed", "an arc with R and with its centre")
        here = modes.position[_AXIS[first]], modes.position[_AXIS[second]]
        there = end[_AXIS[first]], end[_AXIS[second]]
        if any(isnan(value) for value in here + there):
            return Wrong("position-unknown", "an arc from a place that is not known")
        turn = 1 if code == 30 else -1
        if not centred:
            return by_radius(here, there, values["r"] * modes.scale, turn)
        offset = values.get(along_first, 0.0) * modes.scale, values.get(along_second, 0.0) * modes.scale
        return by_centre(here, there, offset, turn, RADIUS_MATCH_INCH if modes.inch else RADIUS_MATCH)

    # -- canned cycles -------------------------------------------------------------------------------------

    def cycle(self, code: int, block: Block) -> None:
        modes = self.modes
        if code not in SIMULATED or modes.plane != "xy":
            self.not_simulated(f"{g_name(code)} in the {modes.plane.upper()} plane", block.columns.get(f"g{code}", 0))
            modes.position = UNKNOWN
            return
        if modes.cycle != code:
            modes.sticky.clear()
            modes.cycle = code
        for letter in "rzpq":
            if letter in block.values:
                modes.sticky[letter] = block.values[letter]
        if self.cycle_allowed(code, block):
            self.holes(code, block)

    def cycle_allowed(self, code: int, block: Block) -> bool:
        modes, sticky, before = self.modes, self.modes.sticky, len(self.out)
        name = g_name(code)
        needed = {"r": "R", "z": "Z"} | ({"p": "P"} if code in (820, 890) else {}) | ({"q": "Q"} if code == 830 else {})
        for letter, word in needed.items():
            if letter not in sticky:
                self.find("cycle-word", f"{name} without {word}")
        if modes.inverse_time:
            self.find("cycle-feed-mode", f"{name} with G93")
        if not modes.incremental and "r" in sticky and "z" in sticky and sticky["r"] < sticky["z"]:
            self.find("cycle-r", f"{name}: R lies below Z")
        if any(isnan(value) for value in modes.position):
            self.find("position-unknown", f"{name} from a place that is not known")
        if modes.feed <= 0:
            self.find("no-feed", f"{name} without a feed", severity="safety")
        if block.values.get("l", 1.0) > MOST_REPEATS:
            self.find("cycle-repeats", f"{name}: L{block.values['l']:g} (at most {MOST_REPEATS})")
        return len(self.out) == before

    def holes(self, code: int, block: Block) -> None:
        """All repeats of one line; X, Y and R count from here with G91, Z from R."""
        modes, sticky = self.modes, self.modes.sticky
        old_z = modes.position[2]
        relative = modes.incremental
        retract = sticky["r"] * modes.scale + (old_z if relative else modes.shift[2])
        bottom = sticky["z"] * modes.scale + (retract if relative else modes.shift[2])
        clear = max(retract, old_z) if modes.to_old_z else retract
        for _ in range(whole(block.values.get("l", 1.0)) or 1):
            x, y, _z = self.target(block)
            for stroke in strokes(
                code,
                start=modes.position,
                hole=(x, y),
                bottom=bottom,
                retract=retract,
                clear=clear,
                dwell=sticky.get("p", 0.0),
                peck=sticky.get("q", 0.0) * modes.scale,
            ):
                if stroke.kind == "dwell":
                    self.event("dwell", stroke.z)
                else:
                    self.go(stroke.kind, (stroke.x, stroke.y, stroke.z))
