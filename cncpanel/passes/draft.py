"""A run on its way: before it lifts over tabs."""

from dataclasses import dataclass

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.machine.tool import Tool
from cncpanel.passes.pace import Pace
from cncpanel.passes.run import Run, RunKind
from cncpanel.passes.trail import Trail

LEVEL = 1e-6  # mm; heights nearer than this are one


@dataclass(frozen=True, slots=True)
class Title:
    """Whose run it is. `area`: of the part that it goes round, mm2."""

    kind: RunKind
    part: str
    feature: str
    tool: Tool
    area: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A run, whether it cuts right through, and its pace (its slopes are needed again behind each tab)."""

    run: Run
    through: bool
    pace: Pace

    def chains_at(self, height: float) -> list[list[Segment]]:
        """The connected stretches of the run whose steps come down to `height` or below."""
        found: list[list[Segment]] = [[]]
        point, z = self.run.start, self.run.approach
        for step in self.run.steps:
            goal = Point(step.x, step.y)
            if min(z, step.z) <= height + LEVEL and point != goal:
                found[-1].append(Segment(point, goal, step.bulge))
            elif found[-1]:
                found.append([])
            point, z = goal, step.z
        return [chain for chain in found if chain]

    @property
    def bounds(self) -> Bounds:
        """A box that holds all that the tool sweeps; an arc goes no further than half its chord past its ends."""
        places = [self.run.start, *(Point(step.x, step.y) for step in self.run.steps)]
        bows = [a.distance(b) for a, b, step in zip(places, places[1:], self.run.steps, strict=False) if step.bulge]
        r = self.run.tool.radius + max(bows, default=0.0) / 2
        xs, ys = zip(*places, strict=True)
        return min(xs) - r, min(ys) - r, max(xs) + r, max(ys) + r


def draft(title: Title, trail: Trail, pace: Pace, *, through: bool, frees: bool = False) -> Draft:
    """The trail as a run of that title."""
    run = Run(
        kind=title.kind,
        part=title.part,
        feature=title.feature,
        tool=title.tool,
        rpm=pace.rpm,
        start=trail.start,
        approach=trail.approach,
        steps=tuple(trail.steps),
        frees=frees,
        area=title.area,
    )
    return Draft(run=run, through=through, pace=pace)
