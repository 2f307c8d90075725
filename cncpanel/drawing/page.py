"""Pages drawn to measure: lines and arcs kept, words, windows on a larger drawing. Millimetres, no file format yet."""

from dataclasses import dataclass

from cncpanel.drawing.paper import Label
from cncpanel.drawing.words import label_box
from cncpanel.geometry.contour import Contour, Path
from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How a line looks; `shade` 0 black .. 1 white. `spot`: in the cut line's own ink, over what lies below."""

    width: float
    dash: tuple[float, ...] = ()
    shade: float = 0.0
    spot: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A chain of lines and arcs; `layer` is its kind of work for formats that have layers, `fill` a shade."""

    shape: Contour | Path
    pen: Pen
    layer: str = ""
    fill: float | None = None

    @property
    def bounds(self) -> Bounds:
        """(xmin, ymin, xmax, ymax), the pen's width left out; raises ValueError for a path without vertices."""
        return self.shape.bounds


Item = Line | Label


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """The part of a drawing within `bounds`, its lower left at `at` on the page, `factor` times its size."""

    items: tuple[Item, ...]
    bounds: Bounds
    at: Point
    factor: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page. Items and windows are in millimetres as they are to measure on the printed page.

    `correction` stretches x and y for a printer that is known to be off; width and height are before it. `trim` and
    `bleed` are the finished piece and how far its print goes on (ISO 32000's TrimBox and BleedBox); absent: neither.
    """

    name: str
    width: float
    height: float
    items: tuple[Item, ...] = ()
    windows: tuple[Window, ...] = ()
    correction: tuple[float, float] = (1.0, 1.0)
    trim: Bounds | None = None
    bleed: Bounds | None = None


def item_box(item: Item) -> Bounds:
    """The box round a line or a label."""
    return item.bounds if isinstance(item, Line) else label_box(item)


def meet(a: Bounds, b: Bounds) -> bool:
    """Whether two boxes touch or overlap."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
