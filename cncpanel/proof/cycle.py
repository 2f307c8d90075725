"""Canned cycles in the XY plane as the moves they stand for. Source: NISTIR 6556 section 3.5.16."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import isnan
from typing import Literal, NamedTuple

from cncpanel.proof.expression import whole
from cncpanel.proof.modal import g_name
from cncpanel.proof.modes import UNKNOWN
from cncpanel.proof.motion import Point3
from cncpanel.proof.record import Record
from cncpanel.proof.words import Block

MOST_REPEATS = 10_000  # holes of one cycle line; more is a slip of the pen or an attack

BACK_OFF = 0.254  # mm; G83 returns to this far above the hole's bottom (from memory: 0.010 inch in the NIST source)
SIMULATED = frozenset({810, 820, 830, 850, 890})


class Stroke(NamedTuple):
    """One straight move of a cycle to an absolute place, or a dwell where `kind` says so (seconds in `z`)."""

    kind: Literal["rapid", "feed", "dwell"]
    x: float
    y: float
    z: float


def strokes(
    code: int,
    *,
    start: Point3,
    hole: tuple[float, float],
    bottom: float,
    retract: float,
    clear: float,
    dwell: float,
    peck: float,
) -> Iterator[Stroke]:
    """One hole at `hole`: from `start` down to `bottom` and out to `clear`; `retract` is the R plane."""
    x, y = hole
    if start[2] < retract:
        yield Stroke("rapid", start[0], start[1], retract)
    height = max(start[2], retract)
    yield Stroke("rapid", x, y, height)
    if height != retract:
        yield Stroke("rapid", x, y, retract)
    if code == 830:
        yield from _pecks(x, y, retract, bottom, clear, peck)
    else:
        yield Stroke("feed", x, y, bottom)
    if code in (820, 890) and dwell:
        yield Stroke("dwell", x, y, dwell)
    if code in (850, 890):
        yield Stroke("feed", x, y, retract)
        if clear != retract:
            yield Stroke("rapid", x, y, clear)
    else:
        yield Stroke("rapid", x, y, clear)


def _pecks(x: float, y: float, retract: float, bottom: float, clear: float, peck: float) -> Iterator[Stroke]:
    depth = retract - peck
    while depth > bottom:
        yield Stroke("feed", x, y, depth)
        yield Stroke("rapid", x, y, clear)
        yield Stroke("rapid", x, y, depth + BACK_OFF)
        depth -= peck
    yield Stroke("feed", x, y, bottom)


@dataclass(slots=True)
class Cycles:
    """Runs cycle lines; `target` gives a line's end in base coordinates."""

    record: Record
    target: Callable[[Block], Point3]

    def line(self, code: int, block: Block) -> None:
        """Run the line's holes, or tell why not."""
        modes = self.record.modes
        if code not in SIMULATED or modes.plane != "xy":
            self.record.not_simulated(
                f"{g_name(code)} in the {modes.plane.upper()} plane", block.columns.get(f"g{code}", 0)
            )
            modes.position = UNKNOWN
            return
        if modes.cycle != code:
            modes.sticky.clear()
            modes.cycle = code
        for letter in "rzpq":
            if letter in block.values:
                modes.sticky[letter] = block.values[letter]
        if self._allowed(code, block):
            self._holes(code, block)

    def _allowed(self, code: int, block: Block) -> bool:
        modes, sticky, before = self.record.modes, self.record.modes.sticky, len(self.record.out)
        name = g_name(code)
        needed = {"r": "R", "z": "Z"} | ({"p": "P"} if code in (820, 890) else {}) | ({"q": "Q"} if code == 830 else {})
        for letter, word in needed.items():
            if letter not in sticky:
                self.record.find("cycle-word", f"{name} without {word}")
        if modes.inverse_time:
            self.record.find("cycle-feed-mode", f"{name} with G93")
        if not modes.incremental and "r" in sticky and "z" in sticky and sticky["r"] < sticky["z"]:
            self.record.find("cycle-r", f"{name}: R lies below Z")
        if any(isnan(value) for value in modes.position):
            self.record.find("position-unknown", f"{name} from a place that is not known")
        if modes.feed <= 0:
            self.record.find("no-feed", f"{name} without a feed", severity="safety")
        if block.values.get("l", 1.0) > MOST_REPEATS:
            self.record.find("cycle-repeats", f"{name}: L{block.values['l']:g} (at most {MOST_REPEATS})")
        return len(self.record.out) == before

    def _holes(self, code: int, block: Block) -> None:
        """All repeats of one line; X, Y and R count from here with G91, Z from R."""
        modes, sticky = self.record.modes, self.record.modes.sticky
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
                    self.record.event("dwell", stroke.z)
                else:
                    self.record.go(stroke.kind, (stroke.x, stroke.y, stroke.z))
