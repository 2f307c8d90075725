"""Strokes joined end to end into closed contours; what stays open or branches is named, never guessed at.

Ends that are the same point join first; only ends left over are joined across a gap, nearest pairs first, so
that curves drawn as many lines shorter than the tolerance keep their shape. Every search goes by a grid of
cells: n log n in all.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import floor

from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.job.dxf_stroke import Stroke

ROUNDING = 10 * SAME_POINT  # mm; ends this near are one point that a file has rounded
CROWD = 24  # loose ends within one tolerance of each other; more is no drawing of a contour


@dataclass(frozen=True, slots=True)
class OpenChain:
    """Strokes that join but do not close: its two loose ends, and the gap between them."""

    start: Point
    end: Point
    gap: float
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class Branch:
    """A point where more than two strokes meet."""

    point: Point
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Chained:
    """What became of the strokes; `widest` is the largest gap that was closed."""

    contours: tuple[Contour, ...]
    opens: tuple[OpenChain, ...]
    branches: tuple[Branch, ...]
    gaps: int
    widest: float


def chained(strokes: Sequence[Stroke], tolerance: float) -> Chained:
    """Join the strokes; gaps up to `tolerance` are closed in their middle."""
    closed = [contour_of(s.segments) for s in strokes if s.closed]
    loose = [s for s in strokes if not s.closed and s.length > ROUNDING]
    joints = _Joints(loose)
    joints.join_same_points()
    joints.drop_stubs(tolerance)
    gaps = joints.join_gaps(tolerance)
    contours, opens = joints.walk()
    return Chained(
        contours=(*closed, *contours),
        opens=tuple(opens),
        branches=tuple(joints.branches()),
        gaps=len(gaps),
        widest=max(gaps, default=0.0),
    )


class _Joints:
    """Which ends are one point: a union of ends that grows. Lives only while strokes are chained."""

    def __init__(self, strokes: Sequence[Stroke]) -> None:
        self.strokes = strokes
        self.alive = set(range(len(strokes)))
        self.points = [(s.start, s.end) for s in strokes]
        self.parent = list(range(2 * len(strokes)))
        self.moved: dict[int, Point] = {}

    def root(self, node: int) -> int:
        """The number that stands for all ends of one point."""
        while self.parent[node] != node:
            self.parent[node] = self.parent[self.parent[node]]
            node = self.parent[node]
        return node

    def point(self, node: int) -> Point:
        """Where an end lies in the file."""
        return self.points[node // 2][node % 2]

    def nodes(self) -> list[int]:
        """All ends of the strokes that are left."""
        return [2 * s + side for s in sorted(self.alive) for side in (0, 1)]

    def members(self) -> dict[int, list[int]]:
        """The ends of each point."""
        found: dict[int, list[int]] = defaultdict(list)
        for node in self.nodes():
            found[self.root(node)].append(node)
        return found

    def join_same_points(self) -> None:
        """Ends at one place are one point."""
        for a, b, _ in self._near(self.nodes(), ROUNDING):
            self.parent[self.root(b)] = self.root(a)

    def drop_stubs(self, tolerance: float) -> None:
        """Strokes no longer than the tolerance that hang by one end from a contour draw nothing."""
        members = self.members()
        for stroke in [s for s in self.alive if self.strokes[s].length <= tolerance]:
            counts = sorted(len(members[self.root(2 * stroke + side)]) for side in (0, 1))
            if counts[0] == 1 and counts[1] > 2:
                self.alive.discard(stroke)

    def join_gaps(self, tolerance: float) -> list[float]:
        """Join loose ends, nearest first, in the middle between them; the gaps closed."""
        single = [ends[0] for ends in self.members().values() if len(ends) == 1]
        pairs = sorted((gap, a, b) for a, b, gap in self._near(single, tolerance))
        taken: set[int] = set()
        closed = []
        for gap, a, b in pairs:
            short = a // 2 == b // 2 and self.strokes[a // 2].length <= 2 * tolerance
            if a in taken or b in taken or short:
                continue
            taken |= {a, b}
            self.parent[self.root(b)] = self.root(a)
            self.moved[self.root(a)] = self.point(a).plus(self.point(b)).times(0.5)
            closed.append(gap)
        return closed

    def _near(self, nodes: Iterable[int], reach: float) -> list[tuple[int, int, float]]:
        """Pairs of ends no farther apart than `reach`; of a crowd, only its neighbours in order."""
        cells: dict[tuple[int, int], list[int]] = defaultdict(list)
        for node in nodes:
            point = self.point(node)
            cells[floor(point.x / reach), floor(point.y / reach)].append(node)
        pairs = []
        for (x, y), here in cells.items():
            pairs += _crowd_pairs(here)
            for cell in ((x + 1, y), (x - 1, y + 1), (x, y + 1), (x + 1, y + 1)):
                pairs += [(a, b) for a in here[:CROWD] for b in cells.get(cell, ())[:CROWD]]
        apart = [(a, b, self.point(a).distance(self.point(b))) for a, b in pairs]
        return [(a, b, gap) for a, b, gap in apart if gap <= reach]

    def branches(self) -> list[Branch]:
        """Points at which more than two strokes meet."""
        return [Branch(self.point(root), len(ends)) for root, ends in self.members().items() if len(ends) > 2]

    def walk(self) -> tuple[list[Contour], list[OpenChain]]:
        """Follow the strokes end to end: loops, and chains with loose ends; what branches is left aside."""
        members = self.members()
        loose = [ends[0] for ends in members.values() if len(ends) == 1]
        waiting = set(self.alive)
        opens, contours = [], []
        for node in loose:
            if node // 2 in waiting:
                chain, whole = self._follow(node, members, waiting)
                opens += [chain] if whole else []
        for stroke in sorted(waiting):
            if stroke in waiting:
                chain, whole = self._follow(2 * stroke, members, waiting)
                contours += [contour_of(self._segments(chain))] if whole else []
        return contours, [self._open(chain) for chain in opens]

    def _follow(self, node: int, members: dict[int, list[int]], waiting: set[int]) -> tuple[list[int], bool]:
        """The ends at which strokes begin, in order, from `node`; False where the chain meets a branch."""
        chain, first = [], self.root(node)
        whole = len(members[first]) <= 2
        while node // 2 in waiting:
            waiting.discard(node // 2)
            chain.append(node)
            far = node ^ 1
            meeting = members[self.root(far)]
            if len(meeting) != 2:
                whole = whole and len(meeting) == 1
                break
            node = meeting[0] if meeting[1] == far else meeting[1]
        return chain, whole

    def _place(self, node: int) -> Point:
        root = self.root(node)
        return self.moved.get(root, self.point(root))

    def _segments(self, chain: list[int]) -> list[Segment]:
        """The chain's segments, their ends put on the points that they share."""
        result: list[Segment] = []
        for node in chain:
            stroke = self.strokes[node // 2]
            pieces = list((stroke.reversed() if node % 2 else stroke).segments)
            pieces[0] = Segment(self._place(node), pieces[0].end, pieces[0].bulge)
            pieces[-1] = Segment(pieces[-1].start, self._place(node ^ 1), pieces[-1].bulge)
            result += [piece for piece in pieces if piece.chord > SAME_POINT]
        return result

    def _open(self, chain: list[int]) -> OpenChain:
        start, end = self.point(chain[0]), self.point(chain[-1] ^ 1)
        strokes = tuple(self.strokes[node // 2] for node in chain)
        return OpenChain(start, end, start.distance(end), strokes)


def _crowd_pairs(here: list[int]) -> list[tuple[int, int]]:
    if len(here) <= CROWD:
        return list(combinations(here, 2))
    return list(pairwise(here))
