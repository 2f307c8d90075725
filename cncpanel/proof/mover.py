"""Motion of one line: rapids, straight cuts, arcs, and where a canned cycle's holes are."""

from dataclasses import dataclass
from math import dist, isnan, nan

from cncpanel.proof.arc import RADIUS_MATCH, RADIUS_MATCH_INCH, Arc, Wrong, by_centre, by_radius
from cncpanel.proof.control import Control
from cncpanel.proof.cycle_line import CycleLine
from cncpanel.proof.modal import CYCLES, G_GROUP, g_name
from cncpanel.proof.modes import PREAMBLE
from cncpanel.proof.motion import Point3
from cncpanel.proof.record import Record
from cncpanel.proof.rules import acting_motion, has_axes
from cncpanel.proof.words import Block

_PLANE_LETTERS = {"xy": ("x", "y", "i", "j", "k"), "xz": ("z", "x", "k", "i", "j"), "yz": ("y", "z", "j", "k", "i")}
FARTHEST = 100_000.0  # mm; a coordinate beyond it is a slip of the pen, and no arithmetic is tried on it
NEAREST_PROBE = 0.254  # mm; a probe starts at least this far away, 0.01 inch (checklist M5)
AXIS = {"x": 0, "y": 1, "z": 2}


@dataclass(slots=True)
class Mover:
    """Carries out the motion words of one line after another."""

    control: Control
    record: Record

    def motion(self, block: Block) -> None:
        """Run the line's motion, after everything else of it but stops and the end."""
        modes = self.record.modes
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
        if acting == 382:
            self.probe(block)
        elif any(axis in block.values for axis in "abc"):
            self.record.not_simulated(
                "a turning axis", min(block.columns[axis] for axis in "abc" if axis in block.values)
            )
        elif acting in (0, 10):
            self.straight(acting, block)
        elif acting in (20, 30):
            self.arc(acting, block)
        else:
            CycleLine(self.record, self.target).run(acting, block)

    def probe(self, block: Block) -> None:
        """G38.2: its rules (checklist M5); where the tool stops nobody knows here."""
        modes, end = self.record.modes, self.target(block)
        column = block.columns.get("g382", 0)
        wrong = []
        if any(axis in block.values for axis in "abc"):
            wrong.append("a turning axis")
        if modes.inverse_time:
            wrong.append("G93")
        if not any(axis in block.values for axis in AXIS):
            wrong.append("neither X, Y nor Z")
        elif dist(modes.position, end) < NEAREST_PROBE:
            wrong.append(f"a way under {NEAREST_PROBE:g} mm")
        for what in wrong:
            self.record.find("probe", f"G38.2 with {what}", column=column)
        if modes.feed <= 0:
            self.record.find("no-feed", "G38.2 without a feed", column=column, severity="safety")
        self.record.not_simulated("probing", column)

    def preamble(self) -> None:
        missing = [group for group in PREAMBLE if group not in self.record.modes.stated]
        if missing and not self.record.modes.moved:
            self.record.find("preamble", f"motion before {', '.join(missing)} was stated")
        self.record.modes.moved = True

    def check_g53(self, acting: int | None, block: Block) -> None:
        column = block.columns.get("g530", 0)
        if acting not in (0, 10):
            self.record.find("g53", "G53 without G0 or G1", column=column)
        if self.record.modes.incremental:
            self.record.find("g53", "G53 with incremental distances", column=column)

    def target(self, block: Block) -> Point3:
        """The line's end, base coordinates."""
        modes, end = self.record.modes, list(self.record.modes.position)
        zero = self.control.machine_zero
        for axis, i in AXIS.items():
            if axis not in block.values:
                continue
            value = block.values[axis] * modes.scale
            if 530 in block.g:
                end[i] = value - zero[i] if zero is not None else nan
            elif modes.incremental:
                end[i] += value
            else:
                end[i] = value + modes.shift[i] + modes.zero[i]
        return self._within(end)

    def _within(self, end: list[float]) -> Point3:
        """The place, but not known where no machine could go."""
        if abs(end[0]) > FARTHEST or abs(end[1]) > FARTHEST or abs(end[2]) > FARTHEST:
            text = f"a place more than {FARTHEST / 1000:g} m from the zero"
            words = " ".join(letter for letter, i in AXIS.items() if abs(end[i]) > FARTHEST)
            self.record.find("beyond-reason", text, words=words, severity="safety", limit=FARTHEST)
            end = [nan if abs(value) > FARTHEST else value for value in end]
        return end[0], end[1], end[2]

    def straight(self, code: int, block: Block) -> None:
        end = self.target(block)
        if code == 10 and not self.has_feed(block, "G1"):
            self.record.modes.position = end
            return
        self.record.go("rapid" if code == 0 else "feed", end, machine=530 in block.g)

    def has_feed(self, block: Block, what: str) -> bool:
        """Whether a feed is in force; tells where none is."""
        words = f"f g{round(10 * float(what[1:]))}"
        if self.record.modes.inverse_time and "f" not in block.values:
            self.record.find("no-feed", f"{what} without F on the line (G93)", words=words, severity="safety")
            return False
        if self.record.modes.feed <= 0:
            self.record.find("no-feed", f"{what} without a feed", words=words, severity="safety")
            return False
        return True

    def arc(self, code: int, block: Block) -> None:
        end = self.target(block)
        found = self.arc_of(code, block, end) if self.has_feed(block, g_name(code)) else None
        if isinstance(found, Wrong):
            words = f"{found.word} g{code}"
            self.record.find(
                found.kind, found.text, words=words, severity="error", measure=found.measure, limit=found.limit
            )
        if not isinstance(found, Arc):
            self.record.modes.position = end
            return
        first, second = (AXIS[letter] for letter in _PLANE_LETTERS[self.record.modes.plane][:2])
        centre = list(self.record.modes.position)
        centre[first], centre[second] = found.centre
        self.record.go(
            "arc",
            end,
            centre=(centre[0], centre[1], centre[2]),
            turn=1 if code == 30 else -1,
            sweep=found.sweep,
        )

    def arc_of(self, code: int, block: Block, end: Point3) -> Arc | Wrong | None:
        """The arc that the words make, what is wrong with it, or None where the start is not known."""
        modes, values = self.record.modes, block.values
        first, second, along_first, along_second, forbidden = _PLANE_LETTERS[modes.plane]
        if first not in values and second not in values:
            return Wrong("arc-axes", f"an arc in {modes.plane.upper()} without {first.upper()} or {second.upper()}")
        if forbidden in values:
            return Wrong(
                "arc-offset", f"{forbidden.upper()} in an arc of the {modes.plane.upper()} plane", word=forbidden
            )
        centred = along_first in values or along_second in values
        if not centred and "r" not in values:
            return Wrong("arc-missing", "an arc without R and without its centre")
        if centred and "r" in values:
            return Wrong("arc-mixed", "an arc with R and with its centre", word="r")
        here = modes.position[AXIS[first]], modes.position[AXIS[second]]
        there = end[AXIS[first]], end[AXIS[second]]
        if any(isnan(value) for value in here + there):
            return Wrong("position-unknown", "an arc from a place that is not known")
        reach = max(abs(values.get(letter, 0.0)) * modes.scale for letter in (along_first, along_second, "r"))
        if reach > FARTHEST:
            return Wrong("beyond-reason", f"an arc of more than {FARTHEST / 1000:g} m", reach, FARTHEST)
        turn = 1 if code == 30 else -1
        if not centred:
            return by_radius(here, there, values["r"] * modes.scale, turn)
        offset = values.get(along_first, 0.0) * modes.scale, values.get(along_second, 0.0) * modes.scale
        return by_centre(here, there, offset, turn, RADIUS_MATCH_INCH if modes.inch else RADIUS_MATCH)
