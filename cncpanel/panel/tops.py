"""Where holes begin: at the face, or at the floor of the recess that they are in."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from cncpanel.geometry.combine import overlap_area
from cncpanel.geometry.contour import circle
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import PATH
from cncpanel.panel.panel import Hole, Recess
from cncpanel.panel.subject import Subject

WHOLE = 0.999  # of a hole's area: floors that cover this much leave only chords between them


def topped(holes: Sequence[Hole], recesses: Sequence[Recess]) -> tuple[Hole, ...]:
    """The holes with their tops: the shallowest floor below them, 0 where a part of the hole meets the face."""
    bodies = [Body(hole.centre, hole.diameter / 2) for hole in holes]
    tops = [0.0] * len(holes)
    crossed: dict[int, list[Recess]] = defaultdict(list)
    for recess in recesses:
        for number, (depth, _) in enumerate(depths_inside(bodies, recess.region)):
            if depth >= -PATH:
                tops[number] = recess.depth
            elif depth > -2 * bodies[number].reach + PATH:
                crossed[number].append(recess)
    for number, floors in crossed.items():
        tops[number] = tops[number] or _top(holes[number], floors)
    return tuple(replace(hole, top=top) for hole, top in zip(holes, tops, strict=True))


def _top(hole: Hole, floors: Sequence[Recess]) -> float:
    """Floors that touch one another below the hole count together."""
    disc = Region(circle(hole.centre, hole.diameter / 2))
    covered = sum(overlap_area(disc, recess.region) for recess in floors)
    return min(recess.depth for recess in floors) if covered >= WHOLE * disc.area else 0.0


def judge_tops(told: Sequence[tuple[Hole, Subject]]) -> None:
    """Tell blind holes that end above the floor of the recess they are in; once a feature."""
    above = {s.keys: (hole, s) for hole, s in told if hole.depth is not None and hole.depth <= hole.top}
    for hole, subject in above.values():
        depth, floor = subject.length(hole.depth or 0.0), subject.length(hole.top)
        subject.problem(f"depth {depth} ends above the floor that it is in, {floor} deep", "depths count from the face")
