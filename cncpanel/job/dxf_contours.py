"""From strokes to sound shapes: doubles out, ends joined, everything that is no clean contour named."""

from collections.abc import Sequence

from cncpanel.geometry.contour import Contour, contour_of
from cncpanel.geometry.meeting import Meeting, TooDenseError, contour_meetings
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.job.dxf_chain import Chained, OpenChain, chained
from cncpanel.job.dxf_nest import DxfShape, nested
from cncpanel.job.dxf_notes import MOST, Notes
from cncpanel.job.dxf_smooth import smoothed
from cncpanel.job.dxf_stroke import Stroke
from cncpanel.job.dxf_tidy import covered, tidied, without_doubles

NARROW = 0.5  # mm; a ring of material that narrow is a line drawn by both its edges
COMPARED = 50  # open chains that are looked for on contours; with more the drawing is to be mended anyway


def shapes_of(strokes: Sequence[Stroke], dropped: int, tolerance: float, notes: Notes) -> tuple[DxfShape, ...]:
    """The shapes that the strokes draw; what is wrong goes to the notes. `dropped` strokes had no length."""
    tidy = tidied(strokes, tolerance)
    chains = chained(tidy.strokes, tolerance)
    drawn = [smoothed(c) for c in chains.contours if max(_size(c)) > tolerance]
    contours = _without_doubles(drawn, tolerance)
    dropped += len(chains.contours) - len(drawn)
    doubles = tidy.doubles + len(drawn) - len(contours)
    covered_chains = _tell_open(chains, contours, tolerance, notes)
    _tell_tidied(dropped, doubles, tidy.overlaps + covered_chains, chains, notes)
    _tell_branches(chains, notes)
    _tell_empty(contours, notes)
    _tell_meetings(contours, notes)
    if notes.problems:
        return ()
    shapes = nested(contours)
    _warn_narrow(shapes, notes)
    return shapes


def _without_doubles(contours: Sequence[Contour], tolerance: float) -> list[Contour]:
    strokes = [Stroke(contour.segments, True, "") for contour in contours]
    return [contour_of(stroke.segments) for stroke in without_doubles(strokes, tolerance)]


def _size(contour: Contour) -> tuple[float, float]:
    xmin, ymin, xmax, ymax = contour.bounds
    return xmax - xmin, ymax - ymin


def _tell_tidied(dropped: int, doubles: int, overlaps: int, chains: Chained, notes: Notes) -> None:
    said = [
        f"{dropped} without length" if dropped else "",
        f"{doubles} drawn twice" if doubles else "",
        f"{overlaps} laid over others" if overlaps else "",
    ]
    if any(said):
        notes.warn("strokes left out: " + ", ".join(filter(None, said)))
    if chains.gaps:
        notes.warn(f"{chains.gaps} gaps closed, the widest {chains.widest:.4f} mm")


def _tell_open(chains: Chained, contours: Sequence[Contour], tolerance: float, notes: Notes) -> int:
    """Name the chains that do not close; how many only repeat a part of a contour."""
    repeats = 0
    for number, chain in enumerate(chains.opens):
        if number < COMPARED and covered(chain.strokes, contours, tolerance):
            repeats += 1
        else:
            _tell_open_chain(chain, tolerance, notes)
    return repeats


def _tell_open_chain(chain: OpenChain, tolerance: float, notes: Notes) -> None:
    count, first = len(chain.strokes), chain.strokes[0].source
    notes.problem(
        f"a contour does not close: it runs from {notes.at(chain.start)} to {notes.at(chain.end)}, "
        f"a gap of {chain.gap:.3f} mm ({count} stroke{'s' * (count > 1)}, the first {first})",
        f"gaps up to {tolerance:g} mm are closed; lines that are no contour go on another layer",
    )


def _tell_branches(chains: Chained, notes: Notes) -> None:
    for branch in chains.branches:
        notes.problem(
            f"a contour branches at {notes.at(branch.point)}: {branch.count} strokes meet",
            "two at every point",
        )


def _tell_empty(contours: Sequence[Contour], notes: Notes) -> None:
    for contour in contours:
        if abs(contour.area) <= SAME_POINT * contour.length:
            notes.problem(f"a contour at {notes.at(contour.vertices[0].point)} encloses nothing")


def _tell_meetings(contours: Sequence[Contour], notes: Notes) -> None:
    """Name where contours cross, once for each pair of them, until the list is long enough."""
    told: set[tuple[int, int]] = set()
    try:
        for meeting in contour_meetings(contours):
            pair = _pair(meeting)
            if pair not in told:
                told.add(pair)
                itself = pair[0] == pair[1]
                what = "a contour crosses or touches itself" if itself else "two contours cross or touch"
                notes.problem(f"{what} at {notes.at(meeting.point)}")
            if len(told) > MOST:
                return
    except TooDenseError as error:
        notes.problem(f"is too dense to be checked: {error}", "save only the outlines")


def _pair(meeting: Meeting) -> tuple[int, int]:
    first, second = meeting.first[0], meeting.second[0]
    return min(first, second), max(first, second)


def _warn_narrow(shapes: Sequence[DxfShape], notes: Notes) -> None:
    """Rings that a doubled cut line leaves: half their area by their length is their width."""
    narrow = [s for s in shapes if _width(s) < NARROW]
    if narrow:
        outer = narrow[0].outer
        notes.warn(
            f"{len(narrow)} shape{'s' * (len(narrow) > 1)} narrower than {NARROW:g} mm, the first at "
            f"{notes.at(outer.vertices[0].point)}: cut lines drawn by both their edges?"
        )


def _width(shape: DxfShape) -> float:
    area = abs(shape.outer.area) - sum(abs(hole.area) for hole in shape.holes)
    return 2 * area / (shape.outer.length + sum(hole.length for hole in shape.holes))
