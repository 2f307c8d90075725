"""A template's lines and words as a flat drawing for formats with layers: full size, millimetres."""

from collections.abc import Iterator

from cncpanel.drawing.flat import NAME, FlatDrawing, FlatEntity
from cncpanel.drawing.page import Line
from cncpanel.drawing.paper import Label
from cncpanel.drawing.template import Template
from cncpanel.drawing.words import label_box
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.point import Point


def template_drawing(template: Template) -> FlatDrawing:
    """Every line on its layer, the panel's name, face and TOP on NAME."""
    entities = (*flat_lines(template.lines), *map(_words, template.fixed))
    return FlatDrawing(template.seen.title, entities)


def flat_lines(lines: tuple[Line, ...]) -> Iterator[FlatEntity]:
    """Lines as entities; what is one circle becomes one."""
    for line in lines:
        round_one = _circle(line)
        if round_one is not None:
            yield FlatEntity(layer=line.layer, circle=round_one)
        else:
            yield FlatEntity(layer=line.layer, contour=line.shape)


def _circle(line: Line) -> tuple[Point, float] | None:
    """Centre and radius where the shape is two half turns."""
    vertices = line.shape.vertices
    if not isinstance(line.shape, Contour) or len(vertices) != 2 or any(abs(v.bulge) != 1.0 for v in vertices):
        return None
    first = line.shape.segments[0]
    return first.centre, first.radius


def _words(label: Label) -> FlatEntity:
    left, _, _, _ = label_box(label)
    return FlatEntity(layer=NAME, text=(Point(left, label.y), label.size, label.text))
