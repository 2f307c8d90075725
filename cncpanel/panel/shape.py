"""The closed shapes of features: rectangle, circle, outline or DXF contours, turned and put where they belong."""

from cncpanel.geometry.contour import Contour, circle, joined_bounds
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.job import model
from cncpanel.panel.outline import drawn_outline, sized
from cncpanel.panel.subject import Subject


def regions_of(shape: model.Shape, subject: Subject) -> tuple[Region, ...]:
    """The shape's regions in the panel's frame; () when problems were told.

    First it is turned about the middle of its box. Then `at` takes the lower left, `centre` the middle, of the turned
    shape's box; an outline or DXF shape with neither stays at its own coordinates.
    """
    drawn = _drawn(shape, subject)
    if not drawn:
        return ()
    turned = tuple(region.placed(_turning(drawn, shape.turn_deg)) for region in drawn)
    return tuple(region.placed(_putting(shape, turned, subject.shift)) for region in turned)


def _drawn(shape: model.Shape, subject: Subject) -> tuple[Region, ...]:
    if shape.diameter is not None:
        return (Region(circle((0.0, 0.0), shape.diameter / 2)),)
    if shape.size is not None:
        return _one(sized(shape.size, shape.radius, subject))
    if shape.outline is not None:
        outline = drawn_outline(shape.outline, subject)
        return _one(outline and outline[0])
    shapes = subject.read.shapes.get((*subject.keys, "dxf"), ())
    return tuple(region_of(found.outer, found.holes) for found in shapes)


def _one(contour: Contour | None) -> tuple[Region, ...]:
    return () if contour is None else (Region(contour),)


def _middle(regions: tuple[Region, ...]) -> Point:
    xmin, ymin, xmax, ymax = joined_bounds(region.bounds for region in regions)
    return Point((xmin + xmax) / 2, (ymin + ymax) / 2)


def _turning(regions: tuple[Region, ...], angle_deg: float) -> Placement:
    """The turn about the middle of the regions' box."""
    middle = _middle(regions)
    x, y = middle.minus(Placement(angle_deg=angle_deg).point(middle))
    return Placement(x=x, y=y, angle_deg=angle_deg)


def _putting(shape: model.Shape, regions: tuple[Region, ...], shift: Point) -> Placement:
    xmin, ymin, _, _ = joined_bounds(region.bounds for region in regions)
    move = Point(0.0, 0.0)
    if shape.at is not None:
        move = Point(*shape.at).minus(Point(xmin, ymin))
    elif shape.centre is not None:
        move = Point(*shape.centre).minus(_middle(regions))
    return Placement(x=move.x - shift.x, y=move.y - shift.y)
