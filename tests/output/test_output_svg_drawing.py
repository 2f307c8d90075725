"""Templates and artwork as SVG and DXF, read back: the same region, at one to one."""

import re
from io import StringIO
from xml.etree import ElementTree

import ezdxf
import pytest
import shapely
from ezdxf.math import bulge_radius
from paper_samples import ALL, job, seen
from pdf_measure import SAGITTA, svg_arc

from cncpanel.geometry.region import flat, region_of
from cncpanel.make.artwork import artwork_files
from cncpanel.make.templates import template_files

SVG = "{http://www.w3.org/2000/svg}"
COMMAND = re.compile(r"([MLAZ])([^MLAZ]*)")


def polygon_of(data: str) -> shapely.Polygon:
    """A closed SVG path."""
    points: list[tuple[float, float]] = []
    for letter, rest in COMMAND.findall(data):
        v = [float(part) for part in rest.split()]
        if letter in "ML":
            points.append((v[0], v[1]))
        elif letter == "A":
            points += svg_arc(points[-1], v[0], int(v[3]), int(v[4]), (v[5], v[6]))
    assert data.endswith("Z")
    return shapely.Polygon(points)


def svg_region(content: bytes, outer: str, inner: str) -> shapely.Geometry:
    """The outline less its openings, y up again."""
    root = ElementTree.fromstring(content)
    width, height = (float(root.get(side).removesuffix("mm")) for side in ("width", "height"))
    assert [0.0, 0.0, width, height] == pytest.approx([float(v) for v in root.get("viewBox").split()])
    shapes = {
        kind: [polygon_of(p.get("d")) for p in root.iter(f"{SVG}path") if p.get("class") == kind]
        for kind in (outer, inner)
    }
    (whole,) = shapes[outer]
    return shapely.affinity.scale(whole.difference(shapely.union_all(shapes[inner])), 1, -1, origin=(0, 0))


def dxf_region(content: bytes, encoding: str, outer: str, inner: str) -> shapely.Geometry:
    space = ezdxf.read(StringIO(content.decode(encoding))).modelspace()
    shapes = {
        kind: [loop(entity) for entity in space if entity.dxf.layer == kind and entity.dxftype() != "TEXT"]
        for kind in (outer, inner)
    }
    (whole,) = shapes[outer]
    return whole.difference(shapely.union_all(shapes[inner]))


def loop(entity) -> shapely.Polygon:
    """A closed polyline of either kind, its bulges by the library's own radius; or a circle."""
    if entity.dxftype() == "CIRCLE":
        return shapely.Polygon([p.vec2 for p in entity.flattening(SAGITTA)])
    light = entity.dxftype() == "LWPOLYLINE"
    corners = entity.get_points("xyb") if light else [(*v.dxf.location.vec2, v.dxf.bulge) for v in entity.vertices]
    assert entity.closed if light else entity.is_closed
    points: list[tuple[float, float]] = []
    for (x, y, bulge), (x2, y2, _) in zip(corners, [*corners[1:], corners[0]], strict=True):
        points.append((x, y))
        if bulge:
            radius = abs(bulge_radius((x, y), (x2, y2), bulge))
            points += svg_arc((x, y), radius, int(abs(bulge) > 1), int(bulge > 0), (x2, y2))
    return shapely.Polygon(points)


def drawn(name: str, panel: str) -> shapely.Geometry:
    found = seen(name, panel).panel
    cut = shapely.union_all([flat(region_of(opening.contour), SAGITTA) for opening in found.openings])
    return flat(region_of(found.outline), SAGITTA).difference(cut)


def lower_left(shape: shapely.Geometry) -> shapely.Geometry:
    return shapely.affinity.translate(shape, -shape.bounds[0], -shape.bounds[1])


@pytest.mark.parametrize(("name", "panel"), ALL)
def test_every_panel_read_back_from_svg_and_both_dxf_is_the_same_region(name: str, panel: str) -> None:
    read, panels = job(name)
    files = template_files(read, next(one for one in panels if one.name == panel))
    (svg,) = (c for n, c in files.items() if n.endswith(".svg") and "mirrored" not in n)
    (new,) = (c for n, c in files.items() if n.endswith(".dxf") and not n.endswith("r12.dxf") and "mirrored" not in n)
    (old,) = (c for n, c in files.items() if n.endswith("r12.dxf") and "mirrored" not in n)
    expected = drawn(name, panel)
    assert expected.symmetric_difference(dxf_region(new, "utf-8", "OUTLINE", "OPENING")).area < 0.1
    assert expected.symmetric_difference(dxf_region(old, "cp1252", "OUTLINE", "OPENING")).area < 0.1
    back = svg_region(svg, "OUTLINE", "OPENING")
    assert lower_left(expected).symmetric_difference(lower_left(back)).area < 0.1


def test_artwork_read_back_is_the_same_region() -> None:
    read, panels = job("lit_sign")
    files = artwork_files(read, panels[0])
    expected = drawn("lit_sign", "face")
    svg = svg_region(files["panel01-face-show.svg"], "ART_TRIM", "ART_OPENING")
    dxf = dxf_region(files["panel01-face-show.dxf"], "utf-8", "ART_TRIM", "ART_OPENING")
    assert lower_left(expected).symmetric_difference(lower_left(svg)).area < 0.1
    assert expected.symmetric_difference(dxf).area < 0.1
