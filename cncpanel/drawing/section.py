"""The cabinet cut down its middle as seen from the visitor's left, for whoever draws further: y to the right, z up."""

from dataclasses import dataclass

from cncpanel.cabinet.finding import Finding
from cncpanel.cabinet.scene import Scene
from cncpanel.drawing.flat import FlatDrawing, FlatEntity, layer_name
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.geometry.contour import Contour, joined_bounds, polygon
from cncpanel.geometry.placement import Placement
from cncpanel.geometry.point import Point

LETTERS = 12.0  # mm
SMALL, PEN, SHADE, DASH, FINE = 2.4, 0.2, 0.88, 0.8, 0.1  # of the picture: mm, and 0 black to 1 white


ROOM = 5.0  # mm of white round the picture, for names


@dataclass(frozen=True, slots=True, kw_only=True)
class CabinetShown:
    """What a report tells of the whole cabinet: its section, and each check with its verdict, words and source."""

    section: Picture
    findings: tuple[Finding, ...]


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


def section_picture(scene: Scene, width: float, height: float) -> Picture:
    """The same on paper or a screen, within width x height mm; panels are shaded, cleats broken lines."""
    drawn = section_drawing(scene).entities
    boxes = [entity.contour.bounds for entity in drawn if isinstance(entity.contour, Contour)]
    xmin, ymin, xmax, ymax = joined_bounds(boxes)
    scale = min(width / (xmax - xmin), height / (ymax - ymin))
    items: list[Stroke | Label] = []
    for entity in drawn:
        if isinstance(entity.contour, Contour):
            flat = entity.contour.flattened(FINE)
            points = tuple(((x - xmin) * scale + ROOM, (y - ymin) * scale + ROOM) for x, y in flat)
            shade = SHADE if entity.layer.startswith("PANEL_") else None
            dash = DASH if entity.layer == "CLEAT" else None
            items.append(Stroke(points=points, closed=True, width=PEN, shade=shade, dash=dash))
    for entity in drawn:
        if entity.text is not None:
            at, _, words = entity.text
            x, y = (at.x - xmin) * scale + ROOM, (at.y - ymin) * scale + ROOM
            items.append(Label(x=x, y=y, text=words, size=SMALL, anchor="middle"))
    size = [side * scale + 2 * ROOM for side in (xmax - xmin, ymax - ymin)]
    return Picture(width=size[0], height=size[1], items=tuple(items))
