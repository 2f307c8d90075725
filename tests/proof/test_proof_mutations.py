"""Planted faults by the hundred: whatever spoils the part or breaks a rule, the witness must find.

What a mutated program does is reckoned here by a road of its own: a small interpreter, swept areas by buffers, and
the drawing in plain numbers. A mutation that leaves the part within 0.05 mm and breaks no rule need not be found.
"""

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from math import atan2, ceil, cos, hypot, pi, sin, tan

import pytest
import shapely
from law_examples import TIMES
from proof_scene import good_text, judge, machine

from cncpanel.machine.model import Machine

MUTATIONS = 200 if TIMES > 1 else 64
ELSEWHERE = 200 if TIMES > 1 else 20  # on each of the other machines
RADII = {"G21": 0.002, "G20": 0.00509}  # mm; 0.002 mm or 0.0002 in (NISTIR 6556, 3.5.3), and a rounding
SEED = 2026
ALLOWED = 0.05  # mm; what a mutation may change the part by
WORD = re.compile(r"([A-Z])(-?\d+\.?\d*)")
FIT = re.compile(r"\(MSG,FIT T(\d+)")
QUARTER = 16  # chords of a quarter turn: within 0.004 mm for these tools
STEP = 0.05  # radians of an arc's chords: within 0.001 mm for these arcs

# -- the drawing: a plate 100 x 60 x 18 at (50, 50), all depths from its top -------------------------------------------

PLATE = shapely.box(50, 50, 150, 110)
RECESS = shapely.box(74, 69, 106, 91).buffer(4, quad_segs=QUARTER)  # 40 x 30 at (70, 65), corners of 4
HOLE = shapely.Point(130, 80).buffer(2.5, quad_segs=QUARTER)
KERF = PLATE.buffer(6, join_style="mitre").difference(PLATE)
TABS = shapely.union_all([shapely.box(76, 44, 84, 50), shapely.box(116, 110, 124, 116)])
THICK, FLOOR, TAB_TOP = 18.0, 6.0, 15.5
RADIUS = {1: 3.0, 2: 2.0, 3: 2.5, 4: 3.0}
POINT = tan(59 * pi / 180)  # the drill's: 118 degrees
NEXT_TO_WALL = PLATE.buffer(1.0, quad_segs=QUARTER).difference(PLATE)


@pytest.mark.parametrize("subject", ["millimetres", "inches", "by hand", "changer"])
def test_the_drawing_is_what_the_good_program_makes(subject: str) -> None:
    assert faults(SUBJECTS[subject].text, subject) == ()
    assert list(map(str, judge(SUBJECTS[subject].text, on=SUBJECTS[subject].on).findings)) == []


# -- a small control -------------------------------------------------------------------------------------------------

Place = tuple[float, float, float]


@dataclass
class Way:
    """A cut as a chain of places, with its tool."""

    tool: int
    places: list[Place]

    def below(self, depth: float) -> list[tuple[Place, Place]]:
        """The stretches that lie at least so deep under the top."""
        found = []
        for one, other in pairwise(self.places):
            high, low = (one, other) if one[2] >= other[2] else (other, one)
            if low[2] > -depth:
                continue
            if high[2] > -depth:
                share = (-depth - low[2]) / (high[2] - low[2])
                high = tuple(a + (b - a) * share for a, b in zip(low, high, strict=True))
            found.append((low, high))
        return found

    def swept(self, depth: float) -> shapely.Geometry:
        """What it has cleared at the depth."""
        if all(z <= -depth for _, _, z in self.places) and self.tool != 3:
            return chain(self.places).buffer(RADIUS[self.tool], quad_segs=QUARTER)
        shapes = []
        for low, high in self.below(depth):
            radius = RADIUS[self.tool]
            if self.tool == 3:
                radius = min(radius, (-low[2] - depth) * POINT)
            if radius > 0:
                shapes.append(chain([low, high]).buffer(radius, quad_segs=QUARTER))
        return shapely.union_all(shapes)


def chain(places: list[Place]) -> shapely.Geometry:
    """The way seen from above."""
    flat = [place[:2] for place in places]
    return shapely.Point(flat[0]) if len(set(flat)) == 1 else shapely.LineString(flat)


@dataclass
class Control:
    """What is in force; `broken` tells the rules that were broken. Where nothing is known a place is None."""

    at: list[float | None] = field(default_factory=lambda: [None, None, None])
    motion: str = ""
    feed: float = 0.0
    speed: float = 0.0
    spinning: bool = False
    waited: float = 0.0
    tool: int = 0
    unit: float = 0.0
    ended: bool = False
    stated: set[str] = field(default_factory=set)
    ways: list[Way] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)
    to_fit: bool = False
    home_unit: str = "G21"
    by_hand: bool = False
    changer: bool = False
    waiting: int = 0
    offset: int = 0
    said: str = ""

    def run(self, text: str) -> "Control":
        for line in text.splitlines():
            if self.ended and line.strip():
                self.broken.append("something after the end")
            elif fit := FIT.match(line):
                self.tool, self.to_fit = int(fit[1]), True
            elif not line.startswith("("):
                self.line(line)
            elif "SWITCH" in line:
                self.said = "on" if " ON " in line else "off"
        if not self.ended:
            self.broken.append("no end")
        return self

    def line(self, line: str) -> None:
        words = WORD.findall(line)
        if "".join(a + b for a, b in words) != line.replace(" ", ""):
            self.broken.append(f"cannot be read: {line}")
            return
        codes = [letter + number for letter, number in words if letter in "GM"]
        values = {letter: float(number) for letter, number in words if letter not in "GM"}
        if len(values) + len(codes) != len(words):
            self.broken.append(f"a word twice: {line}")
            return
        self.modes(codes, values)
        if any(axis in values for axis in "XYZIJ") or {"G2", "G3"} & set(codes):
            self.move(codes, values)
        elif {"G0", "G1", "G53", "G81"} & set(codes):
            self.broken.append(f"no axis: {line}")
        self.stops(codes)

    def modes(self, codes: list[str], values: dict[str, float]) -> None:
        known = {
            *("G0", "G1", "G2", "G3", "G4", "G17", "G20", "G21", "G40", "G53", "G54", "G61", "G80", "G90", "G94"),
            *("M0", "M2", "M3", "M5", "M30"),
        }
        letters = set("XYZIJFSP")
        if self.changer:
            known, letters = known | {"M6", "G43", "G81", "G98"}, letters | set("THR")
        if set(codes) - known or set(values) - letters or ("G4" in codes) != ("P" in values):
            self.broken.append(f"words that do not belong here: {codes} {sorted(values)}")
        if len({"G0", "G1", "G2", "G3"} & set(codes)) > 1:
            self.broken.append("two motions")
        self.stated |= set(codes)
        if {"G20", "G21"} & set(codes) - {self.home_unit}:
            self.broken.append("another unit than the machine's")
        if self.by_hand and {"M3", "S"} & {*codes, *values}:
            self.broken.append("a spindle without a wire is switched by the program")
        self.unit = 25.4 if "G20" in codes else 1.0 if "G21" in codes else self.unit
        self.feed = values.get("F", self.feed)
        self.speed = values.get("S", self.speed)
        if "S" in values and not 6000 <= self.speed <= 24000:
            self.broken.append("a speed that the spindle has not")
        if "M3" in codes:
            self.spinning, self.waited = True, 0.0
        if "M5" in codes:
            self.spinning = False
            self.in_material("the spindle stops")
        if "G4" in codes:
            self.waited += values.get("P", 0.0)
            if not 0.1 <= values.get("P", 0.0) <= 20:
                self.broken.append("a dwell that nobody means")
        self.change(codes, values)
        for motion in ("G0", "G1", "G2", "G3", "G81"):
            self.motion = motion if motion in codes else self.motion
        if "G80" in codes:
            self.motion = ""

    def change(self, codes: list[str], values: dict[str, float]) -> None:
        """The tool that waits, the changer, and the length offset of the tool in the spindle."""
        self.waiting = int(values.get("T", self.waiting))
        if ("G43" in codes) != ("H" in values) or ("R" in values and "G81" not in codes):
            self.broken.append("a word without its code")
        if "M6" in codes:
            if self.waiting not in RADIUS:
                self.broken.append("a tool that is not in the rack")
            if self.spinning:
                self.broken.append("a change while the spindle turns")
            self.in_material("a change")
            self.tool = self.waiting
        if "G43" in codes:
            self.offset = int(values.get("H", 0))

    def in_material(self, what: str) -> None:
        if self.at[2] is not None and self.at[2] < 0:
            self.broken.append(f"{what} in the material")

    def stops(self, codes: list[str]) -> None:
        if "M0" in codes and self.by_hand and self.said:
            self.spinning, self.waited, self.said = self.said == "on", 10.0, ""
            self.in_material("a stop")
        elif {"M0", "M2", "M30"} & set(codes):
            self.in_material("a stop")
            if self.spinning:
                self.broken.append("a stop while the spindle turns")
            if self.at[2] is not None and self.at[2] < 5:
                self.broken.append("a stop lower than a clamp")
        if "M0" in codes:
            self.at, self.to_fit = [None, None, None], False
        self.ended = self.ended or bool({"M2", "M30"} & set(codes))
        if "M2" in codes:
            self.broken.append("another end than the machine's")

    def move(self, codes: list[str], values: dict[str, float]) -> None:
        if not {"G17", "G54", "G90", "G94"} <= self.stated or not self.unit:
            self.broken.append("a move before the modes are stated")
        if not self.motion:
            self.broken.append("no motion is in force")
            return
        start = list(self.at)
        end = [values[a] * (self.unit or 1) if a in values else old for a, old in zip("XYZ", start, strict=True)]
        if "G53" in codes:
            if values.get("Z", 1) != 0 or {"X", "Y"} & set(values) or self.motion != "G0":
                self.broken.append("machine coordinates other than Z0")
            end[2] = 80.0
        if self.motion == "G81":
            self.drill(start, end, values)
            return
        self.at = end
        beyond = [
            a for a, low, high in zip(end, (-50, -50, -36), (350, 250, 82), strict=True) if a and not low <= a <= high
        ]
        if beyond:
            self.broken.append("beyond the travel")
        elif self.motion == "G0":
            self.rapid(start, end, values)
        else:
            self.cut(start, end, values)

    def drill(self, start: list[float | None], end: list[float | None], values: dict[str, float]) -> None:
        """Over the hole, down to R, drilled to Z, up again to where it came from."""
        if not {"Z", "R"} <= set(values) or None in (*start, *end):
            self.broken.append("a cycle without its heights or its place")
            return
        x, y, low = end
        back, near = start[2], values["R"] * self.unit
        if near < low:
            self.broken.append("a cycle that drills upward")
        for motion, z in (("G0", back), ("G0", near), ("G1", low), ("G0", near), ("G0", max(back, near))):
            self.motion = motion
            self.move([], {"X": x / self.unit, "Y": y / self.unit, "Z": z / self.unit})
        self.motion = "G81"

    def rapid(self, start: list[float | None], end: list[float | None], values: dict[str, float]) -> None:
        if "I" in values or "J" in values:
            self.broken.append("a rapid with an arc's centre")
        if end[2] is None or (start[2] is None and {"X", "Y"} & set(values)):
            self.broken.append("sideways at a height that is not known")
            return
        low = min(end[2], end[2] if start[2] is None else start[2])
        if low >= 0:
            return
        if None in (*start, *end):
            self.broken.append("a rapid in the material from nowhere")
        elif self.would_cut([tuple(start), tuple(end)], -low):
            self.broken.append("a rapid through material")

    def would_cut(self, places: list[Place], depth: float) -> bool:
        if self.tool not in RADIUS:
            return True
        places = [(x, y, -depth) for x, y, _ in places]
        depth = max(depth - (RADIUS[3] / POINT if self.tool == 3 else 0), 0.0)
        area = Way(self.tool, places).swept(depth).buffer(-0.05)
        gone = shapely.union_all([way.swept(depth) for way in self.ways])
        return not area.difference(gone).is_empty

    def cut(self, start: list[float | None], end: list[float | None], values: dict[str, float]) -> None:
        if None in (*start, *end):
            self.broken.append("a cut from nowhere")
            return
        places = self.arc(start, end, values) if self.motion != "G1" else [tuple(start), tuple(end)]
        if self.motion == "G1" and ("I" in values or "J" in values):
            self.broken.append("a line with an arc's centre")
        feed, low = self.feed * (self.unit or 1), min(start[2], end[2])
        length = sum(hypot(*(a - b for a, b in zip(p, q, strict=True))) for p, q in pairwise(places))
        fall = abs(start[2] - end[2])
        if not feed > 0:
            self.broken.append("no feed")
        if length and (feed * fall / length > 2002 or feed * hypot(length, 0) / length > 6006):
            self.broken.append("faster than the machine")
        if low < 0:
            self.in_stock(places, start, end)

    def in_stock(self, places: list[Place], start: list[float | None], end: list[float | None]) -> None:
        if self.tool not in RADIUS:
            self.broken.append("a cut without a tool")
            return
        if self.changer and self.offset != self.tool:
            self.broken.append("another tool's length")
        if self.to_fit:
            self.broken.append("a tool that nobody was given time to fit")
        if not self.spinning or self.waited < 2.7:
            self.broken.append("a cut while the spindle stands or speeds up")
        if self.speed > (7000 if self.tool == 3 else 24000) and not self.by_hand:
            self.broken.append("a tool faster than it may turn")
        if min(start[2], end[2]) < -22 or min(start[2], end[2]) < -33:
            self.broken.append("deeper than the tool or the table allow")
        if self.tool == 1 and end[2] < start[2] and start[:2] == end[:2] and self.would_cut(places, -end[2]):
            self.broken.append("straight down with a tool that cannot")
        self.ways.append(Way(self.tool, places))

    def arc(self, start: list[float], end: list[float], values: dict[str, float]) -> list[Place]:
        if not {"I", "J"} & set(values) or not {"X", "Y"} & set(values):
            self.broken.append("an arc without centre or end")
            return [tuple(start), tuple(end)]
        x, y = start[0] + values.get("I", 0.0) * self.unit, start[1] + values.get("J", 0.0) * self.unit
        first, last = hypot(start[0] - x, start[1] - y), hypot(end[0] - x, end[1] - y)
        if abs(first - last) > RADII[self.home_unit]:
            self.broken.append("an arc whose radii differ")
            return [tuple(start), tuple(end)]
        begin = atan2(start[1] - y, start[0] - x)
        turn = atan2(end[1] - y, end[0] - x) - begin
        turn = turn % (2 * pi) if self.motion == "G3" else -(-turn % (2 * pi))
        turn = turn or (2 * pi if self.motion == "G3" else -2 * pi)
        steps = max(ceil(abs(turn) / STEP), 1)
        return [
            (
                x + first * cos(begin + turn * i / steps),
                y + first * sin(begin + turn * i / steps),
                start[2] + (end[2] - start[2]) * i / steps,
            )
            for i in range(steps + 1)
        ]


# -- the part that comes of it ---------------------------------------------------------------------------------------


# -- the subjects: one plate by programs of three kinds of machine -----------------------------------------------------


def in_inches(text: str) -> str:
    """The same program for a control of inches."""

    def converted(word: re.Match[str]) -> str:
        return f"{word[1]}{float(word[2]) / 25.4:.5f}"

    lines = [
        line if line.startswith("(") else re.sub(r"([XYZIJF])(-?\d+\.?\d*)", converted, line).replace("G21", "G20")
        for line in text.splitlines()
    ]
    return "\n".join(lines) + "\n"


def switched_by_hand(text: str) -> str:
    """The same program for a spindle without a wire: stops that say what to switch."""
    on = "G0 X0 Y190\n(MSG,SWITCH THE SPINDLE ON AND WAIT)\nM0\nG53 G0 Z0\n"
    off = "G0 X0 Y190\n(MSG,SWITCH THE SPINDLE OFF AND WAIT)\nM0\nG53 G0 Z0\n"
    text = re.sub(r"M3 S\d+\nG4 P[\d.]+\n", on, text)
    return re.sub(r"M5\n(G4 P[\d.]+\n)?", off, text)


def with_changer(text: str) -> str:
    """The same program for a changer with measured tools, the hole by a canned cycle."""
    text = re.sub(r"G0 X0 Y190\n\(MSG,FIT T(\d)[^)]*\)\nM0\n", r"T\1 M6\nG43 H\1\n", text)
    return re.sub(
        r"\(HOLE\)\n(G0 [^\n]*\n)+(G1 [^\n]*\n)+", "G0 X130 Y80\nG0 Z10\nG98 G81 X130 Y80 Z-20.1 R1 F300\nG80\n", text
    )


@dataclass(frozen=True)
class Subject:
    """A machine, the good program on it, and what this file's own control must know of it."""

    on: Machine
    text: str
    home_unit: str = "G21"
    by_hand: bool = False
    changer: bool = False


SUBJECTS = {
    "millimetres": Subject(machine(), good_text()),
    "inches": Subject(machine(dialect={"unit": "inch", "decimals": 5}), in_inches(good_text()), home_unit="G20"),
    "by hand": Subject(
        machine(spindle={"control": "hand", "rpm_min": 18000, "rpm_max": 18000}),
        switched_by_hand(good_text()),
        by_hand=True,
    ),
    "changer": Subject(
        machine(dialect={"tool_change": "changer", "length_offsets": True}), with_changer(good_text()), changer=True
    ),
}


@cache
def faults(text: str, subject: str = "millimetres") -> tuple[str, ...]:
    """Rules broken, and where the part is off its drawing by more than what is allowed."""
    known = SUBJECTS[subject]
    control = Control(home_unit=known.home_unit, by_hand=known.by_hand, changer=known.changer).run(text)
    still_on = ("the end comes while the spindle turns",) if known.by_hand and control.spinning else ()
    return (*control.broken, *still_on, *off_drawing(control.ways))


def off_drawing(ways: list[Way]) -> list[str]:
    """Each feature just above where it must end, and the part just below where it begins."""

    def gone(depth: float) -> shapely.Geometry:
        return shapely.union_all([way.swept(depth) for way in ways])

    def thick(shape: shapely.Geometry) -> bool:
        return not shape.buffer(-ALLOWED / 2).is_empty

    found = []
    top, floor = gone(ALLOWED), gone(FLOOR + ALLOWED)
    if thick(top.intersection(PLATE.difference(RECESS).difference(HOLE))):
        found.append("the part's top is cut")
    if thick(floor.intersection(PLATE.difference(HOLE))):
        found.append("the part is cut under its recess")
    if thick(RECESS.difference(gone(FLOOR - ALLOWED))):
        found.append("the recess is not cleared")
    if thick(TABS.buffer(-ALLOWED).intersection(gone(TAB_TOP + ALLOWED))):
        found.append("a tab is cut")
    if thick(NEXT_TO_WALL.intersection(TABS).difference(gone(TAB_TOP - ALLOWED))):
        found.append("a tab is too high")
    through = gone(THICK - ALLOWED)
    if thick(HOLE.difference(through)):
        found.append("the hole is not through")
    if thick(NEXT_TO_WALL.difference(TABS.buffer(RADIUS[1])).difference(through)):
        found.append("the outline is not through")
    return found


# -- mutations -------------------------------------------------------------------------------------------------------

Mutation = tuple[int, str, str]  # line from 1, what it was, what it became; an empty text: deleted


def sign(line: str, rng: random.Random) -> str:
    words = [m for m in re.finditer(r"([XYZIJ])(-?)(\d+\.?\d*)", line) if float(m[3])]
    ours = [m for m in words if m[1] in "IJ"] or words
    if not ours:
        return line
    m = rng.choice(ours)
    return line[: m.start()] + m[1] + ("" if m[2] else "-") + m[3] + line[m.end() :]


def dropped(line: str, rng: random.Random) -> str:
    words = list(re.finditer(r" ?[XYZIJFSP]-?\d+\.?\d*", line))
    ours = [m for m in words if m[0].strip()[0] == "Z"] or words
    if not ours:
        return line
    m = rng.choice(ours)
    return (line[: m.start()] + line[m.end() :]).strip()


def digit(line: str, rng: random.Random) -> str:
    places = [i for i, c in enumerate(line) if c.isdigit()]
    if not places:
        return line
    i = rng.choice(places)
    return line[:i] + rng.choice([d for d in "0123456789" if d != line[i]]) + line[i + 1 :]


def deleted(line: str, rng: random.Random) -> str:
    return ""


def other_turn(line: str, rng: random.Random) -> str:
    return re.sub(r"^G([23]) ", lambda m: f"G{5 - int(m[1])} ", line)


def other_unit(line: str, rng: random.Random) -> str:
    return line.replace("G21", "G2O").replace("G20", "G21").replace("G2O", "G20")


def feed_for_rapid(line: str, rng: random.Random) -> str:
    return re.sub(r"^G([01]) ", lambda m: f"G{1 - int(m[1])} ", line)


def words_swapped(line: str, rng: random.Random) -> str:
    """X says what Y should, and the other way round."""
    return re.sub("[XY]", lambda m: "Y" if m[0] == "X" else "X", line)


def point_moved(line: str, rng: random.Random) -> str:
    """A decimal point one place further on."""
    return re.sub(r"(\d)\.(\d)", r"\1\2.", line, count=1)


KINDS: dict[str, Callable[[str, random.Random], str]] = {
    "sign": sign,
    "word dropped": dropped,
    "digit": digit,
    "line deleted": deleted,
    "other turn": other_turn,
    "feed for rapid": feed_for_rapid,
    "words swapped": words_swapped,
    "point moved": point_moved,
}


@cache
def mutations(subject: str = "millimetres") -> tuple[Mutation, ...]:
    """Different ones, of all kinds, the same in every run; the first swaps the unit, which one line alone can."""
    rng = random.Random(SEED)
    lines = SUBJECTS[subject].text.splitlines()
    unit = next(i for i, line in enumerate(lines) if SUBJECTS[subject].home_unit in line)
    found: dict[Mutation, None] = {(unit + 1, lines[unit], other_unit(lines[unit], rng)): None}
    able = [i for i, line in enumerate(lines) if not line.startswith("(") or "FIT" in line or "SWITCH" in line]
    arcs = [i for i in able if re.match("G[23] ", lines[i])]
    while len(found) < 200:  # there are thousands
        kind = rng.choice(list(KINDS.values()))
        number = rng.choice(arcs if kind is other_turn or (kind is sign and rng.random() < 0.5) else able)
        became = kind(lines[number], rng)
        if became != lines[number]:
            found[(number + 1, lines[number], became)] = None
    return tuple(found)


def mutated(mutation: Mutation, subject: str = "millimetres") -> str:
    number, was, became = mutation
    lines = SUBJECTS[subject].text.splitlines()
    assert lines[number - 1] == was
    lines[number - 1 : number] = [became] if became else []
    return "\n".join(lines) + "\n"


def test_the_mutations_are_of_every_kind_and_most_do_harm() -> None:
    """What the test below asks is worth something only where its own reckoning finds most of them harmful."""
    harmful = sum(bool(faults(mutated(mutation))) for mutation in mutations()[:MUTATIONS])
    assert (len(set(mutations())), sum("G20" in became for _, _, became in mutations())) == (200, 1)
    assert harmful > MUTATIONS / 2


@pytest.mark.parametrize("tenth", range(8))
def test_whatever_spoils_the_part_or_breaks_a_rule_is_found(tenth: int) -> None:
    missed = []
    for number, was, became in mutations()[tenth:MUTATIONS:8]:
        text = mutated((number, was, became))
        why = faults(text)
        if why and judge(text).verdict != "fail":
            missed.append(f"line {number}: {was!r} -> {became!r}: {'; '.join(why)}")
    assert missed == []


@pytest.mark.parametrize("subject", ["inches", "by hand", "changer"])
def test_the_same_is_found_on_other_machines(subject: str) -> None:
    missed, harmful = [], 0
    for number, was, became in mutations(subject)[:ELSEWHERE]:
        text = mutated((number, was, became), subject)
        why = faults(text, subject)
        harmful += bool(why)
        if why and judge(text, on=SUBJECTS[subject].on).verdict != "fail":
            missed.append(f"line {number}: {was!r} -> {became!r}: {'; '.join(why)}")
    assert missed == []
    assert harmful > ELSEWHERE / 2
