"""What a sheet's programs leave for the bench: spots that no tool reaches, edges by hand."""

from collections.abc import Iterable, Sequence

from cncpanel.drawing.measures import SIZED, WORDS, Measures, number
from cncpanel.drawing.paper import Bullets, Heading, Piece, Sentence, Table
from cncpanel.drawing.slot_notes import slot_pieces
from cncpanel.operation.operation import EdgeCut, PanelPlan, Spot

MOST_PLACES = 10  # listed for one feature; job.json has all of them


def bench_pieces(plans: Iterable[PanelPlan], measures: Measures) -> list[Piece]:
    """Nothing where the programs leave nothing."""
    listed = list(plans)
    points = [f"{plan.panel.name}: {words}." for plan in listed for words in plan.panel.bench]
    rows = tuple(row for plan in listed for row in _rows(plan, measures))
    if not points and not rows:
        return []
    pieces: list[Piece] = [Heading("Left for the bench")]
    if points:
        pieces.append(Bullets(tuple(points)))
    pieces += slot_pieces((plan.panel for plan in listed), measures)
    if rows:
        unit = measures.units[0]
        where = "At X, Y from the panel's lower left, show face"
        head = ("Panel", "Feature", "Spots", f"Across {WORDS[unit]}", "Radius left", where)
        pieces.append(Sentence("Where a round tool leaves material in inside corners: chisel, file or leave a radius."))
        pieces.append(Table(head=head, rows=rows, shares=(25, 25, 11, 18, 20, 71)))
    return pieces


def _rows(plan: PanelPlan, measures: Measures) -> Iterable[tuple[str, ...]]:
    for feature in dict.fromkeys(spot.feature for spot in plan.spots):
        spots = [spot for spot in plan.spots if spot.feature == feature]
        radius = _radius(plan, feature, measures)
        yield plan.panel.name, feature, str(len(spots)), _sizes(spots, measures), radius, _places(spots, measures)


def _radius(plan: PanelPlan, feature: str, measures: Measures) -> str:
    """What the smallest tool that cuts the feature's walls leaves in inside corners."""
    radii = [
        max(layer.offset for layer in one.layers) if isinstance(one, EdgeCut) else one.tool.radius
        for one in plan.operations
        if one.feature == feature
    ]
    unit = measures.units[0]
    return f"R{number(min(radii), unit, SIZED[unit] + 1)}" if radii else "-"


def _sizes(spots: Sequence[Spot], measures: Measures) -> str:
    unit = measures.units[0]
    least, most = (number(pick(spot.size for spot in spots), unit, SIZED[unit] + 1) for pick in (min, max))
    return least if least == most else f"{least} to {most}"


def _places(spots: Sequence[Spot], measures: Measures) -> str:
    unit = measures.units[0]
    told = [f"({number(s.at.x, unit, SIZED[unit])}, {number(s.at.y, unit, SIZED[unit])})" for s in spots[:MOST_PLACES]]
    more = len(spots) - len(told)
    return ", ".join(told) + (f" and {more} more, listed in job.json" if more else "")
