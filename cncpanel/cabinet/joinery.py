"""Grooves, rabbets and bevels that the mates ask for, as plain features of the panels that get them."""

from collections.abc import Iterator
from dataclasses import dataclass

from cncpanel.cabinet.section import Section
from cncpanel.cabinet.standing import Standing
from cncpanel.cabinet.width import housing_depth
from cncpanel.geometry.point import Point
from cncpanel.job.cabinet import Cabinet, PanelEnd, Position
from cncpanel.job.edge import Edge, TabFree
from cncpanel.job.feature import Groove, Rabbet
from cncpanel.job.model import Panel, Stock

Feature = Groove | Rabbet | Edge | TabFree
JUST_OVER = 1e-3  # mm; an end this near the rim runs out over it


@dataclass(frozen=True, slots=True, kw_only=True)
class Derived:
    """A feature of panel `into`, asked for by the position of panel `asked_by`."""

    into: int
    asked_by: int
    feature: Feature


def bevels(standing: Standing) -> Iterator[Derived]:
    """The ends that are not square, sawn at the bench."""
    for at_start, side in ((True, "bottom"), (False, "top")):
        angle = standing.bevel_deg(at_start)
        if angle:
            edge = Edge.model_validate(
                {"side": side, "bevel_deg": abs(angle), "faces": "back" if angle > 0 else "show", "bench": True}
            )
            yield Derived(into=standing.index, asked_by=standing.index, feature=edge)


def in_sides(
    standing: Standing, panel: Panel, side: int, section: Section, sides: Stock, stock: Stock
) -> Derived | None:
    """The groove or rabbet in the sides that takes the panel's ends."""
    position, cabinet = panel.position, section.cabinet
    assert position is not None
    depth = housing_depth(cabinet, position.depth, sides)
    if position.sides == "housed":
        feature: Feature = _side_groove(standing, panel, cabinet, stock, depth)
    elif position.sides == "rabbeted":
        feature = _side_rabbet(standing, position, section, stock, depth)
    else:
        return None
    return Derived(into=side, asked_by=standing.index, feature=feature)


def _side_groove(standing: Standing, panel: Panel, cabinet: Cabinet, stock: Stock, depth: float) -> Groove:
    """Its outer wall is the panel's outer face: the board's thickness only moves the inner one."""
    half = (stock.thickest + cabinet.clearance) / 2
    run = half if cabinet.run_out is None else cabinet.run_out
    first = standing.line.at(standing.low - run)
    last = standing.line.at(standing.low + standing.length + run)
    ends = tuple("round" if _is_inside(point, standing, half, cabinet) else "open" for point in (first, last))
    return Groove.model_validate(
        {
            "name": f"housing for {panel.name}"[:60],
            "path": [list(_kept(first, ends[0], standing, run)), list(_kept(last, ends[1], standing, -run))],
            "wall": "left",
            "houses": stock.name,
            "clearance": cabinet.clearance,
            "depth": depth,
            "ends": ends[0] if ends[0] == ends[1] else ends,
            "face": "back",
        }
    )


def _kept(point: Point, end: str, standing: Standing, back: float) -> Point:
    """An open end's path begins where the panel does; the groove runs on over the rim by itself."""
    return point if end == "round" else point.plus(standing.line.along.times(back))


def _is_inside(point: Point, standing: Standing, half: float, cabinet: Cabinet) -> bool:
    """Whether the groove's middle at its very end still lies in the profile."""
    middle = point.minus(standing.line.outwards.times(half))
    inside = False
    corners = [corner.to for corner in cabinet.profile]
    for (ay, az), (by, bz) in zip(corners, (*corners[1:], corners[0]), strict=True):
        if (az > middle.y) != (bz > middle.y) and middle.x < (by - ay) * (middle.y - az) / (bz - az) + ay - JUST_OVER:
            inside = not inside
    return inside


def _side_rabbet(standing: Standing, position: Position, section: Section, stock: Stock, depth: float) -> Rabbet:
    cabinet, number = section.cabinet, section.edge_number(position)
    corners = cabinet.profile
    first, second = (Point(*corners[n % len(corners)].to) for n in (number or 0, (number or 0) + 1))
    length, begin = first.distance(second), standing.line.way(first)
    run = (stock.thickest + cabinet.clearance) / 2 if cabinet.run_out is None else cabinet.run_out
    start = max(standing.low - begin - run, 0.0)
    stop = min(standing.low + standing.length - begin + run, length)
    reveal = cabinet.reveal if position.reveal is None else position.reveal
    return Rabbet.model_validate(
        {
            "name": f"rabbet for {standing.name}"[:60],
            "edge": number,
            "width": stock.thickest + reveal + cabinet.clearance,
            "depth": depth,
            "start": start,
            "stop": stop,
            "face": "back",
        }
    )


def in_mate(standing: Standing, end: PanelEnd, mate: Standing, section: Section, stock: Stock, width: float) -> Derived:
    """The groove or rabbet in the panel that an end is housed or rabbeted in; `width` is that panel's."""
    outer = mate.line.crossing(standing.line)
    inner = mate.line.crossing(standing.inner_line)
    assert outer is not None, "what is housed meets at a right angle"
    assert inner is not None, "and so does its inner face"
    depth = section.depth(end.depth, mate.name)
    if end.rabbeted is not None:
        side = "bottom" if outer + inner < 2 * mate.low + mate.length else "top"
        rim = mate.low if side == "bottom" else mate.low + mate.length
        reaches = max(abs(outer - rim), abs(inner - rim)) + section.cabinet.clearance
        feature: Feature = Rabbet.model_validate(
            {
                "name": f"rabbet for {standing.name}"[:60],
                "side": side,
                "width": reaches,
                "depth": depth,
                "face": "back",
            }
        )
    else:
        y = outer - mate.low
        feature = Groove.model_validate(
            {
                "name": f"housing for {standing.name}"[:60],
                "path": [[0.0, y], [width, y]],
                "wall": "left" if inner > outer else "right",
                "houses": stock.name,
                "clearance": section.cabinet.clearance,
                "depth": depth,
                "ends": "open",
                "face": "back",
            }
        )
    return Derived(into=mate.index, asked_by=standing.index, feature=feature)
