"""The cabinet cut down its middle as seen from the visitor's left, for whoever draws further: y to the right, z up."""

from cncpanel.cabinet.scene import Scene
from cncpanel.drawing.flat import FlatDrawing, FlatEntity, layer_name
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point

LETTERS = 12.0  # mm


def section_drawing(scene: Scene) -> FlatDrawing:
    """The side's outline, every panel that runs from side to side and every cleat, each on its layer by name."""
    entities: list[FlatEntity] = []
    for side in scene.sides[:1]:
        panel = scene.panels[side.index]
        outline = Placement(x=panel.drawn_at.x, y=panel.drawn_at.y).contour(panel.outline)
        entities.append(FlatEntity(layer="SIDE", contour=outline))
    for standing in scene.assembly.standings:
        layer = layer_name(f"PANEL_{standing.name}")
        entities.append(FlatEntity(layer=layer, contour=polygon(standing.corners)))
        first, second, third, _ = standing.corners
        middle = Point((first.x + third.x) / 2, (first.y + second.y) / 2)
        entities.append(FlatEntity(layer="NAME", text=(middle, LETTERS, standing.name)))
    for strip in scene.assembly.strips:
        corners = [
            strip.frame.at(strip.low[0], y, depth)
            for y, depth in (
                (strip.low[1], strip.low[2]),
                (strip.high[1], strip.low[2]),
                (strip.high[1], strip.high[2]),
                (strip.low[1], strip.high[2]),
            )
        ]
        entities.append(FlatEntity(layer="CLEAT", contour=polygon([(c.y, c.z) for c in corners])))
    return FlatDrawing(name="section", entities=tuple(entities))
