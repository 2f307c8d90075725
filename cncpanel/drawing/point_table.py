"""Free-form contours in figures: every point, and what leads to the next, in a table of three points a row."""

from collections.abc import Sequence
from math import ceil

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.paper import Piece, Sentence, Table
from cncpanel.geometry.segment import Segment

ACROSS = 3  # points a row
MOST_POINTS = 900  # about six pages; of a longer contour every so-many-th point is told
HEAD = ("No.", "X", "Y", "To the next")
SHARES = (9.0, 16.0, 16.0, 22.0)
WORDS = (
    "Every point of the contour in its order; to the next leads a line, or an arc of the radius told, turning left or "
    "right; LARGE where it is more than half a turn."
)


def point_table(segments: Sequence[Segment], told: Dimensioning) -> list[Piece]:
    """The contour's points; where there are too many, some of them, and a sentence that says so."""
    step = ceil(len(segments) / MOST_POINTS)
    chosen = list(enumerate(segments, start=1))[::step]
    cells = [_cells(number, segment, told, whole=step == 1) for number, segment in chosen]
    down = ceil(len(cells) / ACROSS)
    columns = [cells[first : first + down] for first in range(0, len(cells), down)]
    empty = ("",) * len(HEAD)
    rows = tuple(
        tuple(text for column in columns for text in (column[row] if row < len(column) else empty))
        for row in range(down)
    )
    skipped = (
        f"The contour has {len(segments)} points, too many for paper: one of every {step} is told, by its number. All "
        "are in the panel's DXF and on its template."
    )
    table = Table(head=HEAD * len(columns), rows=rows, shares=SHARES * len(columns))
    return [Sentence(WORDS if step == 1 else skipped), table]


def _cells(number: int, segment: Segment, told: Dimensioning, *, whole: bool) -> tuple[str, ...]:
    start = str(number), told.told(segment.start.x), told.told(segment.start.y)
    if not whole:
        return (*start, "...")
    if not segment.bulge:
        return (*start, "line")
    way = f"{'left' if segment.bulge > 0 else 'right'}{' LARGE' if abs(segment.bulge) > 1 else ''}"
    return (*start, f"R{told.told(segment.radius)} {way}")
