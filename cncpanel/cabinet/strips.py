"""Cleats: strips on the sides behind a panel, as long as what stands in their way leaves them."""

from collections.abc import Iterable, Iterator, Sequence

from cncpanel.cabinet.piece import Strip
from cncpanel.cabinet.space import Frame
from cncpanel.cabinet.standing import Standing
from cncpanel.geometry.point import Point
from cncpanel.job.assembly import Cleat
from cncpanel.job.cabinet import Cabinet
from cncpanel.job.model import Panel

LEAST = 40.0  # mm; a shorter strip holds no two staples
STAPLES_EVERY = 100.0  # mm; 75-150 (common practice, no source)
FIRST_STAPLE = 30.0  # mm from the end; 25-40 (common practice); none within 19 of a corner (US advice on MDF)
TOUCHING = 0.01  # mm

Span = tuple[float, float]


def strips(
    standing: Standing,
    frame: Frame,
    inside: float,
    cabinet: Cabinet,
    others: Sequence[tuple[Standing, Panel, float]],
    before: Sequence[Strip],
) -> Iterator[Strip]:
    """The panel's cleats, glued flat on the sides; `others`: panels with their widths, `before`: cleats made so far."""
    thick, wide = cabinet.cleat
    whole = (standing.low + cabinet.cleat_stop, standing.low + standing.length - cabinet.cleat_stop)
    taken = list(_taken(standing, wide, inside / 2 - thick, cabinet, others, before))
    left = frame.origin.x - inside / 2
    for low, high in _rest(whole, taken):
        if high - low >= LEAST:
            for x, side in ((left, "left"), (left + inside - thick, "right")):
                yield Strip(
                    index=standing.index,
                    label=f"{side} cleat of {standing.name}",
                    frame=frame,
                    low=(x, low - standing.low, standing.thickness),
                    high=(x + thick, high - standing.low, standing.thickness + wide),
                )


def _taken(
    standing: Standing,
    deep: float,
    from_x: float,
    cabinet: Cabinet,
    others: Iterable[tuple[Standing, Panel, float]],
    before: Iterable[Strip],
) -> Iterator[Span]:
    depths = (standing.thickness + TOUCHING, standing.thickness + deep - TOUCHING)
    for other, panel, width in others:
        position = panel.position
        assert position is not None
        if other.index != standing.index and abs(position.middle) + width / 2 > from_x:
            stop = cabinet.housing_stop if position.sides == "housed" else 0.0
            yield from _crossed(standing, other.corners, depths, stop)
    for strip in before:
        corners = [strip.frame.at(strip.low[0], y, d) for y in (strip.low[1], strip.high[1]) for d in _depths(strip)]
        first, second, third, fourth = (Point(corner.y, corner.z) for corner in corners)
        yield from _crossed(standing, (first, second, fourth, third), depths, 0.0)


def _depths(strip: Strip) -> Span:
    return strip.low[2], strip.high[2]


def _crossed(standing: Standing, corners: Sequence[Point], depths: Span, stop: float) -> Iterator[Span]:
    """Where, along the panel, a convex section lies between the two depths behind its face."""
    local = [(standing.line.way(c), -c.minus(standing.line.start).dot(standing.line.outwards)) for c in corners]
    ways = [way for way, depth in local if depths[0] <= depth <= depths[1]]
    for (a, da), (b, db) in zip(local, (*local[1:], local[0]), strict=True):
        ways += [a + (b - a) * (d - da) / (db - da) for d in depths if (da < d) != (db < d)]
    if ways and max(ways) - min(ways) > TOUCHING:
        yield min(ways) - stop, max(ways) + stop


def _rest(whole: Span, taken: Iterable[Span]) -> list[Span]:
    """What the spans leave of the whole."""
    rest = [whole]
    for low, high in taken:
        rest = [
            piece for a, b in rest for piece in ((a, min(b, low)), (max(a, high), b)) if piece[1] - piece[0] > TOUCHING
        ]
    return rest


def staples_of(strip: Strip) -> int:
    """How many staples or screws go through the panel into a cleat."""
    return max(2, 1 + round((strip.length - 2 * FIRST_STAPLE) / STAPLES_EVERY))


def cleat_rows(found: Sequence[Strip], panel: Panel, cabinet: Cabinet) -> tuple[Cleat, ...]:
    """The strips as rows of the cut list, left and right ones together, with the line their staples go in."""
    rows = []
    for pair in zip(found[::2], found[1::2], strict=True):
        strip = pair[0]
        count = staples_of(strip)
        inwards = cabinet.cleat[0] / 2
        where = (
            f"behind it on each side, from {strip.low[1]:.1f} to {strip.high[1]:.1f} along it; {count} staples or "
            f"screws {cabinet.staple:g} long, {inwards:g} from the side, the first {FIRST_STAPLE:g} from the end"
        )
        places = [{"at": (one.high[0], one.low[1]), "direction_deg": 90, "lies": "on edge"} for one in pair]
        row = {"size": cabinet.cleat, "length": strip.length, "count": 2, "panel": panel.name, "where": where}
        rows.append(Cleat.model_validate({**row, "place": places}))
    return tuple(rows)
