"""Fittings: parts of the catalogue on their panels, what is cut for them and the room they take up."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

import numpy as np

from cncpanel.cabinet.cell import Cell, drum, prism
from cncpanel.cabinet.part import Part, PartBody
from cncpanel.cabinet.piece import Piece
from cncpanel.errors import Gathering, Place
from cncpanel.errors.validation import nearest
from cncpanel.job.cabinet import Fitting
from cncpanel.job.feature import Hole, Opening, Recess
from cncpanel.job.model import Stock
from cncpanel.job.read import ReadJob

Spot = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A fitting of panel `index` with its part, measured values already over the catalogue's."""

    index: int
    fitting: Fitting
    part: Part
    place: Place

    @property
    def label(self) -> str:
        """What messages call it."""
        return self.fitting.name or self.part.name


def fitted(read: ReadJob, parts: Mapping[str, Part], gathering: Gathering) -> tuple[Fitted, ...]:
    """Every fitting of the job; parts that the catalogue does not know are told."""
    found = []
    for index, panel in enumerate(read.job.panel):
        for number, fitting in enumerate(panel.fitting):
            place = read.file.place(("panel", index, "fitting", number))
            part = parts.get(fitting.part)
            if part is None:
                where = read.file.place(("panel", index, "fitting", number, "part"))
                text = f'the catalogue has no part "{fitting.part}"'
                gathering.problem(
                    where, text, nearest(fitting.part, parts) or "see cncpanel parts, or a file of your own"
                )
                continue
            found.append(Fitted(index=index, fitting=fitting, part=_measured(part, fitting), place=place))
    return tuple(found)


def _measured(part: Part, fitting: Fitting) -> Part:
    """The part with what was measured on the one in hand."""
    update: dict[str, object] = {}
    if fitting.hole is not None:
        update.update(hole=fitting.hole, opening=None)
    if fitting.opening is not None:
        update.update(opening=fitting.opening, hole=None)
    if fitting.depth is not None:
        deepest = max((body.depth for body in part.body), default=0.0)
        bodies = (b.model_copy(update={"depth": fitting.depth}) if b.depth == deepest else b for b in part.body)
        update["body"] = tuple(bodies)
    if fitting.mass is not None:
        update["mass"] = fitting.mass
    if fitting.screw is not None:
        update["screw"] = fitting.screw
    return part.model_copy(update=update)


Feature = Hole | Opening | Recess


def cut_outs(one: Fitted, stock: Stock) -> Iterator[Feature]:
    """What is cut into the panel for it, from the back where it is a recess."""
    part = one.part
    if one.fitting.drawn:
        return
    for at in one.fitting.at:
        named: dict[str, Any] = {"name": one.label}
        if part.hole is not None:
            yield Hole.model_validate({**named, "centre": at, "diameter": part.hole})
        if part.opening is not None:
            shape = {"size": part.opening, "radius": part.radius, "centre": at, "turn_deg": one.fitting.turn_deg}
            yield Opening.model_validate({**named, **shape})
        yield from _recess(one, at, stock)
        yield from _screw_holes(one, at)


def _recess(one: Fitted, at: Spot, stock: Stock) -> Iterator[Recess]:
    recess, most = one.part.recess, one.part.most_board
    if recess is None:
        return
    depth = recess.depth if recess.depth is not None else stock.thickness - most if most is not None else 0.0
    if depth <= 0:
        return
    shape: dict[str, Any] = {"name": f"behind {one.label}"[:60], "centre": at, "depth": depth, "face": "back"}
    if recess.border is not None:
        size = _bordered(one.part, recess.border)
        yield Recess.model_validate({**shape, "size": size, "radius": recess.radius, "turn_deg": one.fitting.turn_deg})
    elif recess.diameter is not None:
        yield Recess.model_validate({**shape, "diameter": recess.diameter})
    else:
        turned = {"size": recess.size, "radius": recess.radius, "turn_deg": one.fitting.turn_deg}
        yield Recess.model_validate({**shape, **turned})


def _bordered(part: Part, border: float) -> Spot:
    """The opening's size and a border all round."""
    assert part.opening is not None, "a part with a border has an opening"
    return part.opening[0] + 2 * border, part.opening[1] + 2 * border


def _screw_holes(one: Fitted, at: Spot) -> Iterator[Hole]:
    holes = one.part.holes
    if holes is None:
        return
    keys: dict[str, Any] = {"name": f"{one.label}'s screws"[:60], "diameter": holes.diameter, "depth": holes.depth}
    if holes.face is not None:
        keys["face"] = holes.face
    if holes.ring is not None:
        turned = holes.ring.model_copy(update={"first_deg": holes.ring.first_deg + one.fitting.turn_deg})
        yield Hole.model_validate({**keys, "centre": at, "ring": turned})
    for spot in holes.at or ():
        yield Hole.model_validate({**keys, "centre": _turned(spot, at, one.fitting.turn_deg)})


def _turned(spot: Spot, at: Spot, angle_deg: float) -> Spot:
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    return at[0] + spot[0] * c - spot[1] * s, at[1] + spot[0] * s + spot[1] * c


def body_cell(body: PartBody, part: Part, at: Spot, angle_deg: float, piece: Piece, thickness: float) -> Cell:
    """The room that a body takes up on one copy of its panel (positions as the author wrote them)."""
    at = _turned(body.at, at, angle_deg)
    front = thickness if body.behind else 0.0
    depths = (front + body.start, front + body.depth)
    if body.diameter is not None:
        return drum(piece.frame, at, body.diameter, depths)
    size = body.size if body.border is None else _bordered(part, body.border)
    assert size is not None
    half = size[0] / 2, size[1] / 2
    corners = [(-half[0], -half[1]), (half[0], -half[1]), (half[0], half[1]), (-half[0], half[1])]
    ring = np.array([_turned(corner, at, angle_deg) for corner in corners])
    return prism(piece.frame, ring, ring, depths)
