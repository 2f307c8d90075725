"""The pieces of one board while its cuts are written down, each by its name."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from cncpanel.layout.saw.plan import Axis, Box, Cut, Edge, Guide, parted, size_of
from cncpanel.layout.saw.rules import SAME, Rules


@dataclass(frozen=True, slots=True)
class Wanted:
    """A piece that is to come off, by name, and its size across the blade's way."""

    name: str
    size: float


@dataclass(slots=True)
class Bench:
    """What lies there, by name, and the cuts since they were last taken; numbers come later."""

    rules: Rules
    pieces: dict[str, Box]
    cuts: list[Cut] = field(default_factory=list)
    _wastes: int = 0

    def size(self, piece: str, axis: Axis) -> float:
        """How far the piece reaches across a blade that runs along the axis."""
        return size_of(self.pieces[piece])[1 if axis == "x" else 0]

    def cut(
        self, stage: int, piece: str, axis: Axis, setting: float, kept: str, freed: str = "", edge: Edge = "low"
    ) -> None:
        """One cut at fence or stop; without a name what lies beyond the blade is waste."""
        run = self.size(piece, "y" if axis == "x" else "x")
        guide = self.rules.guide(run, setting) if axis == "x" else "stop"
        self._made(stage, piece, axis, guide, setting, kept, freed, edge)

    def squared(self, stage: int, piece: str, trim: float) -> None:
        """The near end trimmed, to a line."""
        self._made(stage, piece, "y", "line", self.size(piece, "y") - trim, piece, "", "high")

    def _made(
        self, stage: int, piece: str, axis: Axis, guide: Guide, setting: float, kept: str, freed: str, edge: Edge
    ) -> None:
        near, far = parted(self.pieces.pop(piece), axis, edge, setting, self.rules.saw.kerf)
        self.pieces[kept] = near
        name = "" if far is None else freed or self._waste()
        if far is not None:
            self.pieces[name] = far
        self.cuts.append(
            Cut(
                number=len(self.cuts) + 1,
                stage=stage,
                axis=axis,
                guide=guide,
                edge=edge,
                setting=setting,
                piece=piece,
                kept=kept,
                freed=name,
            )
        )

    def _waste(self) -> str:
        self._wastes += 1
        return f"waste {self._wastes}"

    def apart(self, stage: int, piece: str, axis: Axis, wanted: Sequence[Wanted], rest: str) -> list[str]:
        """All that is wanted off the near edge, one after the other; what each is then called.

        A piece that has its size already stays what it is; what is left at the end is called `rest`.
        """
        names = []
        for index, one in enumerate(wanted):
            left = self.size(piece, axis) - one.size
            if left <= SAME:
                names.append(piece)
                continue
            others = wanted[index + 1 :]
            beyond = left - self.rules.saw.kerf
            freed = piece if others else rest
            if len(others) == 1 and abs(beyond - others[0].size) <= SAME:
                freed = others[0].name
            self.cut(stage, piece, axis, one.size, one.name, freed)
            names.append(one.name)
            piece = freed
        return names

    def taken(self) -> list[Cut]:
        """The cuts since the last time."""
        cuts, self.cuts = self.cuts, []
        return cuts
