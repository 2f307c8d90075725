"""The judge of a layout: GEOS on the parts' exact shapes says whether gaps and margins are kept."""

from collections.abc import Mapping
from itertools import combinations

import shapely

from cncpanel.geometry.region import Region, flat
from cncpanel.layout.layout import Layout, Sheet, placement
from cncpanel.panel.panel import Panel

SLACK = 0.005  # mm; chords and sums of floats, far below what a router holds


def faults(layout: Layout, panels: Mapping[int, Panel]) -> tuple[str, ...]:
    """What is wrong with the layout, a sentence each; nothing when it is sound."""
    return tuple(fault for sheet in layout.sheets for fault in _sheet_faults(sheet, layout.gap, panels))


def _sheet_faults(sheet: Sheet, gap: float, panels: Mapping[int, Panel]) -> list[str]:
    shapes = [
        (part.label, flat(Region(placement(panels[part.panel], part).contour(panels[part.panel].outline))))
        for part in sheet.parts
    ]
    margin = sheet.stock.margin
    inner = shapely.box(margin, margin, sheet.length - margin, sheet.width - margin).buffer(SLACK)
    found = [
        f"sheet {sheet.number}: {label} is outside the margin of {margin:g} mm"
        for label, shape in shapes
        if not inner.covers(shape)
    ]
    for (first, a), (second, b) in combinations(shapes, 2):
        apart = float(a.distance(b))
        if apart < gap - SLACK or a.intersects(b):
            found.append(f"sheet {sheet.number}: {first} and {second} are {apart:.3f} mm apart, not {gap:g}")
    return found
