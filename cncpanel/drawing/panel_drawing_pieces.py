"""A panel's drawing as a part of the set: title block, the picture, tables of holes, cuts and corners, notes."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.lettered import MOST_CORNERS, Field, LetteredCut, LetteredHole, called, is_circle, is_plain, radii
from cncpanel.drawing.panel_drawing import MOST_NAMED, PanelDrawing, panel_drawing
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.drawing.point_table import point_table
from cncpanel.drawing.scale import scale_words
from cncpanel.drawing.seen import Seen
from cncpanel.geometry.contour import Contour
from cncpanel.geometry.segment import Segment
from cncpanel.job.model import Face, JobHead
from cncpanel.panel.panel import Panel

THROUGH = "through"
DATUM = "X and Y from the panel's lower left corner (of its box), seen from the show face."


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPanel:
    """What a panel's pages need: `number` of `count` drawings, the job's note for it."""

    seen: Seen
    head: JobHead
    note: str
    checksum: str
    number: int
    count: int


def panel_pieces(drawn: DrawnPanel, told: Dimensioning, width: float) -> list[Piece]:
    """The panel's pages, `width` mm wide."""
    drawing = panel_drawing(drawn.seen, told, width)
    return [
        Heading(f"Drawing {drawn.number} of {drawn.count}: {drawn.seen.panel.name}", 1),
        title_block(drawn, drawing, told),
        drawing.picture,
        Bullets(tuple(_notes(drawn, drawing, told))),
        *_holes(drawing, told),
        *_fields(drawing, told),
        *_cuts(drawing, told),
        *_corners(drawing, told),
        *_free_forms(drawing, told),
    ]


def title_block(drawn: DrawnPanel, drawing: PanelDrawing, told: Dimensioning) -> Table:
    """Which job and panel, of what, how many, at which scale."""
    head, panel = drawn.head, drawn.seen.panel
    job = ", ".join(part for part in (head.name, f"revision {head.revision}", head.date) if part)
    return Table(
        head=("Job", "Panel", "Stock", "Thickness", "Quantity", "Face", "Scale", "File SHA-256"),
        rows=(
            (
                job,
                f"{panel.index + 1} {panel.name}",
                panel.stock.name,
                thickness_words(panel, told),
                quantity_words(panel),
                "show face",
                scale_words(drawing.scale),
                drawn.checksum,
            ),
        ),
        shares=(26, 26, 20, 24, 27, 16, 12, 25),
    )


def thickness_words(panel: Panel, told: Dimensioning) -> str:
    """`18 (measured 17.9 to 18)`."""
    stock = panel.stock
    nominal, least, most = told.told(stock.thickness), told.told(stock.thinnest), told.told(stock.thickest)
    if not stock.measured:
        return f"{nominal} (not measured)"
    return f"{nominal} (measured {least if least == most else f'{least} to {most}'})"


def quantity_words(panel: Panel) -> str:
    """`2: 1 as drawn, 1 mirrored`."""
    if not panel.mirrored:
        return f"{panel.copies} as drawn"
    as_drawn = f"{panel.copies} as drawn, " if panel.copies else ""
    return f"{panel.copies + panel.mirrored}: {as_drawn}{panel.mirrored} mirrored left to right"


def _notes(drawn: DrawnPanel, drawing: PanelDrawing, told: Dimensioning) -> Iterator[str]:
    panel = drawn.seen.panel
    yield f"{told.words} {DATUM}"
    if any(map(_goes_part_way, panel.sides[1:])):
        yield "Cut from BOTH faces: what goes part way from the back is dashed; a depth counts from the face beside it."
    elif drawn.seen.worked_behind:
        yield "Cut from the BACK face: what goes part way is dashed, its depth counts from the back."
    elif _goes_part_way(panel):
        yield "Cut from the show face: depths count from it."
    if panel.mirrored:
        yield "Mirrored copies: X counts from their lower RIGHT corner, seen from their show face."
    yield f"Edges: {panel.edge_words or 'square'}."
    if any(hole.top for side in panel.sides for hole in side.holes):
        yield "A hole in a recess starts from the recess's floor; its depth counts from the face."
    if drawing.without_letter:
        yield (
            f"No room on the drawing for the letters {', '.join(drawing.without_letter)}: find them by X and Y in the "
            "tables."
        )
    if len(drawing.lettered.corners) > MOST_NAMED:
        yield _where_corners_are(drawing, told)
    if drawing.left_out:
        yield f"Not on the drawing for want of room, in the tables: {' and '.join(drawing.left_out)}."
    if drawn.note:
        yield drawn.note


def _goes_part_way(panel: Panel) -> bool:
    return bool(panel.recesses or any(hole.depth is not None for hole in panel.holes))


def _face_words(face: Face, drawing: PanelDrawing) -> str:
    """`, back` after a depth on a panel that is cut from both faces, else nothing."""
    return f", {face}" if any(map(_goes_part_way, drawing.seen.panel.sides[1:])) else ""


def _where_corners_are(drawing: PanelDrawing, told: Dimensioning) -> str:
    """Of an outline whose corners have no room for their names: the first, and which way the others follow."""
    corners = drawing.lettered.corners
    x, y = (told.told(value) for value in corners[0].start)
    way = "counter-clockwise" if drawing.seen.outline.area > 0 else "clockwise"
    return (
        f"The outline's {len(corners)} corners bear no names on the drawing: corner 1 lies at X {x}, Y {y}, the others "
        f"follow {way} as in the table."
    )


def _holes(drawing: PanelDrawing, told: Dimensioning) -> list[Piece]:
    holes = drawing.lettered.holes
    if not holes:
        return []
    rows = tuple(_hole_row(found, drawing, told) for found in holes)
    head = ("Hole", "X", "Y", "Diameter", "Depth", "Counterbore", "What for")
    table = Table(head=head, rows=rows, shares=(11, 24, 24, 22, 22, 36, 45))
    return [Heading("Holes"), table if any(found.counterbore for found in holes) else table.without(5)]


def _hole_row(found: LetteredHole, drawing: PanelDrawing, told: Dimensioning) -> tuple[str, ...]:
    hole, bore = found.hole, found.counterbore
    bored_from, face = _face_words(found.bored_from, drawing), _face_words(found.face, drawing)
    return (
        found.letter,
        told.told(hole.centre.x),
        told.told(hole.centre.y),
        told.told(hole.diameter),
        THROUGH if hole.depth is None else f"{told.told(hole.depth)}{face}",
        f"\u00d8{told.told(_width(bore.region.outer))}, {told.told(bore.depth)} deep{bored_from}" if bore else "-",
        hole.name or "-",
    )


def _fields(drawing: PanelDrawing, told: Dimensioning) -> list[Piece]:
    if not drawing.lettered.fields:
        return []
    head = ("Field", "What", "Cells", "Each", "From X", "to X", "From Y", "to Y")
    rows = tuple(_field_row(field, told) for field in drawing.lettered.fields)
    words = "A field's X and Y are the outer edges of its outermost cells. Where each cell lies: the panel's DXF."
    return [Heading("Fields"), Sentence(words), Table(head=head, rows=rows, shares=(12, 34, 13, 40, 20, 20, 20, 20))]


def _field_row(field: Field, told: Dimensioning) -> tuple[str, ...]:
    left, low, right, high = field.bounds
    return (
        field.letter,
        field.name or "-",
        str(field.count),
        f"{_cell_words(field.cell, told)}{', through' if field.through else ''}",
        *(told.told(value) for value in (left, right, low, high)),
    )


def _cell_words(cell: Contour, told: Dimensioning) -> str:
    if is_circle(cell):
        return f"\u00d8{told.told(_width(cell))}"
    return f"{told.told(_width(cell))} x {told.told(_height(cell))}"


def _cuts(drawing: PanelDrawing, told: Dimensioning) -> list[Piece]:
    cuts = drawing.lettered.cuts
    if not cuts:
        return []
    head = ("Cut", "What", "X", "Y", "Width", "Height", "Radii", "Depth")
    rows = tuple(_cut_row(cut, drawing, told) for cut in cuts)
    words = "X and Y are the lower left of each cut's box."
    return [Heading("Cuts"), Sentence(words), Table(head=head, rows=rows, shares=(11, 48, 21, 21, 21, 21, 24, 19))]


def _cut_row(cut: LetteredCut, drawing: PanelDrawing, told: Dimensioning) -> tuple[str, ...]:
    left, low, _, _ = cut.contour.bounds
    return (
        f"({cut.letter})",
        called(cut.kind, cut.name),
        *(told.told(value) for value in (left, low, _width(cut.contour), _height(cut.contour))),
        _radii_words(cut.contour, told),
        THROUGH if cut.depth is None else f"{told.told(cut.depth)}{_face_words(cut.face, drawing)}",
    )


def _radii_words(contour: Contour, told: Dimensioning) -> str:
    if is_circle(contour):
        return f"\u00d8{told.told(_width(contour))}"
    found = [f"R{told.told(radius)}" for radius in radii(contour.segments)]
    return ", ".join(found[:3]) + (" ..." if len(found) > 3 else "") if found else "-"


def _corners(drawing: PanelDrawing, told: Dimensioning) -> list[Piece]:
    """The outline's corners, round it as it is drawn; an arc leads to the next where a radius stands."""
    corners = drawing.lettered.corners
    if not corners:
        return []
    if len(corners) > MOST_CORNERS:
        return [Heading("Outline"), *point_table(corners, told)]
    head = ("Corner", "X", "Y", "To the next", "Length or radius", "Arc's centre X, Y")
    rows = tuple(_corner_row(number, segment, told) for number, segment in enumerate(corners, start=1))
    return [Heading("Outline"), Table(head=head, rows=rows, shares=(16, 26, 26, 40, 34, 42))]


def _free_forms(drawing: PanelDrawing, told: Dimensioning) -> Iterator[Piece]:
    """The points of cuts that a box and radii do not tell."""
    for cut in drawing.lettered.cuts:
        if not is_plain(cut.contour):
            yield Heading(f"Points of cut ({cut.letter})")
            yield from point_table(cut.contour.segments, told)


def _corner_row(number: int, segment: Segment, told: Dimensioning) -> tuple[str, ...]:
    start = f"P{number}", told.told(segment.start.x), told.told(segment.start.y)
    if not segment.bulge:
        return (*start, "line", told.told(segment.length), "-")
    turn = "left" if segment.bulge > 0 else "right"
    centre = f"{told.told(segment.centre.x)}, {told.told(segment.centre.y)}"
    return (*start, f"arc {abs(degrees(segment.sweep)):.1f} deg {turn}", f"R{told.told(segment.radius)}", centre)


def _width(contour: Contour) -> float:
    left, _, right, _ = contour.bounds
    return right - left


def _height(contour: Contour) -> float:
    _, low, _, high = contour.bounds
    return high - low
