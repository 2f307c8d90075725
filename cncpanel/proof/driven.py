"""Screws that are driven at a stop: since when their heads stand in the way, and what must not have been cut before.

A screw stands from the first stop after a tool has gone through the sheet in its place. Until all of them stand nothing
but their holes is cut: the sheet lies loose.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import isnan

import shapely

from cncpanel.proof.cuts import SAME
from cncpanel.proof.finding import Finding, finding_at_end
from cncpanel.proof.material import Placed
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.program import ReadProgram
from cncpanel.proof.setup import Setup
from cncpanel.proof.severed import Severing


def standing(
    programs: Sequence[ReadProgram], placed: Sequence[Placed], holding: Sequence[Obstacle], setup: Setup
) -> tuple[tuple[Obstacle, ...], list[Finding]]:
    """The obstacles, each with the number of the first move that it stands for; and what is wrong with the driven ones.

    `placed` are all moves of the programs in order; the obstacles lie in program axes from the sheet's corner.
    """
    if not any(held.driven for held in holding):
        return tuple(holding), []
    stops = list(_stops(programs))
    found: list[Finding] = []
    stand: list[Obstacle] = []
    for held in holding:
        one, wrong = _since(held, placed, stops, setup) if held.driven else (held, [])
        stand.append(one)
        found += wrong
    last = max(held.since for held in stand)
    return tuple(stand), [*found, *_cut_before(placed[:last], holding, setup)]


def _stops(programs: Sequence[ReadProgram]) -> Iterator[int]:
    """How many moves were made before each stop, over all programs."""
    base = 0
    for one in programs:
        yield from (base + event.moves for event in one.reading.events if event.kind == "stop")
        base += len(one.reading.moves)


def _since(
    held: Obstacle, placed: Sequence[Placed], stops: Sequence[int], setup: Setup
) -> tuple[Obstacle, list[Finding]]:
    here = held.moved(*setup.corner)
    said = f"the screw at X{here.xmin:g} Y{here.ymin:g}"
    hole = next((n for n, one in enumerate(placed) if _goes_through(one, here, setup)), None)
    if hole is None:
        text = f"no hole is made for {said}, which is to be driven at a stop"
        return held, [Finding(kind="no-screw-hole", severity="safety", text=text, x=here.xmin, y=here.ymin)]
    after = next((stop for stop in stops if stop > hole), None)
    if after is None:
        text = f"no stop comes after the hole of {said}: it is never driven"
        wrong = finding_at_end(
            placed[hole].move, "screw-not-driven", text, program=placed[hole].program, severity="safety"
        )
        return replace(held, since=hole + 1), [wrong]
    return replace(held, since=after), []


def _goes_through(one: Placed, held: Obstacle, setup: Setup) -> bool:
    low = min(one.move.start[2], one.move.end[2])
    return one.move.kind != "rapid" and low <= setup.top - setup.thickness + SAME and _inside(one, held)


def _inside(one: Placed, held: Obstacle) -> bool:
    """Whether the tool's middle stays over the screw's place."""
    ends = (one.move.start, one.move.end)
    return all(held.xmin <= x <= held.xmax and held.ymin <= y <= held.ymax for x, y, _ in ends)


def _cut_before(placed: Sequence[Placed], holding: Sequence[Obstacle], setup: Setup) -> Iterator[Finding]:
    """The first cut of a sheet that lies loose."""
    places = [held.moved(*setup.corner) for held in holding if held.driven]
    for one in placed:
        low = min(one.move.start[2], one.move.end[2])
        if one.move.kind == "rapid" or isnan(low) or low >= setup.top - SAME:
            continue
        if not any(_inside(one, held) for held in places):
            text = "cuts before all screws are driven that are to hold the sheet"
            yield finding_at_end(one.move, "cut-before-screws", text, program=one.program, severity="safety")
            return


def turning_findings(severing: Severing, holding: Sequence[Obstacle], setup: Setup) -> Iterator[Finding]:
    """Waste that only one screw holds once everything is cut: it turns about it, into a tool."""
    here = [held.moved(*setup.corner) for held in holding]
    screws = [held.shape for held in here if held.kind == "screw"]
    clamps = [held.shape for held in here if held.kind != "screw"]
    if not screws:
        return
    for piece in severing.pieces(clamps):
        on_it = [screw for screw in screws if piece.shape.intersects(screw)]
        if len(on_it) == 1 and not piece.section:
            at = shapely.centroid(on_it[0])
            where = f"X{at.x:.1f} Y{at.y:.1f}"
            text = f"a piece of {piece.shape.area:.0f} mm2 is held by one screw alone and may turn: {where}"
            x, y = round(at.x, 4), round(at.y, 4)
            yield Finding(kind="turns-on-screw", severity="safety", text=text, x=x, y=y)
