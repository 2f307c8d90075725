"""A board as it is sawn: parts by their pieces' names, every cut with its number, what is left over."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from cncpanel.drawing.dimension import Dimensioning
from cncpanel.drawing.letter_widths import text_width
from cncpanel.drawing.paper import Label, Picture, Stroke
from cncpanel.drawing.part_label import part_label
from cncpanel.drawing.spread import spread
from cncpanel.drawing.words import BELOW, fitted
from cncpanel.geometry.area import Area
from cncpanel.geometry.contour import polygon
from cncpanel.geometry.region import Region
from cncpanel.layout.saw.plan import WHOLE, Box, Leftover, SawSheet, parted

BORDER = 11.0  # mm round the board, for numbers and sizes
PART, LEFT_OVER, WASTE = 1.0, 0.93, 0.8  # shades that a black-and-white printer keeps apart
NUMBER = 1.9  # mm capitals of a cut's number
AIR = 0.5
BESIDE = 2.2  # mm from the board to the numbers of its rips
USEFUL = 50.0  # mm; a narrower rest is waste
NAMED = 2.0  # mm capitals
KEY = (
    "Numbers in boxes: the cuts in their order, each from one edge of its piece to the other. White: parts. "
    "Light grey: "
    "what is left over. Grey: waste."
)


NO_NAMES: Mapping[str, str] = MappingProxyType({})
Ends = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True, slots=True)
class SawView:
    """Sheet millimetres to paper millimetres; `names` are the rack's, of the pieces that are worth keeping."""

    sheet: SawSheet
    kerf: float
    factor: float
    names: Mapping[str, str]

    @staticmethod
    def within(
        sheet: SawSheet, kerf: float, width: float, height: float, names: Mapping[str, str] = NO_NAMES
    ) -> "SawView":
        """The largest view with its border inside `width` x `height` mm of paper."""
        factor = min((width - 2 * BORDER) / sheet.length, (height - 2 * BORDER) / sheet.width)
        return SawView(sheet, kerf, factor, names)

    @property
    def size(self) -> tuple[float, float]:
        """Of the picture on paper."""
        return self.sheet.length * self.factor + 2 * BORDER, self.sheet.width * self.factor + 2 * BORDER

    def box(self, box: Box) -> Box:
        """On paper."""
        left, low, right, high = (BORDER + side * self.factor for side in box)
        return left, low, right, high


def saw_map(view: SawView, told: Dimensioning) -> Picture:
    """The picture of one board."""
    sheet = view.sheet
    board = view.box((0.0, 0.0, sheet.length, sheet.width))
    numbers = list(_numbers(view))
    taken = [_label_box(label) for label in numbers]
    items: list[Stroke | Label] = [_filled(board, 0.5, WASTE)]
    for left in sheet.leftovers:
        if min(left.size) >= USEFUL:
            items.append(_filled(view.box(left.box), 0.1, LEFT_OVER))
    items += [_filled(view.box(part.box), 0.25, PART) for part in sheet.parts]
    items += list(_lines(view, numbers))
    for part in sheet.parts:
        box = view.box(part.box)
        near = [one for one in taken if _meet(one, box)]
        items += part_label(part.piece, part.label, _area([box]), _area(near), _area([]))
    items += [label for left in sheet.leftovers for label in _left_label(view, left, told, taken)]
    for label, box in zip(numbers, taken, strict=True):
        items += [_filled(box, 0.15, 1.0), label]
    items += _sizes(view, told)
    width, height = view.size
    return Picture(width=width, height=height, items=tuple(items))


def _numbers(view: SawView) -> Iterator[Label]:
    """Every cut's number in the order of the cuts: rips of the board beside it, others on their line."""
    places = _rip_places(view)
    taken: list[Box] = []
    for cut, ends in zip(view.sheet.cuts, cut_lines(view.sheet, view.kerf), strict=True):
        text = str(cut.number)
        if cut.number in places:
            yield _number(text, BORDER - BESIDE - _wide(text) / 2, places[cut.number])
            continue
        spots = [_number(text, x, y) for x, y in _spots(view, ends, _wide(text))]
        free = (label for label in spots if not any(_meet(_label_box(label), one) for one in taken))
        label = next(free, spots[0])
        taken.append(_label_box(label))
        yield label


def _spots(view: SawView, ends: Ends, wide: float) -> Iterator[tuple[float, float]]:
    """Where a cut's number may stand on its line: near its lower or left end first, where names seldom stand."""
    (x, y), (x2, y2) = (tuple(BORDER + side * view.factor for side in end) for end in ends)
    along = max(x2 - x, y2 - y)
    step = wide + 0.4 if y2 == y else NUMBER + 2 * AIR + 0.4
    start = min((1.0 if y2 == y else 0.5) + step / 2, along / 2)
    while start <= max(along - step / 2, along / 2):
        yield (x + start, y) if y2 == y else (x, y + start)
        start += step


def _number(text: str, x: float, y: float) -> Label:
    """The text with its middle there."""
    return Label(x=x, y=y - NUMBER / 2, text=text, size=NUMBER, anchor="middle", bold=True)


def _rip_places(view: SawView) -> dict[int, float]:
    """Where the numbers of the board's rips stand beside it, low to high."""
    lines = zip(view.sheet.cuts, cut_lines(view.sheet, view.kerf), strict=True)
    rips = sorted((BORDER + a[1] * view.factor, cut.number) for cut, (a, _) in lines if cut.stage == 1)
    low, high = NUMBER, view.size[1] - NUMBER
    places = spread([y for y, _ in rips], NUMBER + 2 * AIR + 0.3, low, high)
    return {} if places is None else {number: y for (_, number), y in zip(rips, places, strict=True)}


def _lines(view: SawView, numbers: list[Label]) -> Iterator[Stroke]:
    """The cuts as lines; rips of the board reach out to their numbers."""
    places = _rip_places(view)
    for cut, (a, b), label in zip(view.sheet.cuts, cut_lines(view.sheet, view.kerf), numbers, strict=True):
        ends = [(BORDER + x * view.factor, BORDER + y * view.factor) for x, y in (a, b)]
        if cut.number in places:
            ends = [(label.x + _wide(label.text) / 2, places[cut.number]), (ends[0][0] - 0.4, ends[0][1]), *ends]
        yield Stroke(points=tuple(ends), width=0.35 if cut.stage == 1 else 0.25)


def cut_lines(sheet: SawSheet, kerf: float) -> list[Ends]:
    """Both ends of every cut's middle, in the sheet's frame."""
    lies: dict[str, Box] = {WHOLE: (0.0, 0.0, sheet.length, sheet.width)}
    lines: list[Ends] = []
    for cut in sheet.cuts:
        box = lies.pop(cut.piece)
        near, far = parted(box, cut.axis, cut.edge, cut.setting, kerf)
        lies[cut.kept] = near
        if far is not None:
            lies[cut.freed] = far
        middle = kerf / 2 if cut.edge == "low" else -kerf / 2
        if cut.axis == "x":
            y = (near[3] if cut.edge == "low" else near[1]) + middle
            lines.append(((box[0], y), (box[2], y)))
        else:
            x = (near[2] if cut.edge == "low" else near[0]) + middle
            lines.append(((x, box[1]), (x, box[3])))
    return lines


def _wide(text: str) -> float:
    return text_width(text, NUMBER) + 2 * AIR


def _label_box(label: Label) -> Box:
    """The box drawn round a cut's number."""
    half = _wide(label.text) / 2
    return label.x - half, label.y - AIR, label.x + half, label.y + label.size + AIR


def _left_label(view: SawView, left: Leftover, told: Dimensioning, taken: list[Box]) -> Iterator[Label]:
    """The size of a useful rest, with its name for the rack, where they find room; else the name, or the size."""
    if min(left.size) < USEFUL:
        return
    size = f"{told.told(left.size[0])} x {told.told(left.size[1])}"
    name = view.names.get(left.piece, "")
    for words in (f"{name}: {size}", name, size) if name else (size,):
        label = _within(view.box(left.box), words, taken)
        if label is not None:
            yield label
            return


def _within(box: Box, words: str, taken: list[Box]) -> Label | None:
    """The words in the middle of the box; None where they have no room."""
    size = min(NAMED, (box[3] - box[1]) * 0.6)
    text = fitted(words, size, box[2] - box[0] - 2 * AIR)
    if text != words or size < 1.3:
        return None
    x, y = (box[0] + box[2]) / 2, (box[1] + box[3]) / 2 - size / 2
    half = text_width(text, size) / 2
    if any(_meet((x - half, y - BELOW * size, x + half, y + size), one) for one in taken):
        return None
    return Label(x=x, y=y, text=text, size=size, anchor="middle")


def _sizes(view: SawView, told: Dimensioning) -> Iterator[Label]:
    """The board's length below it, its width beside it."""
    _, low, right, high = view.box((0.0, 0.0, view.sheet.length, view.sheet.width))
    yield Label(
        x=BORDER + (right - BORDER) / 2, y=low - 4.0, text=told.told(view.sheet.length), size=NAMED, anchor="middle"
    )
    y = (low + high) / 2
    text = told.told(view.sheet.width)
    yield Label(x=right + 4.0, y=y, text=text, size=NAMED, anchor="middle", turn_deg=90.0)


def _filled(box: Box, width: float, shade: float) -> Stroke:
    left, low, right, high = box
    corners = ((left, low), (right, low), (right, high), (left, high))
    return Stroke(points=corners, closed=True, width=width, shade=shade)


def _area(boxes: list[Box]) -> Area:
    return Area.of([Region(polygon(_corners(box))) for box in boxes])


def _corners(box: Box) -> list[tuple[float, float]]:
    left, low, right, high = box
    return [(left, low), (right, low), (right, high), (left, high)]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
