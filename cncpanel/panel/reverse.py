"""The two sides of a panel: what is cut from its own face, and what is cut from the other one before it is turned over.

Whatever goes right through belongs to the panel's own face, so that nothing comes free, and nothing weakens the sheet,
before it is turned.
"""

from dataclasses import replace
from typing import TypeVar

from cncpanel.job import model
from cncpanel.panel.edge import Edge
from cncpanel.panel.panel import Panel

Faced = TypeVar("Faced", model.Opening, model.Recess, model.Groove, model.Rabbet, model.Hole, model.Grille, model.Mark)
OTHER: dict[model.Face, model.Face] = {"show": "back", "back": "show"}


def own_side(panel: model.Panel) -> model.Panel:
    """The panel with its openings and through holes all on its own face; blind features keep theirs."""
    through = {
        "opening": tuple(_faced(one, None) for one in panel.opening),
        "grille": tuple(_faced(one, None) for one in panel.grille),
        "hole": tuple(_through(hole, panel.face) for hole in panel.hole),
    }
    return panel.model_copy(update=through)


def other_side(panel: model.Panel) -> model.Panel | None:
    """The panel with the blind features of its other face alone, that face up; None where it has none."""
    face = OTHER[panel.face]
    blind = {
        "opening": tuple(_faced(one, panel.face) for one in panel.opening),
        "grille": tuple(_faced(one, panel.face) for one in panel.grille),
        "hole": tuple(_blind(hole, panel.face) for hole in panel.hole),
    } | {kind: tuple(_said(one, panel.face) for one in getattr(panel, kind)) for kind in _NARROW}
    other = panel.model_copy(update={**blind, "face": face, "edge": (), "tab_free": (), "mirrored": 0})
    cut = [one for kind in ("hole", *_NARROW) for one in getattr(other, kind) if one.face == face]
    return other if cut else None


_NARROW = ("recess", "groove", "rabbet", "mark")


def as_reverse(panel: Panel) -> Panel:
    """What was resolved from `other_side`, without holes that go through from the panel's own face."""
    return replace(panel, holes=tuple(hole for hole in panel.holes if hole.depth is not None), openings=(), first=True)


def reverse_of(panel: Panel) -> Panel:
    """What is cut from the panel's other face; a panel with nothing to cut where there is nothing."""
    if panel.reverse is not None:
        return panel.reverse
    return with_under(panel, ())


def with_under(panel: Panel, under: tuple[Edge, ...]) -> Panel:
    """The panel before its turn with those edges of the other face, and nothing else to cut."""
    nothing = replace(panel, face=OTHER[panel.face], openings=(), recesses=(), holes=(), marks=(), first=True)
    bare = replace(nothing, grilles=(), edges=under, slots=(), rims=(), bench=(), machined=(), reverse=None)
    return replace(bare, later=tuple(opening.contour for opening in panel.openings))


def _faced(feature: Faced, face: model.Face | None) -> Faced:
    return feature.model_copy(update={"face": face})


def _said(feature: Faced, own: model.Face) -> Faced:
    return _faced(feature, feature.face or own)


def _through(hole: model.Hole, own: model.Face) -> model.Hole:
    """A counterbore on the other face is cut from there; its hole goes through from the panel's own."""
    if hole.depth is not None or hole.face in (None, own):
        return hole
    return hole.model_copy(update={"face": None, "counterbore": None})


def _blind(hole: model.Hole, own: model.Face) -> model.Hole:
    through = hole.depth is None and hole.counterbore is None
    return _faced(hole, own if through else hole.face or own)
