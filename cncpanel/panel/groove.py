"""Grooves: housings of one width along a path, with square, round or open ends."""

from collections.abc import Sequence

from cncpanel.geometry.combine import intersection, overlap_area
from cncpanel.geometry.contour import path_of
from cncpanel.geometry.nearness import Body, depths_inside
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.segment import Segment
from cncpanel.geometry.stroke import End, stroke
from cncpanel.geometry.tolerance import PATH
from cncpanel.job import model
from cncpanel.panel.alongside import shifted
from cncpanel.panel.corners import corners_of, edges_of, ends_joined, rounded_edges
from cncpanel.panel.draft import Draft
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.relief import relieved
from cncpanel.panel.subject import Subject

LOOSE = 0.6  # mm; a housed board with more play than this shows a gap and starves the glue (common practice, no source)

_WALLS = {
    "centre": 0.0,
    "left": 0.5,
    "right": -0.5,
}  # of the width: where the groove's middle lies from its path
_Ends = tuple[str, str]


def grooves(draft: Draft) -> list[Pocket]:
    """The panel's grooves; open ends already run to the rim and stop there."""
    made = [_groove(groove, subject, draft) for groove, subject in draft.on_cut_face("groove", draft.panel.groove)]
    return [pocket for pocket in made if pocket is not None]


def _groove(groove: model.Groove, subject: Subject, draft: Draft) -> Pocket | None:
    width = groove_width(groove, subject, draft)
    middle = _middle(groove, width, subject)
    ends: _Ends = groove.ends if isinstance(groove.ends, tuple) else (groove.ends, groove.ends)
    chain = middle and _shortened(middle, width, ends, subject)
    if not middle or not chain:
        return None
    regions = _band(chain, width, ends, draft.whole)
    if not regions:
        subject.problem("the groove lies wholly outside the panel", "", "path")
        return None
    _judge_closed_ends(middle, ends, subject, draft.whole)
    square = [end for kind, end in zip(ends, (chain[0].start, chain[-1].end), strict=True) if kind == "square"]
    return Pocket(
        kind="groove",
        regions=_relieved(regions, groove.relief, square, width, draft),
        depth=groove.depth,
        tool=groove.tool,
        subject=subject,
        family=subject.keys,
    )


def _relieved(
    regions: Sequence[Region], relief: model.Relief, square_ends: Sequence[Point], width: float, draft: Draft
) -> tuple[Region, ...]:
    """With bites at both corners of each square end that stops short of the rim."""
    depths = depths_inside([Body(end) for end in square_ends], draft.whole) if square_ends else ()
    ends = [end for end, (depth, _) in zip(square_ends, depths, strict=True) if depth > PATH]

    def at_an_end(corner: Point) -> bool:
        return any(abs(corner.distance(end) - width / 2) < PATH for end in ends)

    return relieved(regions, relief, min(draft.settings.relief_radius, width / 2), at_an_end)


def groove_width(groove: model.Groove, subject: Subject, draft: Draft) -> float:
    """Its width, or the thickest reading of the stock it houses and the clearance."""
    if groove.width is not None:
        return groove.width
    housed = draft.stocks[groove.houses or ""]
    width = housed.thickest + groove.clearance
    play = width - housed.thinnest
    if play > LOOSE:
        loose = f"the thinnest reading of {housed.name} sits {subject.length(play)} loose in it"
        text = f"{subject.length(width)} wide, a board of {loose}"
        subject.warn(text, f"at most {subject.length(LOOSE)}", "houses")
    return width


def _middle(groove: model.Groove, width: float, subject: Subject) -> tuple[Segment, ...] | None:
    """The groove's middle line."""
    corners = corners_of(groove.path)
    edges = edges_of(corners, subject, "path", closed=False)
    radii = [corner.radius for corner in corners]
    rounded = edges and rounded_edges(edges, radii, subject, "path", closed=False)
    if not rounded:
        return None
    away = subject.shift.times(-1)
    chain = [Segment(e.start.plus(away), e.end.plus(away), e.bulge) for e in ends_joined(rounded)]
    middle = shifted(chain, _WALLS[groove.wall] * width)
    if middle is None:
        text = f"a groove {subject.length(width)} wide on the {groove.wall} of its path has no room at a bend"
        subject.problem(text, "a wider bend, or the wall on the other side", "path")
    return middle


def _shortened(chain: Sequence[Segment], width: float, ends: _Ends, subject: Subject) -> tuple[Segment, ...] | None:
    """The chain less half the width at each round end, so that the half circles lie inside the path's length."""
    first, last = chain[0], chain[-1]
    start, end = (width / 2 if kind == "round" else 0.0 for kind in ends)
    needed = {0: start, len(chain) - 1: end} if len(chain) > 1 else {0: start + end}
    for number, length in needed.items():
        if length > chain[number].length - PATH:
            text = f"round ends need {subject.length(length)} of an edge of {subject.length(chain[number].length)}"
            subject.problem(text, "a longer path or square ends", "ends")
            return None
    if len(chain) == 1:
        return (first.part(start / first.length, 1 - end / first.length),)
    return (first.part(start / first.length, 1.0), *chain[1:-1], last.part(0.0, 1 - end / last.length))


def _band(chain: Sequence[Segment], width: float, ends: _Ends, whole: Region) -> tuple[Region, ...]:
    """The groove's regions; with an open end, only what is inside the panel and joined to the drawn path."""
    kinds: list[End] = ["round" if kind == "round" else "flat" for kind in ends]
    drawn = stroke(path_of(chain), width, *kinds)
    if "open" not in ends:
        return drawn
    xmin, ymin, xmax, ymax = whole.bounds
    far = (xmax - xmin) + (ymax - ymin)
    longer = list(chain)
    if ends[0] == "open":
        start = chain[0].start
        longer.insert(0, Segment(start.minus(chain[0].start_direction.times(far)), start))
    if ends[1] == "open":
        end = chain[-1].end
        longer.append(Segment(end, end.plus(chain[-1].end_direction.times(far))))
    inside = intersection(stroke(path_of(longer), width, *kinds), (whole,))
    return tuple(piece for piece in inside if any(overlap_area(piece, part) for part in drawn))


def _judge_closed_ends(middle: Sequence[Segment], ends: _Ends, subject: Subject, whole: Region) -> None:
    """With one open end the region was cut off at the rim: the other must still be on the panel."""
    if "open" not in ends:
        return
    for kind, end in zip(ends, (middle[0].start, middle[-1].end), strict=True):
        (depth, _), *_ = depths_inside([Body(end)], whole)
        if kind != "open" and depth < -PATH:
            subject.problem(
                f"its {kind} end at {subject.at(end)} lies {subject.length(-depth)} outside the panel", "", "path"
            )
