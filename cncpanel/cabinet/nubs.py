"""Edges of placed panels that meet others or are left to be seen: no nub of a tab is to stand there."""

from collections.abc import Iterator

from cncpanel.cabinet.joinery import Derived
from cncpanel.cabinet.section import Section
from cncpanel.cabinet.standing import Standing
from cncpanel.job.cabinet import PanelEnd, Position
from cncpanel.job.edge import TabFree
from cncpanel.job.model import Panel

JOINED = ("butt", "housed", "rabbeted")  # ways to meet the cabinet's sides with a panel's own edges
SEEN = ("covers", "set_back")  # ways to end at another panel with the edge in sight


def tab_free(standing: Standing, panel: Panel) -> Iterator[Derived]:
    """Of a rectangle that runs from side to side: its edges at the sides, its ends at other panels."""
    position = panel.position
    assert position is not None
    shaped = any(shape is not None for shape in (panel.diameter, panel.outline, panel.dxf))
    for side, why in () if shaped else _met(position):
        feature = TabFree.model_validate({"side": side, "why": why})
        yield Derived(into=standing.index, asked_by=standing.index, feature=feature)


def overlaid(standing: Standing, position: Position, side: int, section: Section) -> Derived | None:
    """The edge of the cabinet's side, drawn as its profile, that the panel lies on."""
    number = section.edge_number(position) if position.sides == "overlaid" else None
    if number is None:
        return None
    return Derived(into=side, asked_by=standing.index, feature=TabFree.model_validate({"edges": [number]}))


def _met(position: Position) -> Iterator[tuple[str, str]]:
    if position.sides != "clear":
        for side in ("left", "right"):
            yield side, "mates" if position.sides in JOINED else "seen"
    for side, end in (("bottom", position.start), ("top", position.end)):
        why = _why(end)
        if why is not None:
            yield side, why


def _why(end: PanelEnd | None) -> str | None:
    if end is None or end.mate is None or end.mate[0] == "clear_of":
        return None
    return "seen" if end.mate[0] in SEEN else "mates"
