"""A line of a canned cycle: its words checked, kept for the lines that follow, and its holes made."""

from collections.abc import Callable
from dataclasses import dataclass
from math import isnan

from cncpanel.proof.cycle import DWELLING, MOST_STROKES, TURNING, Hole, Stroke, strokes
from cncpanel.proof.expression import whole
from cncpanel.proof.modal import g_name
from cncpanel.proof.motion import PLANE_AXES, Point3
from cncpanel.proof.record import Record
from cncpanel.proof.words import Block

_OFFSET = "ijk"  # the offset letter of each axis
_STICKY = "rpqijk"


@dataclass(slots=True)
class CycleLine:
    """Runs cycle lines; `target` gives a line's end in base coordinates."""

    record: Record
    target: Callable[[Block], Point3]

    def run(self, code: int, block: Block) -> None:
        """Make the line's holes, or tell why not."""
        modes = self.record.modes
        if modes.cycle != code:
            modes.sticky.clear()
            modes.cycle = code
        for letter in _STICKY + self.along:
            if letter in block.values:
                modes.sticky[letter] = block.values[letter]
        if self._allowed(code, block):
            self._holes(code, block)

    @property
    def along(self) -> str:
        """The letter of the plane's normal: the word that gives the hole's depth."""
        return "xyz"[PLANE_AXES[self.record.modes.plane][2]]

    def _allowed(self, code: int, block: Block) -> bool:
        before = len(self.record.out)
        self._words(code)
        self._state(code)
        name = g_name(code)
        if len(self.record.out) == before:
            repeats = block.values.get("l", 1.0)
            pecks = self._hole(code, (0.0, 0.0), self._old_w).pecks
            if repeats * (3 * pecks + 4) > MOST_STROKES:
                text = f"{name}: {repeats:.10g} times {pecks} bites (at most {MOST_STROKES} moves a line)"
                self.record.find("cycle-repeats", text, words="l q")
        return len(self.record.out) == before

    def _words(self, code: int) -> None:
        modes, name = self.record.modes, g_name(code)
        needed = ["r", self.along]
        needed += ["p"] if code in DWELLING else []
        needed += ["q"] if code == 830 else []
        needed += ["i", "j", "k"] if code == 870 else []
        for letter in needed:
            if letter not in modes.sticky:
                self.record.find("cycle-word", f"{name} without {letter.upper()}", words=f"g{code}")
        retract, depth = modes.sticky.get("r"), modes.sticky.get(self.along)
        if not modes.incremental and retract is not None and depth is not None and retract < depth:
            self.record.find("cycle-r", f"{name}: R lies below {self.along.upper()}", words="r")

    def _state(self, code: int) -> None:
        modes, name = self.record.modes, g_name(code)
        if modes.inverse_time:
            self.record.find("cycle-feed-mode", f"{name} with G93", words=f"g{code}")
        if any(isnan(value) for value in modes.position):
            self.record.find("position-unknown", f"{name} from a place that is not known", words=f"g{code}")
        if modes.feed <= 0:
            self.record.find("no-feed", f"{name} without a feed", words=f"g{code}", severity="safety")
        if code in TURNING and not modes.turn:
            self.record.find("cycle-spindle", f"{name} while the spindle stands", words=f"g{code}")
        elif code == 840 and modes.turn != 1:
            self.record.find("cycle-spindle", f"{name} while the spindle does not turn clockwise", words=f"g{code}")

    @property
    def _old_w(self) -> float:
        return self.record.modes.position[PLANE_AXES[self.record.modes.plane][2]]

    def _hole(self, code: int, place: tuple[float, float], old_w: float) -> Hole:
        """The hole at `place`: R counts from here with G91, the depth from R, G87's middle from the depth."""
        modes, sticky = self.record.modes, self.record.modes.sticky
        first, second, normal = PLANE_AXES[modes.plane]
        relative, scale, base = modes.incremental, modes.scale, modes.shift[normal] + modes.zero[normal]
        retract = sticky["r"] * scale + (old_w if relative else base)
        bottom = sticky[self.along] * scale + (retract if relative else base)
        aside = [sticky.get(_OFFSET[axis], 0.0) * scale for axis in (first, second)]
        return Hole(
            place=place,
            bottom=bottom,
            retract=retract,
            clear=max(retract, old_w) if modes.to_old_z else retract,
            dwell=sticky.get("p", 0.0),
            peck=sticky.get("q", 0.0) * scale,
            aside=(place[0] + aside[0], place[1] + aside[1]),
            middle=sticky.get(_OFFSET[normal], 0.0) * scale + (bottom if relative else base),
            turn=modes.turn,
        )

    def _holes(self, code: int, block: Block) -> None:
        """All repeats of one line; with G91 each goes on from the one before."""
        first, second, normal = PLANE_AXES[self.record.modes.plane]
        old_w = self._old_w
        for _ in range(whole(block.values.get("l", 1.0)) or 1):
            end = self.target(block)
            here = self.record.modes.position
            hole = self._hole(code, (end[first], end[second]), old_w)
            for stroke in strokes(code, hole, (here[first], here[second], here[normal])):
                self._stroke(stroke)

    def _stroke(self, stroke: Stroke) -> None:
        modes = self.record.modes
        if stroke.kind == "dwell":
            self.record.event("dwell", stroke.w)
        elif stroke.kind == "turn":
            self.record.turn(int(stroke.w))
        elif stroke.kind == "stop":
            self.record.event("stop", text="RETRACT BY HAND")
        elif stroke.kind == "lifted":
            modes.position = self._point(stroke)
        else:
            self.record.go(stroke.kind, self._point(stroke))

    def _point(self, stroke: Stroke) -> Point3:
        point = [0.0, 0.0, 0.0]
        for axis, value in zip(PLANE_AXES[self.record.modes.plane], (stroke.u, stroke.v, stroke.w), strict=True):
            point[axis] = value
        return point[0], point[1], point[2]
