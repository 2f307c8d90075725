"""Outlines: what a drawing gives as points, or a size, or a DXF contour, as one sound closed contour."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from cncpanel.geometry.check import crosses_itself
from cncpanel.geometry.contour import Contour, circle, contour_of
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.shape import rectangle
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.job import model
from cncpanel.panel.corners import Given, corners_of, edges_of, ends_joined, rounded_edges
from cncpanel.panel.subject import Subject

LEAST_AREA = 1e-3  # mm2; less is a line drawn there and back

_SIDES = ("bottom", "right", "top", "left")

Radii = float | tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """A panel's outline with its lower left at the origin, and what was subtracted to bring it there.

    `edges` are the author's edges by number, before corners were rounded, run counter-clockwise; `inner` are the
    contours that a DXF outline holds inside.
    """

    contour: Contour
    edges: tuple[Segment, ...]
    inner: tuple[Contour, ...]
    shift: Point


def panel_outline(panel: model.Panel, subject: Subject) -> Outline | None:
    """The panel's outline; None when problems were told. Coordinates are taken as the author wrote them.

    The lower left of the outline's box becomes the origin; the same shift is later taken off every feature, so that
    features keep their place on an outline that was drawn elsewhere.
    """
    if panel.size is not None:
        contour = sized(panel.size, panel.radius, subject)
        return None if contour is None else _moved(contour, _box_edges(panel.size), ())
    if panel.diameter is not None:
        disc = circle(Point(panel.diameter / 2, panel.diameter / 2), panel.diameter / 2)
        return _moved(disc, disc.segments, ())
    if panel.outline is not None:
        drawn = drawn_outline(panel.outline, subject)
        return None if drawn is None else _moved(*drawn, ())
    return _imported(subject)


def sized(size: tuple[float, float], radius: Radii, subject: Subject) -> Contour | None:
    """The rectangle from (0, 0) with its corners rounded; None when problems were told."""
    width, height = size
    radii = radius if isinstance(radius, tuple) else (radius,) * 4
    for side, length, taken in zip(_SIDES, (width, height) * 2, pairwise((*radii, radii[0])), strict=True):
        if sum(taken) > length + SAME_POINT:
            text = f"the radii at both ends of the {side} side take {subject.length(sum(taken))}"
            subject.problem(f"{text} of its {subject.length(length)}", "radii that fit", "radius")
            return None
    return rectangle(0.0, 0.0, width, height, radii)


def drawn_outline(given: Sequence[Given], subject: Subject) -> tuple[Contour, tuple[Segment, ...]] | None:
    """The contour through the points, counter-clockwise, and its unrounded edges; None when problems were told."""
    corners = corners_of(given)
    edges = edges_of(corners, subject, "outline", closed=True)
    if edges is None:
        return None
    radii = [corner.radius for corner in corners]
    chain = rounded_edges(edges, radii, subject, "outline", closed=True)
    if chain is None or not _sound(contour := contour_of(ends_joined(chain)), subject):
        return None
    if contour.area > 0:
        return contour, edges
    return contour.reversed(), tuple(edge.reversed() for edge in edges)


def _sound(contour: Contour, subject: Subject) -> bool:
    xmin, ymin, xmax, ymax = contour.bounds
    if (xmax - xmin) * (ymax - ymin) < LEAST_AREA:
        subject.problem("the outline encloses no area", "points that do not lie in one line", "outline")
        return False
    if (crossed := crosses_itself(contour)) is not None:
        subject.problem(f"the outline crosses or touches itself at {subject.told(crossed)}", "a simple loop", "outline")
        return False
    return True


def _imported(subject: Subject) -> Outline | None:
    shapes = subject.read.shapes.get((*subject.keys, "dxf"), ())
    if len(shapes) != 1:
        text = f"the DXF file gives {len(shapes)} separate outlines"
        subject.problem(text, "a panel is one outline with holes; name the layer it is on", "dxf")
        return None
    contour = shapes[0].outer.counter_clockwise
    return _moved(contour, contour.segments, tuple(hole.counter_clockwise for hole in shapes[0].holes))


def _box_edges(size: tuple[float, float]) -> tuple[Segment, ...]:
    return rectangle(0.0, 0.0, *size).segments


def _moved(contour: Contour, edges: tuple[Segment, ...], inner: tuple[Contour, ...]) -> Outline:
    x, y, _, _ = contour.bounds
    shift, place = Point(x, y), Placement(x=-x, y=-y)
    return Outline(
        contour=place.contour(contour),
        edges=tuple(Segment(e.start.minus(shift), e.end.minus(shift), e.bulge) for e in edges),
        inner=tuple(place.contour(hole) for hole in inner),
        shift=shift,
    )
