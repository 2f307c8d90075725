"""What is wrong between a panel's cuts: outside the panel, over each other, too near to each other or to the rim."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from cncpanel.geometry.combine import difference
from cncpanel.geometry.contour import joined_bounds
from cncpanel.geometry.nearness import Body, Nearness, body_bounds, covered, depths_inside, near_pairs
from cncpanel.geometry.point import Point
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import FLATTEN, PATH
from cncpanel.panel.draft import Draft
from cncpanel.panel.subject import Subject

SLACK = 2 * FLATTEN  # mm; chords decide no finer, and a web drawn exactly as narrow as allowed must pass

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
    nearest = min(range(len(depths)), key=lambda n: depths[n][0])
    beyond = [b for b, (depth, _) in zip(cut.bodies, depths, strict=True) if _is_beyond(b, depth, draft.whole)]
    if beyond:
        cut.subject.problem(_outside(cut, beyond, draft.whole), "every cut lies on its panel")
        return True
    _judge_rim_web(cut, *depths[nearest], draft)
    return False


def _outside(cut: Cut, beyond: Sequence[Body], whole: Region) -> str:
    """How far the bodies reach beyond the panel and on which side."""
    reach, side = max(_excess(body_bounds(body), whole.bounds) for body in beyond)
    if reach > PATH:
        return f"it reaches {cut.subject.length(reach)} beyond the panel's {side} side"
    box = joined_bounds(map(body_bounds, beyond))
    place = Point((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    return f"it cuts the outline near {cut.subject.at(place)}"


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


def _judge_rim_web(cut: Cut, width: float, middle: Point, draft: Draft) -> None:
    least = draft.settings.least_web
    if width >= least - SLACK or (cut.kind == "floor" and width <= PATH):
        return
    text = f"only {cut.subject.length(max(width, 0))} stay between it and the rim at {cut.subject.at(middle)}"
    tell = cut.subject.problem if cut.kind == "through" else cut.subject.warn
    tell(text, f"at least {cut.subject.length(least)}, settings.least_web")


# --- two cuts --------------------------------------------------------------------------------------


def _judge_pairs(cuts: Sequence[Cut], draft: Draft) -> None:
    bodies = [body for cut in cuts for body in cut.bodies]
    owner = [number for number, cut in enumerate(cuts) for _ in cut.bodies]
    least = draft.settings.least_web
    narrowest: dict[tuple[int, int], Nearness] = {}
    for pair in sorted(near_pairs(bodies, least - SLACK), key=lambda pair: pair.width):
        first, second = owner[pair.first], owner[pair.second]
        if _counts(cuts[first], cuts[second], pair, first == second):
            narrowest.setdefault((first, second), pair)
    pairs = list(narrowest.items())
    open_there = covered([pair.middle for _, pair in pairs], bodies)
    for ((first, second), pair), is_open in zip(pairs, open_there, strict=True):
        if pair.width <= SLACK or not is_open:
            _tell(cuts[first], cuts[second], pair, least)


def _counts(a: Cut, b: Cut, pair: Nearness, same: bool) -> bool:
    """Floors may overlap and touch anything; the parts of one floor are its own affair."""
    if "floor" in (a.kind, b.kind):
        return pair.width > PATH and not same
    return True


def _tell(a: Cut, b: Cut, pair: Nearness, least: float) -> None:
    other = "another of its own" if a is b else b.subject.short
    where = a.subject.at(pair.middle)
    if pair.width <= SLACK:
        a.subject.problem(f"it overlaps {other} at {where}", "cuts apart from each other")
        return
    text = f"only {a.subject.length(pair.width)} stay between it and {other} at {where}"
    tell = a.subject.problem if a.kind == b.kind == "through" else a.subject.warn
    tell(text, f"at least {a.subject.length(least)}, settings.least_web")
