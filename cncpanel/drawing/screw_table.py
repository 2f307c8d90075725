"""Where the screws go that hold a sheet, numbered as on the map."""

from collections.abc import Iterator, Sequence

from cncpanel.drawing.measures import Measures
from cncpanel.drawing.paper import Table
from cncpanel.drawing.view import View
from cncpanel.geometry.point import Point
from cncpanel.job.model import KeepOut

ABREAST = 3  # screws in a row of the table


def screw_table(screws: Sequence[KeepOut], view: View, measures: Measures) -> Iterator[Table]:
    """Each screw's number and its place as the machine shows it; no table where there are none."""
    cells = [
        (f"S{number}", measures.place(view.program(Point(*screw.centre)))) for number, screw in enumerate(screws, 1)
    ]
    rows = []
    for first in range(0, len(cells), ABREAST):
        row = [text for cell in cells[first : first + ABREAST] for text in cell]
        rows.append(tuple(row + [""] * (2 * ABREAST - len(row))))
    if rows:
        yield Table(head=("Screw", "Place") * ABREAST, rows=tuple(rows), shares=(12, 38) * ABREAST)
