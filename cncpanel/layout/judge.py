"""The judge of a layout: GEOS on the parts' exact shapes says whether gaps, margins and keep-outs are kept."""

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import combinations

import shapely

from cncpanel.geometry.contour import Contour
from cncpanel.geometry.region import Region, flat
from cncpanel.layout.ground import kept_clear, rectangle_of
from cncpanel.layout.layout import Layout, Part, Sheet, placement
from cncpanel.panel.panel import Panel

SLACK = 0.005  # mm; chords and sums of floats, far below what a router holds

Waste = Mapping[int, tuple[Contour, ...]]


def faults(layout: Layout, panels: Mapping[int, Panel], waste: Waste | None = None) -> tuple[str, ...]:
    """What is wrong with the layout, a sentence each; nothing when it is sound. In `waste` openings parts may lie."""
    found = [*_miscounted(layout, panels), *_spent_twice(layout)]
    for sheet in layout.sheets:
        shapes = [(part, _shape(part, panels[part.panel], waste or {})) for part in sheet.parts]
        found += [f"sheet {sheet.number}: {text}" for text in _sheet_faults(sheet, layout.gap, shapes)]
    return tuple(found)


def _shape(part: Part, panel: Panel, waste: Waste) -> shapely.Polygon:
    """The part where it lies, without the openings that others may lie in."""
    where = placement(panel, part)
    whole = flat(Region(where.contour(panel.outline)))
    for contour in waste.get(part.panel, ()):
        whole = shapely.difference(whole, flat(Region(where.contour(contour))))
    return whole


def _miscounted(layout: Layout, panels: Mapping[int, Panel]) -> Iterator[str]:
    placed = Counter((part.panel, part.mirrored_copy) for sheet in layout.sheets for part in sheet.parts)
    for index, panel in panels.items():
        for mirrored, asked in ((False, panel.copies), (True, panel.mirrored)):
            if placed[index, mirrored] != asked:
                kind = "mirrored copies" if mirrored else "copies"
                yield f"{panel.name}: {placed[index, mirrored]} {kind} are placed, not {asked}"


def _spent_twice(layout: Layout) -> Iterator[str]:
    pieces = Counter(sheet.piece for sheet in layout.sheets if sheet.piece)
    return (f"offcut {piece} is cut {count} times" for piece, count in pieces.items() if count > 1)


def _sheet_faults(sheet: Sheet, gap: float, shapes: list[tuple[Part, shapely.Polygon]]) -> Iterator[str]:
    margin = sheet.stock.margin
    inner = shapely.box(margin, margin, sheet.length - margin, sheet.width - margin).buffer(SLACK)
    for part, shape in shapes:
        if not inner.covers(shape):
            yield f"{part.label} is outside the margin of {margin:g} mm"
        for keep in sheet.stock.keep_out:
            apart, clear = float(shape.distance(rectangle_of(keep))), kept_clear(keep, sheet.stock, gap)
            if apart < clear - SLACK or shapely.intersection(shape, rectangle_of(keep)).area > 1.0:
                yield f"{part.label} is {apart:.3f} mm from a keep-out ({keep.kind}), not {clear:g}"
    for (first, a), (second, b) in combinations(shapes, 2):
        apart = float(a.distance(b))
        if apart < gap - SLACK or (gap == 0 and shapely.intersection(a, b).area > 1.0):
            yield f"{first.label} and {second.label} are {apart:.3f} mm apart, not {gap:g}"
