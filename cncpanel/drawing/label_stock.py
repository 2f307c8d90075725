"""Sheets of labels as they are sold, called by paper and labels across and down: common practice, no source.

Makers of label sheets share these sizes; the margins follow from labels that lie centred on their paper. Measure a
sheet before the first print.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from cncpanel.geometry.segment import Bounds
from cncpanel.job.paper import LabelStock
from cncpanel.job.paper_size import PAPERS
from cncpanel.units import in_millimetres

IN = in_millimetres("inch")
THIRDS = 4 / 3 * IN  # seven down on 11 in leave 5/6 in above and below


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelSheet:
    """`size` of one label, `pitch` from one to the next, millimetres; centred on its paper."""

    paper: str
    across: int
    down: int
    size: tuple[float, float]
    pitch: tuple[float, float]

    @property
    def page(self) -> tuple[float, float]:
        """The paper's width and height."""
        return PAPERS[self.paper]

    def boxes(self) -> Iterator[Bounds]:
        """Where the labels lie, row by row from the upper left."""
        (width, height), (right, up), (page_width, page_height) = self.size, self.pitch, self.page
        left = (page_width - (self.across - 1) * right - width) / 2
        foot = (page_height - (self.down - 1) * up - height) / 2
        for row in reversed(range(self.down)):
            for column in range(self.across):
                x, y = left + column * right, foot + row * up
                yield x, y, x + width, y + height


LABEL_SHEETS: dict[LabelStock, LabelSheet] = {
    "A4 3x8": LabelSheet(paper="A4", across=3, down=8, size=(63.5, 33.9), pitch=(66.0, 33.9)),
    "A4 3x7": LabelSheet(paper="A4", across=3, down=7, size=(63.5, 38.1), pitch=(66.0, 38.1)),
    "A4 2x7": LabelSheet(paper="A4", across=2, down=7, size=(99.1, 38.1), pitch=(101.6, 38.1)),
    "A4 2x4": LabelSheet(paper="A4", across=2, down=4, size=(99.1, 67.7), pitch=(101.6, 67.7)),
    "Letter 3x10": LabelSheet(paper="Letter", across=3, down=10, size=(2.625 * IN, IN), pitch=(2.75 * IN, IN)),
    "Letter 2x10": LabelSheet(paper="Letter", across=2, down=10, size=(4 * IN, IN), pitch=(4.1875 * IN, IN)),
    "Letter 2x7": LabelSheet(paper="Letter", across=2, down=7, size=(4 * IN, THIRDS), pitch=(4.1875 * IN, THIRDS)),
    "Letter 2x5": LabelSheet(paper="Letter", across=2, down=5, size=(4 * IN, 2 * IN), pitch=(4.1875 * IN, 2 * IN)),
}
