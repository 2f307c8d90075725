"""A set of parts on one bare sheet by strip packing: the strip is as wide as the sheet and must get no longer.

Parts are grown by half the gap, so that touching in the strip is the gap on the sheet. The library is asked for a
count of its reports, not for seconds: equal requests then have equal answers on any machine. Its answer is only
a proposal: every part is laid again by the touching no-fit position nearest to it or, where the parts then find no
room, where it was proposed or as near to that as the others leave it.
"""

import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
import shapely
import shapely.affinity

from cncpanel.geometry.placement import Placement
from cncpanel.layout.board import SAFE, Board, Laid, Neighbours
from cncpanel.layout.fit import grown, simplified
from cncpanel.layout.ground import Ground
from cncpanel.layout.item import ANY_STEP, Item, Turned, angles_of, turned_outline
from cncpanel.layout.layout import handed_over

WORKERS = 1  # threads of the solver; always as many, whatever the machine has, so that answers stay equal
ROOM = 0.004  # mm; the solver reckons in single precision, and a part that fits exactly must not seem too wide
RIGHTWARD = 3.0  # how much dearer a shift away from the sheet's start is than one towards it

Proposed: TypeAlias = tuple[float, float, Item, Turned]
Spot: TypeAlias = Callable[[Board, Turned, tuple[float, float]], tuple[float, float] | None]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Shape:
    """A kind of part as the strip sees it: grown, unturned, lower left of the exact box at the origin."""

    grown: shapely.Polygon
    exact: shapely.Polygon
    angles: tuple[float, ...]


@dataclass(slots=True)
class Strips:
    """Asks the strip solver; shapes and turns are kept between questions."""

    neighbours: Neighbours
    _shapes: dict[tuple[int, bool, bool], _Shape] = field(default_factory=dict)
    _turned: dict[tuple[int, bool, float], Turned] = field(default_factory=dict)

    def board(
        self, items: Sequence[Item], ground: Ground, offer: int, seed: int, reports: int, seconds: float | None = None
    ) -> Board | None:
        """All the items on one sheet without keep-outs, or None where none was found within that many reports."""
        gap = self.neighbours.gap
        length, height = (side + gap + ROOM for side in ground.inner)
        kinds = list(dict.fromkeys(item.kind for item in items))
        copies = {kind: [item for item in items if item.kind == kind] for kind in kinds}
        shapes = [self._shape(copies[kind][0]) for kind in kinds]
        for number, kind in enumerate(kinds):
            if not _fits(shapes[number], length, height):
                shapes[number] = self._shape(copies[kind][0], tight=True)
        if not all(_fits(shape, length, height) for shape in shapes):
            return None
        request = {
            "height": height,
            "target": length,
            "seed": seed,
            "reports": reports,
            "workers": WORKERS,
            "items": [
                {
                    "shape": shapely.get_coordinates(shape.grown)[:-1].tolist(),
                    "demand": len(copies[kind]),
                    "angles": list(shape.angles),
                }
                for kind, shape in zip(kinds, shapes, strict=True)
            ],
        }
        answer = ask(request, seconds)
        if answer is None or answer["length"] > length:
            return None
        return self._settled(answer["placed"], kinds, copies, ground, offer)

    def _shape(self, item: Item, *, tight: bool = False) -> _Shape:
        """With room for the chords of curves, but where it is tight."""
        key = (*item.kind, tight)
        if key not in self._shapes:
            angles = angles_of(item.panel)
            if item.panel.turn == "any":
                angles = tuple(float(angle) for angle in range(0, 360, ANY_STEP))
            flat = self._at(item, 0.0)
            more = SAFE if flat.curved and not tight else 0.0
            self._shapes[key] = _Shape(
                grown=grown(simplified(flat.exact), self.neighbours.gap / 2 + more), exact=flat.exact, angles=angles
            )
        return self._shapes[key]

    def _at(self, item: Item, angle_deg: float) -> Turned:
        key = (*item.kind, angle_deg)
        if key not in self._turned:
            same = [turned for turned in item.turns if turned.angle_deg == angle_deg]
            mirrored = handed_over(item.panel, mirrored_copy=item.mirrored_copy)
            outline = Placement(angle_deg=angle_deg, mirrored=mirrored).contour(item.panel.outline)
            self._turned[key] = same[0] if same else turned_outline(outline, angle_deg)
        return self._turned[key]

    def _settled(
        self,
        placed: Sequence[tuple[int, float, float, float]],
        kinds: Sequence[tuple[int, bool]],
        copies: dict[tuple[int, bool], list[Item]],
        ground: Ground,
        offer: int,
    ) -> Board | None:
        """Each part from the sheet's start on at the free position nearest to the proposed one."""
        left = {kind: list(items) for kind, items in copies.items()}
        proposed: list[Proposed] = []
        for number, rotation, along, across in placed:
            item = left[kinds[number]].pop(0)
            angle = _nearest_angle(self._shape(item).angles, rotation)
            turned = shapely.affinity.rotate(self._shape(item).exact, angle, origin=(0.0, 0.0))
            edge = ground.stock.margin - self.neighbours.gap / 2
            x, y = along + turned.bounds[0] + edge, across + turned.bounds[1] + edge
            proposed.append((x, y, item, self._at(item, angle)))
        proposed.sort(key=lambda p: (round(p[0], 3), round(p[1], 3), p[2].name))
        return self._laid(Board(ground, offer), proposed, self._touching) or self._laid(
            Board(ground, offer), proposed, self.neighbours.nearest
        )

    def _laid(self, board: Board, proposed: Sequence[Proposed], spot: Spot) -> Board | None:
        """The board with every part at its spot, or None where one has none."""
        for x, y, item, turned in proposed:
            at = spot(board, turned, (x, y))
            if at is None:
                return None
            board.laid.append(Laid(item=item, turned=turned, x=at[0], y=at[1]))
        return board

    def _touching(self, board: Board, turned: Turned, wish: tuple[float, float]) -> tuple[float, float] | None:
        """The touching position nearest to the wish, towards the sheet's start rather than away from it."""
        free = self.neighbours.spots(board, turned)
        if not len(free):
            return None
        shift = free - wish
        far = np.abs(shift[:, 0]) * np.where(shift[:, 0] > 0, RIGHTWARD, 1.0) + np.abs(shift[:, 1])
        nearest = int(np.argmin(np.round(far, 4)))
        return float(free[nearest, 0]), float(free[nearest, 1])


def _nearest_angle(angles: Sequence[float], asked: float) -> float:
    return min(angles, key=lambda angle: (abs((angle - asked + 180) % 360 - 180), angle))


def _fits(shape: _Shape, length: float, height: float) -> bool:
    """Whether at some turn the shape is neither longer nor wider than the strip: the library asks it of every item."""
    for angle in shape.angles:
        left, low, right, high = shapely.affinity.rotate(shape.grown, angle, origin=(0.0, 0.0)).bounds
        if right - left <= length and high - low <= height - ROOM / 4:
            return True
    return False


def ask(request: dict[str, Any], seconds: float | None) -> dict[str, Any] | None:
    """The solver's answer from a process of its own; None where it found none or `seconds` were over."""
    command = [sys.executable, "-m", "cncpanel.layout.strip_solver"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as process:
        try:
            said, _ = process.communicate(json.dumps(request), timeout=seconds)
        except subprocess.TimeoutExpired:
            process.kill()
            return None
        except BaseException:
            process.kill()
            raise
    answer = dict(json.loads(said)) if process.returncode == 0 and said else {"length": None}
    return None if answer["length"] is None else answer
