"""From the sheet's frame to the program's: a quarter turn where the machine asks for it, Z from its zero."""

from collections.abc import Iterable
from dataclasses import replace

from cncpanel.geometry.point import Point
from cncpanel.geometry.segment import Bounds, Segment
from cncpanel.job.model import KeepOut, Stock
from cncpanel.layout.layout import Sheet
from cncpanel.machine.model import Machine
from cncpanel.passes.run import Door, Run, Step

CLEARANCE = 5.0  # mm over the tallest clamp or, without any, over the sheet: common practice, no source
OVER_BOW = 3.0  # mm over a sheet that lies as high as table, zero and thickness let it: common practice, no source


def top_of_sheet(stock: Stock, machine: Machine) -> float:
    """Program Z of the sheet's top at its thickest reading."""
    return stock.thickest if machine.table.z_zero == "table" else 0.0


def clearance_height(stock: Stock, machine: Machine) -> float:
    """Program Z at which the tool may travel over everything that lies on the table."""
    stands = (keep.height or 0.0 for keep in stock.keep_out if keep.kind in ("clamp", "screw"))
    return (
        top_of_sheet(stock, machine)
        + max(machine.table.clamp_height, *stands, 0.0)
        + max(CLEARANCE, _bow(machine) + OVER_BOW)
    )


def hop_over(machine: Machine) -> float:
    """How high over a sheet on which nothing stands and nothing is free the tool may travel, mm."""
    return _bow(machine) + OVER_BOW


def _bow(machine: Machine) -> float:
    """How much higher than programmed a sheet's top may lie, mm."""
    return machine.table.flatness + machine.table.z_error + machine.table.thickness_spread


def programmed_size(sheet: Sheet, machine: Machine) -> tuple[float, float]:
    """How far the sheet reaches along program X and Y."""
    return (sheet.width, sheet.length) if machine.sheet_turned else (sheet.length, sheet.width)


def programmed_keep_outs(sheet: Sheet, machine: Machine, others: Iterable[KeepOut] = ()) -> list[Bounds]:
    """The others, the sheet's keep-outs, and the dowels that it is turned over on, in program coordinates."""
    keep_outs = (*others, *sheet.stock.keep_out)
    boxes = [(*keep.at, keep.at[0] + keep.size[0], keep.at[1] + keep.size[1]) for keep in keep_outs]
    if sheet.side is not None:
        boxes += [grown((*place, *place), sheet.side.dowel / 2) for place in sheet.side.dowels]
    if not machine.sheet_turned:
        return boxes
    return [(sheet.width - high, left, sheet.width - low, right) for left, low, right, high in boxes]


def programmed(run: Run, sheet: Sheet, machine: Machine) -> Run:
    """The run in program coordinates, without its doors; a quarter turn keeps the arcs' sense."""
    rise = top_of_sheet(sheet.stock, machine)
    steps = tuple(_turned(step, rise, sheet.width, machine) for step in run.steps)
    start = _point(run.start, sheet.width, machine)
    return replace(run, start=start, approach=run.approach + rise, steps=steps, entries=None)


def programmed_door(door: Door, sheet: Sheet, machine: Machine) -> Door:
    """The door in program coordinates."""
    start, end = (_point(place, sheet.width, machine) for place in (door.start, door.end))
    lead = door.lead
    if lead is not None and machine.sheet_turned:
        lead = (sheet.width - lead[3], lead[0], sheet.width - lead[1], lead[2])
    return Door(start, end, lead)


def _turned(step: Step, rise: float, width: float, machine: Machine) -> Step:
    x, y = _point(Point(step.x, step.y), width, machine)
    return replace(step, x=x, y=y, z=step.z + rise)


def _point(point: Point, width: float, machine: Machine) -> Point:
    return Point(width - point.y, point.x) if machine.sheet_turned else point


def end_of(run: Run) -> Point:
    """Where the run lifts off."""
    return Point(run.steps[-1].x, run.steps[-1].y) if run.steps else run.start


def segments_of(run: Run) -> tuple[Segment, ...]:
    """Its moves seen from above, straight down ones as segments of no length."""
    here, found = run.start, []
    for step in run.steps:
        there = Point(step.x, step.y)
        found.append(Segment(here, there, step.bulge if there != here else 0.0))
        here = there
    return tuple(found)


def centre_box(run: Run) -> Bounds:
    """The box of the tool's centre."""
    (x, y), xs, ys = run.start, [run.start.x], [run.start.y]
    for step in run.steps:
        if step.bulge and (x, y) != (step.x, step.y):
            left, low, right, high = Segment(Point(x, y), Point(step.x, step.y), step.bulge).bounds
            xs += left, right
            ys += low, high
        x, y = step.x, step.y
        xs.append(x)
        ys.append(y)
    return min(xs), min(ys), max(xs), max(ys)


def grown(box: Bounds, by: float) -> Bounds:
    """The box, larger on every side."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
