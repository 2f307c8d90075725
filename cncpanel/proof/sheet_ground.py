"""The sheet itself as it lies on the table: where it was cut away before, and the flaws that no part may hold."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely

from cncpanel.proof.circumstances import Circumstances
from cncpanel.proof.finding import Finding
from cncpanel.proof.obstacle import Obstacle
from cncpanel.proof.setup import Setup
from cncpanel.proof.target import Target

TOUCH = 0.01  # mm; a part may come this near


def as_it_lies(target: Target, setup: Setup) -> Target:
    """The target in program coordinates."""
    turned = target.turned() if setup.machine.sheet_turned else target
    return turned.moved(*setup.corner) if setup.origin is not None else turned


def cut_before(target: Target, used: Sequence[Obstacle]) -> Target:
    """The target on what is left of its sheet; both in the same axes."""
    if not used:
        return target
    return replace(target, sheet=shapely.difference(target.sheet, shapely.union_all([one.shape for one in used])))


def in_program(ground: Sequence[Obstacle], target: Target, setup: Setup) -> list[Obstacle]:
    """Rectangles of the target's sheet in program coordinates."""
    width = target.sheet.bounds[3]
    turned = [one.turned(width) if setup.machine.sheet_turned else one for one in ground]
    return [one.moved(*setup.corner) for one in turned]


def ground_findings(target: Target, circumstances: Circumstances, setup: Setup) -> Iterator[Finding]:
    """Parts that lie where material is missing or bad; `target` as it was given."""
    lying = as_it_lies(target, setup)
    for ground, kind, text in (
        (circumstances.used, "part-on-used", "lies where an earlier job cut the sheet away"),
        (circumstances.flaws, "part-on-flaw", "holds a place of the sheet that is marked as bad"),
    ):
        for one in in_program(ground, target, setup):
            yield from _parts_on(lying, one, kind, text)


def _parts_on(lying: Target, one: Obstacle, kind: str, text: str) -> Iterator[Finding]:
    area = shapely.buffer(one.shape, -TOUCH)
    gone = [floor.shape for floor in lying.floors if floor.kind == "through" and floor.shape.intersects(area)]
    kept = shapely.difference(area, shapely.union_all(gone)) if gone and kind == "part-on-flaw" else area
    for piece in lying.pieces:
        if piece.clamped and kind == "part-on-flaw":
            continue  # a flaw bears a clamp
        common = shapely.intersection(piece.shape, kept)
        if common.area > TOUCH:
            at = common.representative_point()
            said = f"{piece.name} {text}: X{at.x:.1f} Y{at.y:.1f}"
            yield Finding(
                kind=kind,
                severity="error",
                text=said,
                x=round(at.x, 4),
                y=round(at.y, 4),
                measure=round(common.area, 2),
                limit=0.0,
            )
