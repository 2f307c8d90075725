"""A panel as drawn, and a sheet as laid out, as flat drawings for any drawing program: full size, mm."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from cncpanel.drawing import flat
from cncpanel.drawing.flat import FlatDrawing, FlatEntity, layer_at_depth
from cncpanel.geometry.contour import Contour, path_of, polygon
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Segment
from cncpanel.layout.layout import Sheet, placement
from cncpanel.operation.operation import PanelPlan
from cncpanel.panel.panel import Hole, Panel, Recess
from cncpanel.passes.run import Tab

NAME_HEIGHT = 10.0  # mm; read across a bench
LAYER_OF_KIND = {"recess": "RECESS", "groove": "GROOVE", "rabbet": "RABBET", "counterbore": "RECESS"}


def panel_drawing(panel: Panel) -> FlatDrawing:
    """The panel seen from its show face, its name inside; layers say the face of what is cut from the other one."""
    features = (*_features(panel, Placement()), *_other_face(panel))
    return FlatDrawing(panel.name, (*features, _name(panel.name, panel.outline)))


def _other_face(panel: Panel) -> Iterator[FlatEntity]:
    for side in panel.sides[1:]:
        for entity in _part_way(side, Placement()):
            yield replace(entity, layer=f"{side.face.upper()}_{entity.layer}")


def sheet_drawing(sheet: Sheet, plans: Mapping[int, PanelPlan], tabs: Sequence[Tab]) -> FlatDrawing:
    """The sheet from above: its edge, its margin, every part where it lies, its tabs. `plans` by panel index."""
    entities = [FlatEntity(layer=flat.SHEET, contour=_rectangle(sheet, 0.0))]
    if 0 < 2 * sheet.stock.margin < min(sheet.length, sheet.width):
        entities.append(FlatEntity(layer=flat.MARGIN, contour=_rectangle(sheet, sheet.stock.margin)))
    for part in sheet.parts:
        panel = plans[part.panel].panel
        place = placement(panel, part)
        entities += _features(panel, place)
        entities.append(_name(part.label, place.contour(panel.outline)))
    entities += map(_tab, tabs)
    return FlatDrawing(f"sheet {sheet.number}", tuple(entities))


def _tab(tab: Tab) -> FlatEntity:
    """A stroke along the finished wall, as long as the tab is wide."""
    half = tab.along.times(tab.width / 2)
    stroke = Segment(tab.centre.minus(half), tab.centre.plus(half))
    return FlatEntity(layer=flat.TAB, contour=path_of([stroke]))


def _rectangle(sheet: Sheet, inset: float) -> Contour:
    right, top = sheet.length - inset, sheet.width - inset
    return polygon(((inset, inset), (right, inset), (right, top), (inset, top)))


def _features(panel: Panel, place: Placement) -> Iterator[FlatEntity]:
    """Everything to be cut, where `place` puts it: outline, openings, recesses by depth, holes, marks."""
    yield FlatEntity(layer=flat.OUTLINE, contour=place.contour(panel.outline))
    for opening in panel.openings:
        yield FlatEntity(layer=flat.OPENING, contour=place.contour(opening.contour))
    yield from _part_way(panel, place)


def _part_way(panel: Panel, place: Placement) -> Iterator[FlatEntity]:
    """Recesses, holes through or blind, marks."""
    for recess in panel.recesses:
        yield from _recess(recess, place)
    for hole in panel.holes:
        yield _hole(hole, place)
    for mark in panel.marks:
        for stroke in mark.strokes:
            yield FlatEntity(layer=flat.MARK, contour=place.path(stroke))


def _recess(recess: Recess, place: Placement) -> Iterator[FlatEntity]:
    layer = layer_at_depth(LAYER_OF_KIND[recess.kind], recess.depth)
    for contour in recess.region.contours:
        yield FlatEntity(layer=layer, contour=place.contour(contour))


def _hole(hole: Hole, place: Placement) -> FlatEntity:
    circle = place.point(hole.centre), hole.diameter / 2
    return FlatEntity(layer=layer_at_depth("HOLE", hole.depth), circle=circle)


def _name(words: str, outline: Contour) -> FlatEntity:
    """The name about the middle of the outline's box, smaller on a small panel."""
    xmin, ymin, xmax, ymax = outline.bounds
    height = min(NAME_HEIGHT, (ymax - ymin) / 4, (xmax - xmin) / (len(words) + 1))
    corner = Point((xmin + xmax - height * len(words)) / 2, (ymin + ymax - height) / 2)
    return FlatEntity(layer=flat.NAME, text=(corner, height, words))
