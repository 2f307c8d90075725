"""What stays between the floors of both faces: judged by the thinnest reading of the stock, where they overlap."""

from collections.abc import Iterator
from dataclasses import dataclass

from cncpanel.errors import Place
from cncpanel.geometry.combine import overlap_area
from cncpanel.geometry.contour import circle
from cncpanel.geometry.region import Region
from cncpanel.panel.draft import Draft
from cncpanel.panel.edge import Edge, RimSlot
from cncpanel.panel.panel import Panel

LEAST_OVERLAP = 1e-3  # mm2; less is two floors that touch


@dataclass(frozen=True, slots=True)
class _Sunk:
    """A blind feature: its name, where it is, how deep it goes."""

    name: str
    region: Region
    depth: float
    place: Place


def judge_webs(panel: Panel, reverse: Panel, draft: Draft) -> None:
    """Tell every two features from either face that leave too little between them, with the figures."""
    told = set()
    for under in _sunk(reverse):
        for over in _sunk(panel):
            if (over.name, under.name) not in told and overlap_area(over.region, under.region) > LEAST_OVERLAP:
                told.add((over.name, under.name))
                _judge(over, under, panel, draft)


def judge_rims(panel: Panel, draft: Draft) -> None:
    """Tell every two rims from either face that together are deeper than the board where it is thinnest."""
    told: set[tuple[str, str]] = set()
    for under in panel.reverse.edges if panel.reverse else ():
        for over in panel.edges:
            known = (over.told, under.told) in told or over.place == under.place
            if not known and over.rim == under.rim and over.contour == under.contour and share(over, under):
                told.add((over.told, under.told))
                _judge_rims(over, under, panel, draft)


def share(over: Edge | RimSlot, under: Edge | RimSlot) -> bool:
    """Whether both go along some stretch of the rim."""
    if over.stretch is None or under.stretch is None:
        return True
    length = over.contour.length
    first, last = over.stretch.start, over.stretch.stop
    turns = (under.stretch.start + turn * length for turn in (-1, 0, 1))
    return any(min(last, at + under.stretch.stop - under.stretch.start) > max(first, at) for at in turns)


def _judge_rims(over: Edge, under: Edge, panel: Panel, draft: Draft) -> None:
    stock, said = draft.stock, draft.subject.length
    if over.form.depth + under.form.depth <= stock.thinnest + 1e-9:
        return
    text = (
        f"panel {panel.name}: {under.told}, {said(under.form.depth)} deep from one face, and {over.told}, "
        f"{said(over.form.depth)} deep from the other, meet in {stock.name}, {said(stock.thinnest)} at its thinnest"
    )
    draft.subject.gathering.problem(under.place, text, f"together at most {said(stock.thinnest)}")


def _sunk(panel: Panel) -> Iterator[_Sunk]:
    for recess in panel.recesses:
        yield _Sunk(recess.name, recess.region, recess.depth, recess.place)
    for hole in panel.holes:
        if hole.depth is not None:
            yield _Sunk(hole.name, Region(circle(hole.centre, hole.diameter / 2)), hole.depth, hole.place)


def _judge(over: _Sunk, under: _Sunk, panel: Panel, draft: Draft) -> None:
    stock, least, told = draft.stock, draft.settings.least_floor, draft.subject.length
    left = stock.thinnest - over.depth - under.depth
    if left >= least - 1e-9:
        return
    met = "they meet" if left <= 0 else f"{told(round(left, 3))} is left between them"
    text = (
        f"panel {panel.name}: {under.name}, {told(under.depth)} deep from one face, and {over.name}, "
        f"{told(over.depth)} deep from the other: {met} at the thinnest reading of {stock.name}, {told(stock.thinnest)}"
    )
    draft.subject.gathering.problem(under.place, text, f"at least {told(least)}, settings.least_floor")
