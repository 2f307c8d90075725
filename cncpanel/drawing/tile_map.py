"""A small picture of how the tiles lie: the panel's outline, every page's share with its name."""

from collections.abc import Iterator

from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.page import Item, Line, Pen
from cncpanel.drawing.paper import Label
from cncpanel.drawing.tiles import Tile, Tiling
from cncpanel.drawing.words import label_box
from cncpanel.geometry.contour import Contour, Vertex, joined_bounds, polygon
from cncpanel.geometry.point import Point

TILE = Pen(width=0.13)
PANEL = Pen(width=0.4)
WHITE = Pen(width=0.0)
LARGEST, LEAST = 4.0, 1.0  # mm capitals of a tile's name


def tile_map(tiles: Tiling, outline: Contour, head: Point, width: float, height: float) -> Iterator[Item]:
    """The map within `width` x `height`, its upper left at `head`."""
    left, low, right, high = joined_bounds(tile.window for tile in tiles.tiles)
    factor = min(width / (right - left), height / (high - low))

    def at(x: float, y: float) -> Point:
        return Point(head.x + (x - left) * factor, head.y + (y - high) * factor)

    for tile in tiles.tiles:
        a, b, c, d = tile.window
        yield Line(shape=polygon([at(a, b), at(c, b), at(c, d), at(a, d)]), pen=TILE)
    placed = tuple(Vertex(*at(v.x, v.y), v.bulge) for v in outline.vertices)
    yield Line(shape=Contour(placed), pen=PANEL)
    for tile in tiles.tiles:
        a, b, c, d = tile.window
        yield from _name(tile, at((a + c) / 2, (b + d) / 2), (c - a) * factor, (d - b) * factor)


def _name(tile: Tile, middle: Point, width: float, height: float) -> Iterator[Item]:
    """The name on white, over whatever lines run there."""
    size = min(LARGEST, 0.5 * height, 0.7 * width / text_width(tile.name, 1.0))
    if size >= LEAST:
        label = Label(x=middle.x, y=middle.y - size / 2, text=tile.name, size=size, anchor="middle")
        a, b, c, d = label_box(label)
        yield Line(shape=polygon([(a, b), (c, b), (c, d), (a, d)]), pen=WHITE, fill=1.0)
        yield label
