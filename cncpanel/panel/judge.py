"""What is wrong between a panel's cuts: outside the panel, over each other, too near to each other or to the rim."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cncpanel.geometry.combine import difference
from cncpanel.geometry.nearness import Body, Nearness, body_bounds, covered, depths_inside, near_pairs
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import FLATTEN, PATH
from cncpanel.panel.draft import Draft
from cncpanel.panel.subject import Subject

SLACK = 2 * FLATTEN  # mm; chords decide no finer, and a web drawn exactly as narrow as allowed must pass
COARSE = 0.05  # mm; how finely the farthest point of an arc outside is looked for

CutKind = Literal["through", "blind hole", "floor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One feature as the bodies that it takes out."""

    subject: Subject
    kind: CutKind
    bodies: tuple[Body, ...]


def judge_cuts(cuts: Sequence[Cut], draft: Draft) -> None:
    """Tell every cut outside the panel, every overlap, and of every two features the web that is too thin."""
    outside = [_judge_rim(cut, draft) for cut in cuts]
    kept = [cut for cut, out in zip(cuts, outside, strict=True) if not out]
    _judge_pairs(kept, draft)


# --- the rim -------------------------------------------------------------------------------------


def _judge_rim(cut: Cut, draft: Draft) -> bool:
    """Tell what is wrong with the cut at the outline; whether it reaches outside."""
    depths = depths_inside(cut.bodies, draft.whole)
    beyond = [b for b, (depth, _) in zip(cut.bodies, depths, strict=True) if _is_beyond(b, depth, draft.whole)]
    if beyond:
        cut.subject.problem(_outside(cut, beyond, draft.whole), "every cut lies on its panel")
        return True
    _judge_rim_web(cut, depths, draft)
    return False


def _outside(cut: Cut, beyond: Sequence[Body], whole: Region) -> str:
    """How far the bodies reach beyond the panel and on which side."""
    reach, side = max(_excess(body_bounds(body), whole.bounds) for body in beyond)
    if reach > PATH:
        return f"it reaches {cut.subject.length(reach)} beyond the panel's {side} side"
    amount, place = max(_overshoot(body, whole) for body in beyond)
    return f"it reaches {cut.subject.length(round(amount, 2))} beyond the outline at {cut.subject.at(place)}"


def _overshoot(body: Body, whole: Region) -> tuple[float, Point]:
    """How far the body's farthest point lies outside, and where that is."""
    if not isinstance(body.core, Region):
        ((depth, middle),) = depths_inside([body], whole)
        return -depth, middle
    pieces = difference((body.core,), (whole,))
    corners = [point for piece in pieces for point in piece.outer.flattened(COARSE)]
    depths = depths_inside(list(map(Body, corners)), whole)
    return max((-depth, corner) for corner, (depth, _) in zip(corners, depths, strict=True))


def _is_beyond(body: Body, depth: float, whole: Region) -> bool:
    """Whether the body leaves the panel; chords at a shared rim do not count."""
    if isinstance(body.core, Region) and depth <= SLACK:
        left = difference((body.core,), (whole,))
        return sum(piece.area for piece in left) > SLACK * body.core.outer.length
    return depth < -SLACK


def _excess(box: tuple[float, ...], around: tuple[float, ...]) -> tuple[float, str]:
    return max(
        (around[0] - box[0], "left"),
        (around[1] - box[1], "lower"),
        (box[2] - around[2], "right"),
        (box[3] - around[3], "upper"),
    )


def _judge_rim_web(cut: Cut, depths: Sequence[tuple[float, Point]], draft: Draft) -> None:
    """Tell the narrowest place between the cut and the rim; a floor may lie on the rim."""
    on_rim = PATH if cut.kind == "floor" else -SLACK
    thin = [found for found in depths if on_rim < found[0] < draft.settings.least_web - SLACK]
    if thin:
        width, middle = min(thin)
        text = f"only {cut.subject.length(max(width, 0))} stay between it and the rim at {cut.subject.at(middle)}"
        _tell_web(cut, text, len(thin), cut.kind == "through", draft)


def _tell_web(cut: Cut, text: str, places: int, is_wrong: bool, draft: Draft) -> None:
    """A web between cuts right through is a mistake, a thin wall beside a floor something to look at."""
    tell = cut.subject.problem if is_wrong else cut.subject.warn
    tell(text + _more(places), f"at least {cut.subject.length(draft.settings.least_web)}, settings.least_web")


def _more(places: int) -> str:
    return f", and so in {places - 1} more places" if places > 2 else ", and so in another place" * (places - 1)


# --- two cuts --------------------------------------------------------------------------------------


def _judge_pairs(cuts: Sequence[Cut], draft: Draft) -> None:
    """Tell the narrowest place between every two cuts, and how many more there are."""
    bodies = [body for cut in cuts for body in cut.bodies]
    owner = [number for number, cut in enumerate(cuts) for _ in cut.bodies]
    near = near_pairs(bodies, draft.settings.least_web - SLACK)
    open_there = covered([pair.middle for pair in near], bodies)
    places: dict[tuple[int, int], list[Nearness]] = {}
    for pair, is_open in zip(near, open_there, strict=True):
        first, second = owner[pair.first], owner[pair.second]
        if _counts(cuts[first], cuts[second], pair, is_open):
            places.setdefault((first, second), []).append(pair)
    for (first, second), pairs in places.items():
        _tell(cuts[first], cuts[second], pairs, draft)


def _counts(a: Cut, b: Cut, pair: Nearness, is_open: bool) -> bool:
    """Whether the place matters: floors may overlap and touch anything, and a gap that is itself cut away is no web."""
    if "floor" in (a.kind, b.kind):
        return pair.width > PATH and a is not b and not is_open
    return pair.width <= SLACK or not is_open


def _tell(a: Cut, b: Cut, pairs: Sequence[Nearness], draft: Draft) -> None:
    pair = min(pairs, key=lambda pair: pair.width)
    other = "another of its own" if a is b else b.subject.short
    where = a.subject.at(pair.middle)
    if pair.width <= SLACK:
        a.subject.problem(f"it overlaps {other} at {where}{_more(len(pairs))}", "cuts apart from each other")
        return
    text = f"only {a.subject.length(pair.width)} stay between it and {other} at {where}"
    _tell_web(a, text, len(pairs), a.kind == b.kind == "through", draft)
