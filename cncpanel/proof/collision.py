"""What else of a tool may touch: clamps and screws by all of it, the sheet by its shank and its collet nut."""

from collections.abc import Iterator, Sequence
from math import isnan

import numpy as np
import shapely

from cncpanel.machine.tool import Tool
from cncpanel.proof.finding import Finding, finding_at_end
from cncpanel.proof.material import Placed, Stock, footprint
from cncpanel.proof.motion import Move
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.setup import Setup
from cncpanel.proof.sweep import extent, extents, straightened

CLEAR = 0.001  # mm; what rounding to a program's decimals may take from a clearance
ARC_STEPS = 32  # chords for an arc's way past a clamp: a tool's way bends by less than a clamp's play

Layer = tuple[str, float, float]  # what it is, its radius, how high over the tip it begins


def layers(tool: Tool) -> tuple[Layer, ...]:
    """The tool from below: cutter, shank where it is wider, collet nut."""
    found: list[Layer] = [(f"T{tool.number}", tool.radius, 0.0)]
    if tool.undercuts:
        found += _over_disc(tool)
    elif tool.shank_diameter > tool.cut_diameter:
        found.append((f"T{tool.number}'s shank", tool.shank_diameter / 2, tool.cutting_length))
    found.append((f"T{tool.number}'s collet nut", tool.nut_diameter / 2, tool.stick_out))
    return tuple(found)


def _over_disc(tool: Tool) -> Iterator[Layer]:
    """Neck, then shank; a neck of which nobody told the length is taken for a wider shank's whole way down."""
    shank = tool.shank_diameter / 2
    if tool.neck_length is not None or shank <= tool.neck_radius:
        yield f"T{tool.number}'s neck", tool.neck_radius, tool.cutting_length
    if shank > tool.neck_radius:
        yield f"T{tool.number}'s shank", shank, tool.cutting_length + (tool.neck_length or 0.0)


def collision_findings(
    moves: Sequence[Placed], stock: Stock, setup: Setup, holding: Sequence[Obstacle]
) -> Iterator[Finding]:
    """Every move whose tool, shank or nut meets a clamp, a screw or the sheet."""
    tools = setup.tools
    known = [
        (number, p)
        for number, p in enumerate(moves)
        if p.move.tool in tools and not any(map(isnan, p.move.start + p.move.end))
    ]
    yield from _holding(known, setup, [held.moved(*setup.corner) for held in holding])
    for _, placed in known:
        yield from _sheet(placed, stock, setup)


# -- clamps and screws -------------------------------------------------------------------------------------


def _holding(known: Sequence[tuple[int, Placed]], setup: Setup, holding: Sequence[Obstacle]) -> Iterator[Finding]:
    if not known or not holding:
        return
    numbers, moves = np.array([number for number, _ in known]), [placed for _, placed in known]
    boxes = extents([placed.move for placed in moves])
    low = np.array([min(placed.move.start[2], placed.move.end[2]) for placed in moves])
    widest = max(radius for tool in setup.tools.values() for _, radius, _ in layers(tool))
    for held in holding:
        near = (
            (boxes[:, 0] < held.xmax + widest)
            & (boxes[:, 1] < held.ymax + widest)
            & (boxes[:, 2] > held.xmin - widest)
            & (boxes[:, 3] > held.ymin - widest)
            & (low < setup.top + held.height)
            & (numbers >= held.since)
        )
        for index in np.flatnonzero(near).tolist():
            yield from _hit(moves[index], setup, held)


def _hit(placed: Placed, setup: Setup, held: Obstacle) -> Iterator[Finding]:
    rectangle = shapely.box(held.xmin, held.ymin, held.xmax, held.ymax)
    dog_leg = placed.move.kind == "rapid" and setup.machine.motion.rapid_path == "dog-leg"
    for name, radius, height in layers(setup.tools[placed.move.tool]):
        way = _way_below(placed.move, setup.top + held.height - height, dog_leg)
        if way is None:
            continue
        room = float(shapely.distance(way, rectangle)) - radius
        if room < -CLEAR:
            place = f"X{held.xmin:g} Y{held.ymin:g}"
            yield _finding("holding-hit", placed, f"{name} meets the {held.kind} at {place}", room, 0.0)
            return


def _way_below(move: Move, height: float, dog_leg: bool) -> shapely.Geometry | None:
    """The tip's way seen from above where it is lower than `height`; None where it never is."""
    first, last = move.start[2], move.end[2]
    if min(first, last) >= height:
        return None
    if dog_leg and move.start[:2] != move.end[:2]:
        return shapely.box(*extent(move))
    begin, end = 0.0, 1.0
    if max(first, last) > height:
        share = (first - height) / (first - last)
        begin, end = (share, 1.0) if last < first else (0.0, share)
    steps = ARC_STEPS if move.centre is not None else 1
    points = [move.at(begin + (end - begin) * i / steps)[:2] for i in range(steps + 1)]
    return shapely.LineString(points) if len(set(points)) > 1 else shapely.Point(points[0])


# -- the sheet ---------------------------------------------------------------------------------------------


def _sheet(placed: Placed, stock: Stock, setup: Setup) -> Iterator[Finding]:
    """A layer over the cutter that goes under the top where material is left for it to meet."""
    tool = setup.tools[placed.move.tool]
    depth = setup.top - min(placed.move.start[2], placed.move.end[2])
    if depth <= tool.cutting_length + CLEAR:
        return
    for name, radius, height in layers(tool)[1:]:
        under = depth - height
        if under <= CLEAR:
            continue
        swept = shapely.union_all([footprint(piece, radius - CLEAR) for piece in straightened(placed.move)])
        left = stock.left_in(swept, under, placed.before)
        if not left.is_empty:
            text = f"{name} goes {under:.2f} mm under the sheet's top where material stands"
            yield _finding("holder-in-stock", placed, text, under, 0.0)


def _finding(kind: str, placed: Placed, text: str, measure: float, limit: float) -> Finding:
    return finding_at_end(
        placed.move, kind, text, program=placed.program, severity="safety", measure=measure, limit=limit
    )
