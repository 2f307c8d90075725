"""Whether the machine reaches all of it: sheet, tool centres, leads, park, heights. Machine coordinates."""

from collections.abc import Iterable, Mapping

from cncpanel.errors import Gathering, Place
from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.segment import Bounds
from cncpanel.job.model import Stock
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine, Span
from cncpanel.passes.run import Run
from cncpanel.sequence.frame import centre_box, clearance_height, top_of_sheet

ROUNDING = 0.001  # mm; what a programmed number may differ from the drawn one


def check_envelope(sheet: Sheet, runs: Iterable[Run], machine: Machine, gathering: Gathering) -> None:
    """Gather a Problem for the sheet, for each part and for the heights that go beyond the travel.

    The runs are in program coordinates.
    """
    runs = tuple(runs)
    _check_sheet(sheet, machine, gathering)
    for part, box in _boxes(runs).items():
        _check_box(Place(f"sheet {sheet.number}", key=part), box, sheet, machine, gathering)
    place = Place(f"sheet {sheet.number}", key="park")
    _check_box(place, (*machine.motion.park, *machine.motion.park), sheet, machine, gathering)
    _check_heights(sheet, runs, machine, gathering)


def check_stock(stock: Stock, place: Place, machine: Machine, gathering: Gathering) -> None:
    """Gather a Problem where the machine does not reach all over such a sheet, before anything is cut from it."""
    beyond = _sheet_beyond(stock, machine)
    if beyond:
        text = f"{machine.name}: {stock.name}: {beyond} at the stated origin"
        gathering.problem(place, text, _what_fits(machine))


def largest_sheet(machine: Machine) -> tuple[float, float]:
    """Length and width of the largest sheet at the stated origin; at least 0."""
    x = max(machine.travel.x[1] - machine.table.zero_x, 0.0)
    y = max(machine.travel.y[1] - machine.table.zero_y, 0.0)
    return (y, x) if machine.sheet_turned else (x, y)


def _what_fits(machine: Machine) -> str:
    length, width = largest_sheet(machine)
    return f"the largest sheet that fits is {length:g} x {width:g}"


def _boxes(runs: Iterable[Run]) -> Mapping[str, Bounds]:
    found: dict[str, Bounds] = {}
    for run in runs:
        box = centre_box(run)
        found[run.part] = joined_bounds((found.get(run.part, box), box))
    return found


def _check_sheet(sheet: Sheet, machine: Machine, gathering: Gathering) -> None:
    beyond = _sheet_beyond(sheet.stock, machine)
    if beyond:
        place = Place(f"sheet {sheet.number}", key=sheet.stock.name)
        gathering.problem(place, f"{beyond} at the stated origin", _what_fits(machine))


def _sheet_beyond(stock: Stock, machine: Machine) -> str:
    length, width = stock.sheet
    size = (width, length) if machine.sheet_turned else (length, width)
    beyond = _beyond((0.0, 0.0, *size), machine)
    return f"sheet {length:g} x {width:g} {beyond}" if beyond else ""


def _check_box(place: Place, box: Bounds, sheet: Sheet, machine: Machine, gathering: Gathering) -> None:
    beyond = _beyond(box, machine)
    if beyond:
        gathering.problem(place, f"the tool's centre {beyond}", _what_fits(machine))


def within_travel(box: Bounds, machine: Machine) -> bool:
    """Whether the tool's centre gets all over the box (program coordinates)."""
    return not _beyond(box, machine)


def _beyond(box: Bounds, machine: Machine) -> str:
    """`reaches X 2443 of 800`, in machine coordinates; empty where all is within the travel."""
    zero_x, zero_y = machine.table.zero_x, machine.table.zero_y
    x = _axis("X", box[0] + zero_x, box[2] + zero_x, machine.travel.x)
    y = _axis("Y", box[1] + zero_y, box[3] + zero_y, machine.travel.y)
    said = " and ".join((*x, *y))
    return f"reaches {said}" if said else ""


def _axis(name: str, low: float, high: float, travel: Span) -> Iterable[str]:
    if high > travel[1] + ROUNDING:
        yield f"{name} {round(high, 2):g} of {travel[1]:g}"
    if low < travel[0] - ROUNDING:
        yield f"{name} {round(low, 2):g}, lowest {travel[0]:g}"


def highest(stock: Stock, machine: Machine) -> float:
    """Program Z of the highest place that the tip reaches over a sheet of this stock."""
    return machine.travel.z[1] - _under(stock, machine)


def _under(stock: Stock, machine: Machine) -> float:
    """How far the spoilboard's surface lies under program Z zero."""
    return stock.thickest - top_of_sheet(stock, machine)


def _check_heights(sheet: Sheet, runs: Iterable[Run], machine: Machine, gathering: Gathering) -> None:
    """Z counts over the spoilboard's surface: the sheet's underside lies on it at its thickest."""
    over = _under(sheet.stock, machine)
    place = Place(f"sheet {sheet.number}", key=sheet.stock.name)
    low, high = machine.travel.z
    clearance = clearance_height(sheet.stock, machine) + over
    if clearance > high + ROUNDING:
        text = f"the tip must clear the clamps at {clearance:g} over the spoilboard"
        most = round(high - clearance + sheet.stock.thickest, 2)
        fits = f"it lifts to {high:g}: stock up to {most:g} fits, or lower clamps"
        gathering.problem(place, text, fits)
    depths = ((step.z + over, run) for run in runs for step in run.steps)
    deepest = min(depths, key=lambda found: found[0], default=None)
    if deepest and deepest[0] < low - ROUNDING:
        text = f"{deepest[1].feature or deepest[1].kind}: the tip goes to {round(deepest[0], 3):g} over the spoilboard"
        gathering.problem(Place(place.file, key=deepest[1].part), text, f"the lowest it reaches is {low:g}")
