"""What the cabinet is put together from: each copy of a panel, and each cleat, where it stands."""

from dataclasses import dataclass

from cncpanel.cabinet.space import Frame
from cncpanel.cabinet.standing import Standing
from cncpanel.job.cabinet import Cabinet


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One copy of panel `index`; the frame takes positions as the author wrote them."""

    index: int
    label: str
    frame: Frame
    mirrored: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A cleat behind panel `index`: a box in that panel's frame, `low` and `high` as (x, y, depth)."""

    index: int
    label: str
    frame: Frame
    low: tuple[float, float, float]
    high: tuple[float, float, float]

    @property
    def length(self) -> float:
        """Along the panel's y."""
        return self.high[1] - self.low[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """The whole cabinet in space."""

    cabinet: Cabinet
    inside: float
    pieces: tuple[Piece, ...]
    standings: tuple[Standing, ...]
    strips: tuple[Strip, ...]

    def of_panel(self, index: int) -> tuple[Piece, ...]:
        """The copies of a panel."""
        return tuple(piece for piece in self.pieces if piece.index == index)

    def standing(self, index: int) -> Standing | None:
        """The panel's section, where it runs from side to side."""
        return next((standing for standing in self.standings if standing.index == index), None)
