"""Overlapping recesses, grooves and rabbets settled: one depth is one floor, of two depths the deeper wins."""

from collections.abc import Sequence
from dataclasses import dataclass

from cncpanel.geometry.combine import difference, overlap_area, union
from cncpanel.geometry.nearness import Body, near_pairs
from cncpanel.geometry.region import Region
from cncpanel.geometry.tolerance import SAME_POINT
from cncpanel.panel.draft import Draft
from cncpanel.panel.panel import Recess
from cncpanel.panel.pocket import Pocket
from cncpanel.panel.rim import opened_at_rim

LEAST_OVERLAP = 1e-3  # mm2; less is two floors that touch


@dataclass(frozen=True, slots=True)
class _Piece:
    """One region with the pockets it came from."""

    region: Region
    pockets: tuple[Pocket, ...]

    @property
    def depth(self) -> float:
        return self.pockets[0].depth


def settled(pockets: Sequence[Pocket], draft: Draft) -> tuple[Recess, ...]:
    """The panel's floors, none over another, in the order of their first feature."""
    drawn = [_Piece(region, (pocket,)) for pocket in pockets for region in pocket.regions]
    _warn_of_depths(drawn)
    pieces = _united(drawn)
    return tuple(recess for piece in pieces for recess in _recesses(piece, pieces, draft))


def _near(pieces: Sequence[_Piece]) -> list[tuple[int, int]]:
    """Pairs that overlap or touch."""
    return [(pair.first, pair.second) for pair in near_pairs([Body(p.region) for p in pieces], SAME_POINT)]


def _united(pieces: Sequence[_Piece]) -> list[_Piece]:
    """Pieces of one depth that overlap or touch made one."""
    group = list(range(len(pieces)))
    for a, b in _near(pieces):
        if abs(pieces[a].depth - pieces[b].depth) <= SAME_POINT and group[a] != group[b]:
            low, high = sorted((group[a], group[b]))
            group = [low if g == high else g for g in group]
    return [
        piece
        for number in dict.fromkeys(group)
        for piece in _one([p for p, g in zip(pieces, group, strict=True) if g == number])
    ]


def _one(pieces: Sequence[_Piece]) -> list[_Piece]:
    if len(pieces) == 1:
        return list(pieces)
    pockets = tuple({p.subject.keys: p for piece in pieces for p in piece.pockets}.values())
    named = dict.fromkeys(pocket.tool for pocket in pockets if pocket.tool)
    if len(named) > 1:
        text = f"it and {pockets[-1].subject.short} are one floor and name different tools: {', '.join(named)}"
        pockets[0].subject.problem(text, "one tool")
    return [_Piece(region, pockets) for region in union([piece.region for piece in pieces])]


def _recesses(piece: _Piece, pieces: Sequence[_Piece], draft: Draft) -> list[Recess]:
    """The piece less everything deeper; () when nothing of it is left."""
    deeper = [p.region for p in pieces if p.depth > piece.depth + SAME_POINT and overlap_area(p.region, piece.region)]
    regions = difference((piece.region,), deeper) if deeper else (piece.region,)
    first = piece.pockets[0]
    if not regions:
        first.subject.warn("deeper cuts take all of it: nothing of its floor is left")
    kinds = {pocket.kind for pocket in piece.pockets}
    return [
        Recess(
            name=" + ".join(dict.fromkeys(pocket.subject.name for pocket in piece.pockets)),
            kind=first.kind if len(kinds) == 1 else "recess",
            region=region,
            open_region=opened_at_rim(region, draft.whole),
            depth=first.depth,
            tool=next((pocket.tool for pocket in piece.pockets if pocket.tool), None),
            place=first.subject.place,
            lines="along" if any(pocket.lines == "along" for pocket in piece.pockets) else "round",
        )
        for region in regions
    ]


def _warn_of_depths(pieces: Sequence[_Piece]) -> None:
    """Once for every two features whose floors overlap at different depths."""
    told = set()
    for a, b in _near(pieces):
        shallow, deep = sorted((pieces[a], pieces[b]), key=lambda piece: piece.depth)
        if deep.depth - shallow.depth <= SAME_POINT or _meant(shallow, deep):
            continue
        over, under = shallow.pockets[0].subject, deep.pockets[0].subject
        if (over.keys, under.keys) in told or overlap_area(shallow.region, deep.region) < LEAST_OVERLAP:
            continue
        told.add((over.keys, under.keys))
        depths = over.length(shallow.depth), over.length(deep.depth)
        over.warn(f"{depths[0]} deep, it overlaps {under.short}, {depths[1]} deep: the deeper wins there")


def _meant(shallow: _Piece, deep: _Piece) -> bool:
    """A step in its own recess, or a counterbore sunk into a floor, is no slip."""
    outer, inner = shallow.pockets[0], deep.pockets[0]
    if outer.family == inner.family:
        return True
    swallowed = overlap_area(shallow.region, deep.region) > deep.region.area - LEAST_OVERLAP
    return inner.kind == "counterbore" and swallowed
