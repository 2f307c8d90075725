"""The text of a program that takes up another one: its own beginning, then the old one's lines as they are."""

import re
from collections.abc import Iterator
from math import tan

from cncpanel.errors import Place, Problem, ProblemsFound
from cncpanel.geometry.point import Point
from cncpanel.job.model import JobHead, KeepOut, Stock
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.machine.tool import Tool
from cncpanel.make.prove_flow import Proved
from cncpanel.make.restart_head import Head
from cncpanel.output.rs274 import program_text
from cncpanel.proof.modal import CYCLES, G_GROUP, g_name
from cncpanel.proof.motion import Move
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.reader import Reading, lines_of
from cncpanel.proof.resumed import Resumption
from cncpanel.proof.touch_off import touch_off_spots
from cncpanel.proof.words import read_block
from cncpanel.sequence.program import Block, Cut, Program
from cncpanel.sequence.restart import TakenUp, broken_off, restart_blocks, restart_header
from cncpanel.sequence.setting import Setting
from cncpanel.units import in_millimetres

_COMMENT = re.compile(r"\([^)]*\)?")
_NUMBER = re.compile(r"\s*(?:[Nn]\s*[\d ]*)?")
_RPM = re.compile(r"(?!PART )(?:.*\b)?SPINDLE\b.*?([\d.]+) RPM")
MOTIONS = {0: "G0", 10: "G1", 20: "G2", 30: "G3"}
ZERO = "the machine's own zero, set before the program runs"
OTHER_STATE = {  # what cannot be kept up, and what to do instead
    910: ("incremental moves", "the same program in absolute moves, G90"),
    410: ("cutter radius compensation", "the way of the tool's middle, G40"),
    420: ("cutter radius compensation", "the way of the tool's middle, G40"),
    930: ("inverse time feed", "feeds a minute, G94"),
    180: ("another plane than XY", "arcs in the XY plane, G17, others as short lines"),
    190: ("another plane than XY", "arcs in the XY plane, G17, others as short lines"),
    100: ("a zero set by the program", ZERO),
    280: ("a place that parameters hold", "the place itself, G53 G0"),
    300: ("a place that parameters hold", "the place itself, G53 G0"),
    920: ("a shifted zero", ZERO),
    921: ("a shifted zero", ZERO),
    922: ("a shifted zero", ZERO),
    923: ("a shifted zero", ZERO),
    382: ("probing", "probing in a program of its own, run before"),
}


def unlike_restart(name: str, text: str, first_line: int, line: int, machine: Machine) -> Iterator[Problem]:
    """What the lines up to `line` say that a program which begins anew at `first_line` could not keep up."""
    motion = 0
    unit = 200 if machine.dialect.unit == "inch" else 210
    for number, written in enumerate(lines_of(text)[:line], 1):
        place = Place(name, number)
        bare = _COMMENT.sub("", written)
        if "#" in bare or "[" in bare:
            yield Problem(place, "a program with parameters cannot be taken up in its middle", "plain numbers")
            continue
        block = read_block(written, number, {})
        if block.deletable and not block.is_empty:
            yield Problem(place, "whether this line was run depends on a switch", "a program without block delete")
        for code in block.g:
            motion = code if G_GROUP.get(code) == "motion" else motion
            if code in OTHER_STATE:
                what, instead = OTHER_STATE[code]
                yield Problem(place, f"{g_name(code)}: a program with {what} cannot be taken up in its middle", instead)
            elif code in (200, 210) and code != unit:
                own = "G20" if unit == 200 else "G21"
                text = f"{g_name(code)}: the machine's programs are in {machine.dialect.unit}"
                yield Problem(place, text, f"the same program in {own}, or a machine file of that unit")
            elif G_GROUP.get(code) == "work system" and g_name(code) != machine.dialect.work_offset:
                said = f"{g_name(code)}: the machine's zero is {machine.dialect.work_offset or 'in no work system'}"
                yield Problem(place, said, "the same program with that zero, or a machine file with work_offset so")
        if number >= first_line and motion in CYCLES:
            yield Problem(place, "a canned cycle cannot be taken up in its middle", "a line that cuts once")


def setting_of(head: Head, text: str, proved: Proved) -> Setting:
    """The sheet and the machine as the sequence knows them."""
    setup, (left, low, right, high) = proved.setup, proved.sheet.sheet.bounds
    along, across = right - left, high - low
    size = (across, along) if proved.machine.sheet_turned else (along, across)
    keep_out = tuple(map(_kept_out, proved.circumstances.holding))
    stock = Stock(name="sheet", material="mdf", thickness=setup.thickness, sheet=size, count=1, keep_out=keep_out)
    spots = sorted(touch_off_spots("\n".join(head.lines) or text, proved.machine))
    return Setting(
        sheet=Sheet(number=1, stock=stock, parts=()),
        machine=proved.machine,
        job=JobHead(name="restart", machine=proved.machine.name),
        sheets=None,
        spot=Point(*spots[0]) if spots else None,
        zero=setup.origin,
    )


def _kept_out(held: Obstacle) -> KeepOut:
    """A clamp or a screw for its height alone: it says how high the tool travels."""
    return KeepOut(kind="screw" if held.kind == "screw" else "clamp", at=(0, 0), size=(1, 1), height=held.height)


def restart_text(
    name: str, text: str, reading: Reading, plan: Resumption, line: int, head: Head, proved: Proved
) -> str:
    """The whole new program; raises ProblemsFound where a hand-set spindle's speed is nowhere said."""
    setting, move = setting_of(head, text, proved), reading.moves[plan.first]
    tool = proved.setup.tools[move.tool]
    taken = TakenUp(
        program=name.removesuffix(".nc"),
        asked_line=line,
        first_line=move.line,
        tool=tool,
        rpm=_rpm(reading, plan, proved.machine, Place(name, line)),
        at=Point(*plan.start[:2]),
        z=plan.start[2],
        feed=plan.feed,
        lead=tuple(map(_cut, plan.lead)),
    )
    title = _lines(restart_header(taken), tool, proved.machine)
    begun = _lines(restart_blocks(setting, taken), tool, proved.machine)
    rest = lines_of(text)[move.line - 1 :]
    percent = ["%"] if proved.machine.dialect.percent_lines else []
    first = _first_lines(rest[0], move, proved.machine)
    return "\n".join([*percent, *title, *head.lines, *begun, *_coolant(text, move.line), *first, *rest[1:]])


def broken_text(text: str, last: int, head: Head, proved: Proved) -> str:
    """The old program as far as line `last`, then properly ended: what was cut until then."""
    setting = setting_of(head, text, proved)
    percent = ["%"] if proved.machine.dialect.percent_lines else []
    ending = _lines(broken_off(setting), proved.machine.tool[0], proved.machine)
    return "\n".join([*lines_of(text)[:last], *ending, *percent, ""])


def _lines(blocks: tuple[Block, ...], tool: Tool, machine: Machine) -> list[str]:
    program = Program(name="restart", sheet=1, run=1, of=1, tools=(tool,), blocks=blocks)
    return [line for line in program_text(program, machine).split("\n") if line not in ("", "%")]


def _cut(move: Move) -> Cut:
    x, y, z = move.end
    return Cut(x=x, y=y, z=z, feed=move.feed, bulge=move.turn * tan(move.sweep / 4))


def _rpm(reading: Reading, plan: Resumption, machine: Machine, place: Place) -> float:
    if machine.spindle.control == "program":
        return reading.moves[plan.first].rpm
    for event in reversed(reading.events):
        if event.moves <= plan.first and event.kind == "comment" and (found := _RPM.match(event.text.strip().upper())):
            return float(found[1])
    raise ProblemsFound([Problem(place, "no stop before it says how fast the spindle is to turn", "SPINDLE ... RPM")])


def _coolant(text: str, first_line: int) -> list[str]:
    """The word that has coolant or air flow at the line, if any does."""
    flowing: list[str] = []
    for number, line in enumerate(lines_of(text)[: first_line - 1], 1):
        for code in read_block(line, number, {}).m:
            if code in (7, 8):
                flowing = [*flowing, f"M{code}"]
            elif code == 9:
                flowing = []
    return list(dict.fromkeys(flowing))


def _first_lines(line: str, move: Move, machine: Machine) -> list[str]:
    """The line with its motion and feed said, which the old program need not have said there."""
    block = read_block(line, move.line, {})
    motion = {"feed": "G1", "rapid": "G0"}.get(move.kind) or ("G3" if move.turn > 0 else "G2")
    said = any(G_GROUP.get(code) == "motion" for code in block.g)
    feed = [] if "f" in block.values else [f"F{_feed(move.feed / in_millimetres(machine.dialect.unit))}"]
    number = _NUMBER.match(line)
    begins = number.end() if number else 0
    words = [line[:begins].strip(), *([] if said else [motion]), line[begins:].strip()]
    whole = " ".join(word for word in (*words[:-1], *feed, words[-1]) if word)
    if len(whole) <= machine.dialect.line_max:
        return [whole]
    return [*feed, " ".join(word for word in words if word)]


def _feed(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")
