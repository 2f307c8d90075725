"""What a template says to whoever prints, joins and traces it."""

from collections.abc import Iterator

from cncpanel.drawing import template as drawn
from cncpanel.drawing.ahead import RouterAhead
from cncpanel.drawing.check_points import tape_checks
from cncpanel.drawing.page import Pen
from cncpanel.drawing.template import Template
from cncpanel.panel.panel import Panel
from cncpanel.units import DimensionUnit, shown

OFF = "0.5 mm"  # in 200 mm; more than damp does to paper that lay in the workshop
OFF_INCH = "1/64 in"  # in 8 in


def printing_notes(left_out: tuple[str, ...], unit: DimensionUnit) -> Iterator[str]:
    """How to print, and what to do when a bar is off."""
    yield "PRINT AT 100 % (actual size), never 'fit to page' or 'shrink'. Print this page first and measure its bars."
    bar, off = ("200 mm", OFF) if unit == "mm" else ("8 in", OFF_INCH)
    yield (
        f"Lay a steel rule on the bars, along both axes, on every page. A page whose {bar} bar is off by more than "
        f"{off} is not to be used: check the print settings, then print again. Paper also grows by 0.1 to 0.3 % "
        f"with damp: let it lie in the workshop before you measure."
    )
    yield (
        "If this printer is off by the same amount every time, make the template again with a correction for each "
        "axis, true length over printed length: a bar across the page that measures 199 for 200 gives "
        "--correct 1.00503,1."
    )
    if left_out:
        yield f"This paper has no room for these bars: {', '.join(left_out)}."


def joining_notes() -> Iterator[str]:
    """How tiles go together."""
    yield (
        "Joining: trim one page of each joint to its frame. Lay cross on cross: a mark only goes onto the mark of the "
        "same name (B3-B4a on B3-B4a), its slanting stroke up and to the right on both. Tape it, then check below."
    )


def tracing_notes(template: Template, unit: DimensionUnit, *, joined: bool) -> Iterator[str]:
    """What to measure on the template, joined from tiles or not, what never to take from it, which lines are which."""
    checks = " ".join(tape_checks(template.seen.outline, unit))
    paper, again = ("the joined paper", "join") if joined else ("the paper", "print")
    yield f"CHECK BY TAPE on {paper}: {checks} Off by more than 1 in 1000: {again} again."
    yield (
        "NEVER TAKE MATING GROOVES FROM PAPER: mark a groove from the board that goes into it. Paper shows where it "
        "lies, the board how wide it is."
    )
    yield from _ahead_notes(template, unit)


def _ahead_notes(template: Template, unit: DimensionUnit) -> Iterator[str]:
    ahead = template.ahead
    if ahead is None:
        return
    distance = shown(ahead.distance, unit)
    if not any(line.pen == drawn.AHEAD for line in template.lines):
        yield f"NO TEMPLATE LINE: nothing of the panel is left {distance} inside its edge. Take a smaller guide bush."
        return
    if not isinstance(ahead, RouterAhead):
        yield f"Saw line: {distance} outside the finished edge. Saw along it, then trim to the finished edge."
        return
    bit, bush = shown(ahead.bit, unit), shown(ahead.bush, unit)
    yield (
        f"Router template line for a guide bush of {bush} and a bit of {bit}: make the template to this line; the bit "
        f"cuts {distance} beyond it, on the finished edge. Inside corners come out with a radius of "
        f"{shown(ahead.bit / 2, unit)} at least; outside corners are rounded by {distance}: square them by hand."
    )


def pen_samples(template: Template) -> Iterator[tuple[Pen, str]]:
    """Each kind of line that the template has, with its words."""
    panel, seen = template.seen.panel, template.seen
    yield drawn.FINISHED, "finished edge"
    if panel.openings or any(hole.depth is None for hole in panel.holes):
        yield drawn.THROUGH, "cut right through"
    for side in seen.sides:
        if _goes_part_way(side.panel):
            words = "recess, groove, blind hole"
            behind = drawn.BEHIND, f"{words}: on the other face"
            yield behind if side.worked_behind else (drawn.PART_WAY, words)
    if any(side.holes for side in panel.sides):
        yield drawn.CROSS, "crossed: centre of a hole"
    rims = {line.layer: line.pen for line in template.lines if line.layer.startswith(drawn.EDGE)}
    slot = rims.pop(drawn.EDGE_SLOT, None)
    if rims:
        yield drawn.ROUNDED, "where a rounding or a bevel of the edge begins"
    if slot is not None:
        yield slot, "floor of a slot in the edge, under the face"
    if template.ahead is not None:
        yield drawn.AHEAD, "router template" if isinstance(template.ahead, RouterAhead) else "saw line"


def _goes_part_way(panel: Panel) -> bool:
    return bool(panel.recesses or panel.marks or any(hole.depth is not None for hole in panel.holes))
