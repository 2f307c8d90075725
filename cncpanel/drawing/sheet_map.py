"""A sheet seen from above as it lies on the machine: parts and their cuts, tabs, zero, touch-off spot, used area."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from cncpanel.drawing.map_places import keep_out_items, leftover_box, leftover_words, screw_items
from cncpanel.drawing.measures import Measures, ruled
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.drawing.part_label import part_label
from cncpanel.drawing.turning import turn_line, turn_marks
from cncpanel.drawing.used_area import UsedArea
from cncpanel.drawing.view import BORDER, View
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import Contour, circle
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region, region_of
from cncpanel.layout.layout import Part, Sheet, placement
from cncpanel.layout.leftover import Leftover
from cncpanel.operation.operation import PanelPlan
from cncpanel.panel.panel import Panel
from cncpanel.passes.run import Tab

CHORD = 0.05  # mm on paper
PAPER, WASTE, RECESS = 1.0, 0.87, 0.7  # shades that a black-and-white printer keeps apart
TAB_LEAST = 1.0  # mm on paper; a tab is never drawn shorter
ARROW = 14.0  # mm on paper
BESIDE = 3.2  # mm on paper between the sheet's rim and the arrows, so that a touch-off ring in the corner stays clear
LETTERS = 2.4  # mm
LINE_AIR = 0.4  # mm on paper to both sides of the line that the sheet is turned about

KEY = (
    "White: parts. Light grey: waste. Dark grey: recesses. Black bars: tabs. Long dashes: the way of the tool's centre "
    "in the frame program."
)
MARGIN_KEY = "Fine dots: margin."


@dataclass(frozen=True, slots=True, kw_only=True)
class MapFacts:
    """What the map shows beside the sheet itself; all in the sheet's frame."""

    plans: Mapping[int, PanelPlan]
    tabs: Iterable[Tab]
    used: UsedArea | None
    clamps: bool
    spot: Point | None
    measures: Measures
    left: Sequence[Leftover] = ()


def sheet_map(view: View, facts: MapFacts) -> Picture:
    """The picture; parts are numbered from 1 in the sheet's order."""
    sheet = view.sheet
    items: list[Stroke | Label] = [
        Stroke(points=view.box((0, 0, sheet.length, sheet.width)), closed=True, width=0.5, shade=WASTE),
        *_margin(view, sheet),
    ]
    items += [leftover_box(view, left) for left in facts.left]
    named = [item for left in facts.left for item in leftover_words(view, left, WASTE, facts.measures.units[0])]
    line = Area.of([]) if sheet.side is None else Area.swept([[turn_line(view, sheet.side)]], LINE_AIR)
    for count, part in enumerate(sheet.parts, start=1):
        drawn = _Drawn(view, facts.plans[part.panel].panel, part)
        items += drawn.strokes()
        area, cuts, through = drawn.areas()
        named += part_label(count, part.label, area, cuts.plus(line), through)
    standing = [keep for keep in sheet.stock.keep_out if keep.hole is None]
    driven = [keep for keep in sheet.stock.keep_out if keep.hole is not None]
    items += [item for keep in standing for item in keep_out_items(view, keep)]
    items += [*_used(view, facts), *(_tab(view, tab) for tab in facts.tabs)]
    items += [*(turn_marks(view, sheet.side) if sheet.side else ()), *named]
    items += [item for number, keep in enumerate(driven, 1) for item in screw_items(view, keep, number)]
    items += [*_zero(view), *_sizes(view, facts.measures)]
    if facts.spot is not None:
        items += _touch_off(view, facts.spot)
    width, height = view.size
    return Picture(width=width, height=height, items=tuple(items))


def _margin(view: View, sheet: Sheet) -> Iterator[Stroke]:
    inset = sheet.stock.margin
    if 0 < 2 * inset < min(sheet.length, sheet.width):
        box = (inset, inset, sheet.length - inset, sheet.width - inset)
        yield Stroke(points=view.box(box), closed=True, width=0.1, dash=0.5)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A part on paper."""

    view: View
    panel: Panel
    part: Part

    def on_paper(self, contour: Contour) -> Contour:
        return self.view.contour(placement(self.panel, self.part).contour(contour))

    def loop(self, contour: Contour, width: float, shade: float) -> Stroke:
        points = tuple((p.x, p.y) for p in self.on_paper(contour).flattened(CHORD))
        return Stroke(points=points, closed=True, width=width, shade=shade)

    def strokes(self) -> Iterator[Stroke]:
        """White part, grey recesses, openings and holes in the colour of waste."""
        yield self.loop(self.panel.outline, 0.35, PAPER)
        for recess in self.panel.recesses:
            yield self.loop(recess.region.outer, 0.1, RECESS)
            yield from (self.loop(hole, 0.1, PAPER) for hole in recess.region.holes)
        for hole in self.panel.holes:
            yield self.loop(circle(hole.centre, hole.diameter / 2), 0.1, WASTE if hole.depth is None else RECESS)
        yield from (self.loop(opening.contour, 0.15, WASTE) for opening in self.panel.openings)

    def areas(self) -> tuple[Area, Area, Area]:
        """The part on paper, everything that is cut inside, what goes right through."""
        holes = [circle(hole.centre, hole.diameter / 2) for hole in self.panel.holes]
        through = self._area([*(opening.contour for opening in self.panel.openings), *holes])
        cuts = through.plus(self._area(recess.region.outer for recess in self.panel.recesses))
        return self._area([self.panel.outline]), cuts, through

    def _area(self, contours: Iterable[Contour]) -> Area:
        return Area.of(map(self._flat, contours))

    def _flat(self, contour: Contour) -> Region:
        return region_of(self.on_paper(contour))


def _used(view: View, facts: MapFacts) -> Iterator[Stroke]:
    if facts.used is None:
        return
    yield Stroke(points=view.box(facts.used.frame), closed=True, width=0.25, dash=2.5)
    if facts.clamps:
        left, low, right, high = facts.used.clear
        sheet = view.sheet
        inside = (max(left, 0), max(low, 0), min(right, sheet.length), min(high, sheet.width))
        yield Stroke(points=view.box(inside), closed=True, width=0.45, dash=0.9)


def _tab(view: View, tab: Tab) -> Stroke:
    half = tab.along.times(max(tab.width, TAB_LEAST / view.factor) / 2)
    ends = (tab.centre.minus(half), tab.centre.plus(half))
    return Stroke(points=tuple(map(view.at, ends)), width=1.1)


def _zero(view: View) -> Iterator[Stroke | Label]:
    """Arrows along program X and Y beside the corner that is their zero."""
    o, head = BORDER - BESIDE, 1.6
    tip = o + ARROW
    yield Stroke(points=((o, o), (tip - head, o)), width=0.9)
    yield Stroke(points=((o, o), (o, tip - head)), width=0.9)
    yield Stroke(points=((tip, o), (tip - 2 * head, o + head), (tip - 2 * head, o - head)), closed=True, shade=0.0)
    yield Stroke(points=((o, tip), (o + head, tip - 2 * head), (o - head, tip - 2 * head)), closed=True, shade=0.0)
    yield Label(x=tip + 1, y=o - LETTERS / 2, text="X", size=LETTERS, bold=True)
    yield Label(x=o, y=tip + 1, text="Y", size=LETTERS, anchor="middle", bold=True)
    yield Label(x=0.3, y=1.0, text="X0 Y0", size=LETTERS, bold=True)


def _sizes(view: View, measures: Measures) -> Iterator[Label]:
    width, height = view.size
    across, away = (_said(value, measures) for value in (view.across, view.away))
    yield Label(x=width - BORDER, y=BORDER - 5, text=across, size=2.2, anchor="right")
    yield Label(x=width - BORDER + 4, y=height - BORDER, text=away, size=2.2, anchor="right", turn_deg=90)


def _said(length: float, measures: Measures) -> str:
    return ruled(length, measures.units[0])


def _touch_off(view: View, spot: Point) -> Iterator[Stroke | Label]:
    """A ring with a cross and a Z, on white."""
    x, y = view.at(spot)
    ring = [Point(x, y).plus(Point(p.x, p.y)) for p in circle((0.0, 0.0), 1.9).flattened(CHORD)]
    yield Stroke(points=tuple((p.x, p.y) for p in ring), closed=True, width=0.4, shade=PAPER)
    yield Stroke(points=((x - 2.9, y), (x + 2.9, y)), width=0.4)
    yield Stroke(points=((x, y - 2.9), (x, y + 2.9)), width=0.4)
    yield Stroke(
        points=((x + 2.2, y + 1.1), (x + 5.2, y + 1.1), (x + 5.2, y + 4.1), (x + 2.2, y + 4.1)),
        closed=True,
        width=0.0,
        shade=PAPER,
    )
    yield Label(x=x + 2.6, y=y + 1.4, text="Z", size=LETTERS, bold=True)
