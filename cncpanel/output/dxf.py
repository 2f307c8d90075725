"""The one writer of DXF files: R2010 (R12 for old readers), millimetres, arcs as arcs, the same bytes each time."""

import logging
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from io import BytesIO, TextIOWrapper
from typing import Any, Literal

from ezdxf import units
from ezdxf._options import options
from ezdxf.filemanagement import new

from cncpanel.drawing.flat import FlatDrawing, FlatEntity, layer_name
from cncpanel.geometry.contour import Contour, Path, joined_bounds
from cncpanel.geometry.segment import Bounds

Version = Literal["R2010", "R12"]  # AC1024: the oldest with UTF-8 text, read by everything in use; AC1009
LONGEST_R12 = 31  # characters of a layer's name
NOT_IN_R12 = re.compile(r"[^A-Z0-9_\-]")
# The format's own palette (1 red .. 6 magenta, 7 black or white), by the layer's first word.
COLOURS = {"OUTLINE": 7, "OPENING": 5, "RECESS": 3, "GROOVE": 4, "RABBET": 30, "HOLE": 1, "MARK": 6}
OTHER_COLOUR = 8  # grey: sheet, margin, names, tabs are not cut along
LOG = logging.getLogger("ezdxf")
LINE_WEIGHT = 25  # hundredths of a millimetre on paper


def panel_dxf(drawing: FlatDrawing, version: Version = "R2010") -> bytes:
    """The drawing as a DXF file. R12 has no unit in its header, no light polylines, shorter layer names."""
    names = _layer_names(drawing, version)
    with _no_clock():
        document = new(version, setup=False, units=units.MM)
        if version != "R12":
            document.header["$MEASUREMENT"] = 1
            document.header["$LASTSAVEDBY"] = "cncpanel"
        for layer in sorted(set(names.values())):
            document.layers.add(layer, color=_colour(layer), lineweight=LINE_WEIGHT)
        for entity in drawing.entities:
            _draw(document.modelspace(), entity, names[entity.layer], light=version != "R12")
        _show(document, drawing.entities)
        _order_classes(document)
        return _written(document)


def _layer_names(drawing: FlatDrawing, version: Version) -> dict[str, str]:
    """What each layer is called in the file; for R12 shortened, and numbered where two would be one."""
    names = {entity.layer: layer_name(entity.layer) for entity in drawing.entities}
    if version != "R12":
        return names
    short: dict[str, str] = {}
    for name in dict.fromkeys(names.values()):
        plain = NOT_IN_R12.sub("-", name)
        tried, number = plain[:LONGEST_R12], 2
        while tried in short.values():
            tried, number = f"{plain[: LONGEST_R12 - 4]}_{number}", number + 1
        short[name] = tried
    return {layer: short[name] for layer, name in names.items()}


@contextmanager
def _no_clock() -> Iterator[None]:
    """Fixed dates and ids instead of ezdxf's clock and random ones, for the time of one writing.

    Nor does it tell on the way that R12 has no unit.
    """
    before, told = options.write_fixed_meta_data_for_testing, LOG.disabled
    options.write_fixed_meta_data_for_testing = LOG.disabled = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing, LOG.disabled = before, told


def _written(document: Any) -> bytes:
    buffer = BytesIO()
    stream = TextIOWrapper(buffer, encoding=document.output_encoding, errors="dxfreplace", newline="\n")
    document.write(stream)
    stream.flush()
    return buffer.getvalue()


def _order_classes(document: Any) -> None:
    """Register the entity classes by name: ezdxf would take them from a set, in another order each run."""
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)


def _colour(layer: str) -> int:
    return COLOURS.get(layer.partition("_")[0], OTHER_COLOUR)


def _draw(space: Any, entity: FlatEntity, layer: str, *, light: bool) -> None:
    attributes = {"layer": layer}
    if entity.contour is not None:
        vertices = [(v.x, v.y, v.bulge) for v in entity.contour.vertices]
        closed = isinstance(entity.contour, Contour)
        add = space.add_lwpolyline if light else space.add_polyline2d
        add(vertices, format="xyb", close=closed, dxfattribs=attributes)
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
