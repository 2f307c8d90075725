"""From what the witness read and found to the picture of one sheet."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from cncpanel.drawing.proof_picture import DepthMap, Outline, ProgramPicture, SheetPicture, ShownTool
from cncpanel.drawing.proof_track import track_of
from cncpanel.machine.model import Machine
from cncpanel.proof.heightmap import HeightMap
from cncpanel.proof.motion import Move
from cncpanel.proof.reader import Reading, lines_of
from cncpanel.proof.report import Report
from cncpanel.proof.target import Target

FINEST = 0.25  # mm; what a screen shows of a hand-sized part, when nobody hands over a map
MOST_ROUGH = 3_000_000  # cells of a map reckoned here: a full sheet at 1 mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A program as the witness read it; `seconds` how long each move takes, where somebody reckoned it."""

    name: str
    text: str
    reading: Reading
    seconds: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """The stock in program coordinates: its size along X and Y, thickness, program Z of its top.

    `corner` is its lower left one, where the zero of the programs lies elsewhere.
    """

    size: tuple[float, float]
    thickness: float
    top: float
    corner: tuple[float, float] = (0.0, 0.0)


def sheet_picture(
    name: str,
    runs: Sequence[Run],
    report: Report,
    board: Board,
    machine: Machine,
    *,
    target: Target | None = None,
    depth: DepthMap | None = None,
    excess: DepthMap | None = None,
) -> SheetPicture:
    """The picture of the runs of one sheet in their order; a map that is not given is cut here, in coarse cells.

    `target` is wanted in program coordinates, as `Target.turned` gives it for a machine on which the sheet lies
    turned.
    """
    used = {move.tool for run in runs for move in run.reading.moves}
    return SheetPicture(
        name=name,
        size=board.size,
        corner=board.corner,
        thickness=board.thickness,
        top=board.top,
        inches=machine.dialect.unit == "inch",
        verdict=report.verdict,
        findings=report.findings,
        dropped=report.dropped,
        tools=tuple(
            ShownTool(number=tool.number, name=tool.name, diameter=tool.cut_diameter, flutes=tool.flutes)
            for tool in machine.tool
            if tool.number in used
        ),
        programs=tuple(
            ProgramPicture(
                name=run.name,
                lines=tuple(lines_of(run.text)),
                track=track_of(run.reading.moves, machine.motion, run.seconds),
            )
            for run in runs
        ),
        outlines=tuple(_outlines(target)) if target is not None else (),
        depth=(depth or _cut([move for run in runs for move in run.reading.moves], board, machine)).reduced(),
        excess=excess.reduced() if excess is not None else None,
    )


def _cut(moves: Sequence[Move], board: Board, machine: Machine) -> DepthMap:
    cell = max(FINEST, (board.size[0] * board.size[1] / MOST_ROUGH) ** 0.5)
    taken = HeightMap(board.size, board.thickness, cell, origin=board.corner, top=board.top)
    tools = {tool.number: tool for tool in machine.tool}
    cutting = [move for move in moves if move.kind != "rapid" and move.tool in tools]
    for number, some in groupby(sorted(cutting, key=lambda move: move.tool), key=lambda move: move.tool):
        taken.remove(tuple(some), tools[number])
    return DepthMap(depth=taken.depth, cell=cell, origin=board.corner)


def _outlines(target: Target) -> Iterator[Outline]:
    for piece in target.pieces:
        yield from _rings("piece", piece.name, piece.shape)
    for floor in target.floors:
        yield from _rings(floor.kind, f"{floor.name}, {floor.depth:g} mm deep", floor.shape)
    for tab in target.tabs:
        dx, dy = (part * tab.width / 2 for part in tab.along)
        ends = ((tab.x - dx, tab.y - dy), (tab.x + dx, tab.y + dy))
        yield Outline(kind="tab", name=tab.name, points=ends)


def _rings(kind: str, name: str, shape: Any) -> Iterator[Outline]:
    """The rims of a polygon or of many; lines and points have none."""
    for part in getattr(shape, "geoms", (shape,)):
        if part.geom_type == "Polygon" and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                yield Outline(kind=kind, name=name, points=tuple((x, y) for x, y, *_ in ring.coords))
        elif hasattr(part, "geoms"):
            yield from _rings(kind, name, part)
