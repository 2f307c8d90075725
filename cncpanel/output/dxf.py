"""The one writer of DXF files: R2010, millimetres, arcs as arcs, the same bytes for the same drawing."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import BytesIO, TextIOWrapper
from typing import Any

from ezdxf import units
from ezdxf._options import options
from ezdxf.filemanagement import new

from cncpanel.drawing.flat import FlatDrawing, FlatEntity, layer_name
from cncpanel.geometry.contour import Contour, Path, joined_bounds
from cncpanel.geometry.segment import Bounds

VERSION = "R2010"  # AC1024: the oldest with UTF-8 text, read by everything in use
# The format's own palette (1 red .. 6 magenta, 7 black or white), by the layer's first word.
COLOURS = {"OUTLINE": 7, "OPENING": 5, "RECESS": 3, "GROOVE": 4, "RABBET": 30, "HOLE": 1, "MARK": 6}
OTHER_COLOUR = 8  # grey: sheet, margin, names, tabs are not cut along
LINE_WEIGHT = 25  # hundredths of a millimetre on paper


def panel_dxf(drawing: FlatDrawing) -> bytes:
    """The drawing as a DXF file."""
    with _no_clock():
        document = new(VERSION, setup=False)
        document.units = units.MM
        document.header["$MEASUREMENT"] = 1
        document.header["$LASTSAVEDBY"] = "cncpanel"
        for layer in sorted({layer_name(entity.layer) for entity in drawing.entities}):
            document.layers.add(layer, color=_colour(layer), lineweight=LINE_WEIGHT)
        for entity in drawing.entities:
            _draw(document.modelspace(), entity)
        _show(document, drawing.entities)
        _order_classes(document)
        return _written(document)


@contextmanager
def _no_clock() -> Iterator[None]:
    """Fixed dates and ids instead of ezdxf's clock and random ones, for the time of one writing."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _written(document: Any) -> bytes:
    buffer = BytesIO()
    stream = TextIOWrapper(buffer, encoding="utf-8", errors="dxfreplace", newline="\n")
    document.write(stream)
    stream.flush()
    return buffer.getvalue()


def _order_classes(document: Any) -> None:
    """Register the entity classes by name: ezdxf would take them from a set, in another order each run."""
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)


def _colour(layer: str) -> int:
    return COLOURS.get(layer.partition("_")[0], OTHER_COLOUR)


def _draw(space: Any, entity: FlatEntity) -> None:
    attributes = {"layer": layer_name(entity.layer)}
    if entity.contour is not None:
        vertices = [(v.x, v.y, v.bulge) for v in entity.contour.vertices]
        closed = isinstance(entity.contour, Contour)
        space.add_lwpolyline(vertices, format="xyb", close=closed, dxfattribs=attributes)
    elif entity.circle is not None:
        centre, radius = entity.circle
        space.add_circle((centre.x, centre.y), radius, dxfattribs=attributes)
    elif entity.text is not None:
        place, height, words = entity.text
        space.add_text(_plain(words), height=height, dxfattribs=attributes).set_placement((place.x, place.y))


def _plain(words: str) -> str:
    """Words without what the format reads as codes: control characters, carets, backslashes, doubled %."""
    kept = "".join(letter if letter.isprintable() and letter not in "^\\" else " " for letter in words)
    while "%%" in kept:
        kept = kept.replace("%%", "%")
    return kept


def _show(document: Any, entities: Iterable[FlatEntity]) -> None:
    """The drawing's extents, so that it fills the screen when opened."""
    boxes = [box for entity in entities if (box := _bounds(entity)) is not None]
    if not boxes:
        return
    xmin, ymin, xmax, ymax = joined_bounds(boxes)
    document.header["$EXTMIN"] = (xmin, ymin, 0.0)
    document.header["$EXTMAX"] = (xmax, ymax, 0.0)
    document.modelspace().reset_extents((xmin, ymin, 0.0), (xmax, ymax, 0.0))
    middle = (xmin + xmax) / 2, (ymin + ymax) / 2
    document.set_modelspace_vport(height=max(ymax - ymin, xmax - xmin) * 1.1, center=middle)


def _bounds(entity: FlatEntity) -> Bounds | None:
    if isinstance(entity.contour, Contour):
        return entity.contour.bounds
    if isinstance(entity.contour, Path):
        return joined_bounds(segment.bounds for segment in entity.contour.segments)
    if entity.circle is not None:
        (x, y), radius = entity.circle
        return x - radius, y - radius, x + radius, y + radius
    return None
